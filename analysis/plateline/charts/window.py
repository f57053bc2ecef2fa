"""The picture an athlete works with: one lift at a time, through a window that can be moved.

These are templates: their data sets are empty and named, and the page's own script fills
them for the lift, measure and unit that were chosen. The window is the two parameters
`from` and `to` (milliseconds); the overview's brush sets them.
"""

from __future__ import annotations

from typing import Any

from plateline.charts.marks import NEAREST, amount, day_axis, told
from plateline.charts.theme import BAND, CONFIG, INK, MAIN, MARK, PAPER, QUIET, SHADE

__all__ = ["overview_spec", "strength_window_spec", "volume_window_spec"]

DETAIL_HEIGHT = 300
OVERVIEW_HEIGHT = 54

ROOM = 5
"""Pixels above and below, so that the highest and lowest point are whole circles."""

Spec = dict[str, Any]

_PART: Spec = {"field": "g", "type": "nominal"}
"""Which stretch of a line a point is of: none goes over a long break."""


def strength_window_spec() -> Spec:
    """Return the strength of a lift, session by session.

    Data sets: `points` (d, v, day, set, value, row), `line` and `ahead` (d, f, l, h, of the line g too),
    `spans` (d, e, t) and `since` (d, t, late).
    """
    return _framed(
        [
            _part("spans", {"type": "rect", "color": SHADE}, "datum.e >= from && datum.d <= to",
                  x=_day(), x2={"field": "e"}),
            _part("spans", {"type": "text", "color": QUIET, "align": "left", "baseline": "top",
                            "dx": 3, "y": 2, "fontSize": 11},
                  x=_day(), text={"field": "t"})
            | {"transform": _SEEN_LABEL},
            _part("since", {"type": "rule", "color": MARK, "strokeWidth": 1.6,
                            "strokeDash": [3, 3]}, x=_day()),
            _part("since", {"type": "text", "color": MARK, "align": {"expr": "datum.late ? 'right' : 'left'"},
                            "baseline": "bottom", "dx": {"expr": "datum.late ? -5 : 5"},
                            "y": "height", "dy": -4, "fontWeight": 600},
                  x=_day(), text={"field": "t"}),
            _part("line", {"type": "area", "color": BAND, "opacity": 0.4}, x=_day(),
                  y=_amount("l"), y2={"field": "h"}, detail=_PART),
            _part("line", {"type": "line", "color": MAIN, "strokeWidth": 2.2}, x=_day(),
                  y=_amount("f"), detail=_PART),
            _part("ahead", {"type": "area", "color": BAND, "opacity": 0.18}, x=_day(),
                  y=_amount("l"), y2={"field": "h"}),
            _part("ahead", {"type": "line", "color": MAIN, "strokeWidth": 1.8,
                            "strokeDash": [5, 4]}, x=_day(), y=_amount("f")),
            _part("points", {"type": "point", "filled": True, "fill": PAPER, "stroke": INK,
                             "strokeWidth": 1.3}, x=_day(), y=_amount("v"),
                  size={"condition": {"param": "near", "empty": False, "value": 120}, "value": 36},
                  tooltip=told(("day", "Day"), ("set", "Best set"), ("value", "Says"),
                               ("row", "From")))
            | {"params": [NEAREST]},
        ]
    )  # fmt: skip


def volume_window_spec() -> Spec:
    """Return the volume-load of a lift by week: `bars` (d, e, v, week, value, reps)."""
    return _framed(
        [
            _part("bars", {"type": "rect", "color": MAIN}, x=_day(), x2={"field": "e"},
                  y={**_amount("v"), "scale": {"zero": True, "padding": 0}}, y2={"datum": 0},
                  tooltip=told(("week", "Week"), ("value", "Volume-load"), ("reps", "Reps"))),
        ]
    )  # fmt: skip


def overview_spec() -> Spec:
    """Return the whole history of a lift, small, with a brush: `all` (d, v)."""
    return {
        "width": "container",
        "height": OVERVIEW_HEIGHT,
        "config": CONFIG,
        "data": {"name": "all"},
        "params": [
            {
                "name": "brush",
                "select": {"type": "interval", "encodings": ["x"]},
            }
        ],
        "mark": {"type": "line", "color": MAIN, "strokeWidth": 1.4},
        "encoding": {
            "x": day_axis(),
            "y": {**amount("v"), "scale": {"zero": False}, "axis": None},
            "detail": _PART,
        },
    }  # fmt: skip


_SEEN_LABEL = [
    {"calculate": "max(datum.d, from)", "as": "d"},
    {"filter": "datum.d <= to && min(datum.e, to) - datum.d > 0.05 * (to - from)"},
]
"""A label stands where its stretch begins or the window does, if there is room for it."""


def _framed(parts: list[Spec]) -> Spec:
    return {
        "width": "container",
        "height": DETAIL_HEIGHT,
        "config": CONFIG,
        "params": [{"name": "from", "value": 0}, {"name": "to", "value": 0}],
        "layer": parts,
    }


def _part(name: str, mark: Spec, inside: str = "", **encoding: Any) -> Spec:
    within = inside or "datum.d >= from && datum.d <= to"
    return {
        "data": {"name": name},
        "transform": [{"filter": within}],
        "mark": {**mark, "clip": True},
        "encoding": encoding,
    }


def _day() -> Spec:
    return day_axis() | {
        "scale": {"domainMin": {"expr": "from"}, "domainMax": {"expr": "to"}, "nice": False}
    }


def _amount(field: str) -> Spec:
    return {
        "field": field,
        "type": "quantitative",
        "scale": {"zero": False, "padding": ROOM},
        "axis": {"title": "TITLE"},
    }
