"""Parts of the figures about weeks of work: strips of weekly bars, and ordered colours."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import Any

import polars as pl

from plateline.charts.marks import day_axis, layer
from plateline.charts.theme import INK, MAIN, RAMP, RULE
from plateline.charts.words import counted, day

__all__ = ["STRIP_HEIGHT", "WEEK_BAR_DAYS", "ordered", "over", "strips"]

STRIP_HEIGHT = 54
"""Height in pixels of one lift's strip of weeks, its label above."""

WEEK_BAR_DAYS = 6
"""A week's bar is six days wide, which leaves a gap to the next."""

LEGEND_IN_A_ROW = 4
LETTER_WIDTH, SYMBOL_WIDTH = 6.6, 34
"""So many names stand side by side where the picture is wide enough for them (pixels a letter,
and a symbol with its margins); else, and where there are more, in two columns."""

UNKNOWN = frozenset({"not logged", "not known"})
"""Classes that say nothing about effort or load: drawn grey, at the end."""


def strips(
    bars: list[dict[str, Any]],
    labels: list[dict[str, Any]],
    rows: int,
    *,
    height: int = STRIP_HEIGHT,
    tooltip: dict[str, Any],
    opacity: dict[str, Any] | None = None,
) -> dict[str, Any]:
    """Return strips of weekly bars, each with its label above it (`d, e, a, b`; `d, y, t`)."""
    ends = {"domain": [0, max(rows, 1)], "nice": False, "reverse": True}
    y = {"type": "quantitative", "axis": None, "scale": ends}
    shade = {"opacity": opacity} if opacity else {}
    return {
        "height": height * max(rows, 1),
        "layer": [
            layer({"type": "rect", "color": MAIN, "stroke": RULE, "strokeWidth": 0.5}, bars,
                  x=day_axis(), x2={"field": "e"}, y={"field": "a", **y}, y2={"field": "b"},
                  tooltip=tooltip, **shade),
            layer({"type": "text", "align": "left", "baseline": "middle", "color": INK,
                   "fontSize": 12, "limit": {"expr": "width"}}, labels,
                  x=day_axis(), y={"field": "y", **y}, text={"field": "t"}),
        ],
    }  # fmt: skip


def ordered(field: str, order: Sequence[str], there: Sequence[str]) -> dict[str, Any]:
    """Return a colour that goes from dark to pale in the order of the classes.

    A class has its colour whether or not the others are there, so that two charts compare.
    """
    ranked = [name for name in order if name not in UNKNOWN]
    last = max(len(ranked) - 1, 1)
    shades = {
        name: RAMP[round(place * (len(RAMP) - 1) / last)] for place, name in enumerate(ranked)
    }
    return {
        "field": field,
        "type": "nominal",
        "scale": {"domain": list(there), "range": [shades.get(name, RULE) for name in there]},
        "legend": {"columns": _legend_columns(there)},
    }


def _legend_columns(names: Sequence[str]) -> int | dict[str, str]:
    if not 2 < len(names) <= LEGEND_IN_A_ROW:
        return 2
    needed = round(LETTER_WIDTH * sum(map(len, names)) + SYMBOL_WIDTH * len(names))
    return {"expr": f"width < {needed} ? 2 : {len(names)}"}


def over(weeks: pl.Series) -> str:
    """Return over which weeks a figure looks, as the end of a clause."""
    first, last = weeks.min(), weeks.max()
    if not isinstance(first, dt.date) or not isinstance(last, dt.date):
        return ""
    return f", {counted(weeks.n_unique(), 'week')} from {day(first)}"
