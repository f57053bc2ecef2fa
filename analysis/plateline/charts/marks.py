"""The small parts that the figures share: layers, scales and axes as Vega-Lite dicts."""

from __future__ import annotations

from typing import Any

from plateline.charts.theme import TIME_FORMAT

__all__ = ["NEAREST", "amount", "day_axis", "layer", "quantity", "told"]

Spec = dict[str, Any]

MONTH_MS = 2_629_800_000
TWO_MONTHS_MS = 2 * MONTH_MS
"""A twelfth of 365.25 days, and twice that, in milliseconds."""

LABEL_WIDTH = 44
"""Pixels that the name of a month takes with the room around it."""


NEAREST: Spec = {
    "name": "near",
    "select": {"type": "point", "on": "pointerover", "nearest": True, "clear": "pointerout"},
}
"""A parameter that catches the point nearest to the pointer, so that nobody has to aim."""


def layer(mark: Spec, rows: list[Spec] | None = None, **encoding: Any) -> Spec:
    """Return one layer: a mark, its own rows where given, and its encoding."""
    made: Spec = {"mark": mark, "encoding": encoding}
    if rows is not None:
        made["data"] = {"values": rows}
    return made


_TICKS = (
    f"span(domain('x')) < {TWO_MONTHS_MS} ? max(3, width / 80) : "
    "{interval: 'month', step: MONTHS <= 1 ? 1 : MONTHS <= 2 ? 2 : MONTHS <= 3 ? 3 : "
    "MONTHS <= 6 ? 6 : 12}"
).replace("MONTHS", f"(span(domain('x')) / {MONTH_MS} * {LABEL_WIDTH} / width)")
"""Days on short axes; on longer ones whole months only, as many apart as leaves room."""


def day_axis(field: str = "d", *, title: str | None = None) -> Spec:
    """Return a time axis that labels months, or days where it is short, never hours."""
    return {
        "field": field,
        "type": "temporal",
        "axis": {
            "title": title,
            "format": TIME_FORMAT,
            "tickCount": {"expr": _TICKS},
        },
    }


def quantity(field: str, title: str | None, *, zero: bool = False, **axis: Any) -> Spec:
    """Return a quantity axis with its title (what and unit) at the top left."""
    return {
        "field": field,
        "type": "quantitative",
        "scale": {"zero": zero, "nice": True},
        "axis": {"title": title, **axis},
    }


def amount(field: str) -> Spec:
    """Return a quantity that shares the axis of another layer."""
    return {"field": field, "type": "quantitative"}


def told(*pairs: tuple[str, str]) -> Spec:
    """Return a tooltip: (field, what it is) in order; every field is text or a number.

    Written as an expression because a point caught by :data:`NEAREST` wraps its row once
    more, which Vega-Lite's own field tooltips miss (they show `undefined`).
    """
    said = ", ".join(f"'{title}': (datum.datum || datum).{field}" for field, title in pairs)
    return {"value": {"expr": f"{{{said}}}"}}
