"""One look for every picture: colours, line styles, type and the Vega-Lite configuration.

Colours are written here once as plain hex values, so that a figure is right wherever it is
shown (JupyterLab, PNG, SVG). A sealed page swaps each of them for a CSS variable of the same
role (:data:`CSS_ROLES`), which is how dark mode and the print view come about without
drawing anything twice.

No meaning hangs on hue alone: states differ in shape and word too, series in dash, ordered
shares in lightness. Hues run from blue over ochre to plum, which stay apart under the three
common kinds of colour blindness, and their lightness differs enough for a black-and-white
printer (checked in `tests/charts/test_theme.py`).
"""

from __future__ import annotations

from typing import Any

from plateline.words import State

__all__ = [
    "AIM",
    "BAND",
    "CONFIG",
    "CSS_ROLES",
    "DASHES",
    "INK",
    "MAIN",
    "MARK",
    "PAPER",
    "QUIET",
    "RAMP",
    "RULE",
    "SERIES",
    "SHADE",
    "STATE_COLOURS",
    "STATE_SHAPES",
    "TIME_FORMAT",
]

PAPER = "#fffffe"
INK = "#1f2733"
QUIET = "#566070"
RULE = "#dfe3e8"
SHADE = "#eceff3"

MAIN = "#15587f"
BAND = "#8fb4cb"
MARK = "#a84a0c"
AIM = "#6b3f8f"

PROGRESSING = "#1d55a6"
PLATEAU = "#8a5f00"
DECLINING = "#9c2a50"
UNCLEAR = "#5f6775"

STATE_COLOURS: dict[str, str] = {
    State.PROGRESSING: PROGRESSING,
    State.PLATEAU: PLATEAU,
    State.DECLINING: DECLINING,
    State.UNCLEAR: UNCLEAR,
}
"""Colour of a state; never the only sign of it."""

STATE_SHAPES: dict[str, str] = {
    State.PROGRESSING: "triangle-up",
    State.PLATEAU: "square",
    State.DECLINING: "triangle-down",
    State.UNCLEAR: "circle",
}

RAMP: tuple[str, ...] = ("#12405c", "#2f7096", "#6fa3c0", "#aecbdb", "#d9e6ee")
"""Ordered shares, from heavy and few reps (dark) to light and many reps (pale)."""

SERIES: tuple[str, ...] = (MAIN, MARK, AIM, PROGRESSING, "#7a6a1e", DECLINING)
"""Unordered series; use with :data:`DASHES` and :data:`SHAPES`."""

DASHES: tuple[tuple[int, ...], ...] = ((1, 0), (6, 3), (2, 2), (8, 3, 2, 3), (4, 2), (1, 3))
SHAPES: tuple[str, ...] = ("circle", "square", "triangle-up", "diamond", "cross", "triangle-down")

CSS_ROLES: dict[str, str] = {
    PAPER: "paper",
    INK: "ink",
    QUIET: "quiet",
    RULE: "rule",
    SHADE: "shade",
    MAIN: "main",
    BAND: "band",
    MARK: "mark",
    AIM: "aim",
    PROGRESSING: "progressing",
    PLATEAU: "plateau",
    DECLINING: "declining",
    UNCLEAR: "unclear",
    SERIES[4]: "series-5",
    **{colour: f"ramp-{place}" for place, colour in enumerate(RAMP, start=1)},
}
"""Hex value -> the CSS variable `--pl-<role>` that a page gives it."""

FONT = "Arial, 'Liberation Sans', Helvetica, sans-serif"
"""Three names of one set of widths: a still picture is measured where it is made, and must fit
where it is read."""

TIME_FORMAT: dict[str, str] = {
    "year": "%Y",
    "quarter": "%b",
    "month": "%b",
    "week": "%-d %b",
    "date": "%-d %b",
    "day": "%-d %b",
    "hours": "",
    "minutes": "",
    "seconds": "",
    "milliseconds": "",
}
"""Axis labels of dates; nothing finer than a day is ever labelled."""

CONFIG: dict[str, Any] = {
    "background": PAPER,
    "font": FONT,
    "padding": {"left": 2, "right": 6, "top": 4, "bottom": 2},
    "aria": False,
    "view": {"stroke": None},
    "axis": {
        "labelColor": QUIET,
        "labelFontSize": 12,
        "titleColor": QUIET,
        "titleFontSize": 12,
        "titleFontWeight": "normal",
        "gridColor": RULE,
        "domainColor": RULE,
        "tickColor": RULE,
        "labelPadding": 5,
    },
    # Numbers and dates never reach the limit, which costs a second measuring of every label.
    "axisQuantitative": {"labelLimit": 0},
    "axisTemporal": {"labelLimit": 0},
    "axisX": {"grid": False, "labelFlush": True, "labelOverlap": "greedy", "labelSeparation": 10},
    "axisY": {
        "domain": False,
        "ticks": False,
        "tickCount": 5,
        "titleAngle": 0,
        "titleAlign": "left",
        "titleAnchor": "start",
        "titleBaseline": "bottom",
        "titleX": 0,
        "titleY": -8,
    },
    "legend": {
        "orient": "top",
        "direction": "horizontal",
        "title": None,
        "labelColor": INK,
        "labelFontSize": 12,
        "symbolSize": 90,
        "columnPadding": 14,
        "offset": 8,
    },
    "header": {"labelColor": INK, "labelFontSize": 12, "title": None},
    "title": {
        "anchor": "start",
        "color": INK,
        "fontSize": 15,
        "fontWeight": 600,
        "offset": 12,
    },
    "text": {"color": INK, "fontSize": 12},
    "bar": {"color": MAIN},
    "line": {"color": MAIN, "strokeWidth": 2},
    "point": {"color": MAIN, "size": 34, "filled": True, "opacity": 1},
    "rule": {"color": QUIET},
    "area": {"color": BAND},
    "range": {"category": list(SERIES), "ordinal": list(RAMP)},
}
"""The Vega-Lite configuration of every figure."""
