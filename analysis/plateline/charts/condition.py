"""Load, readiness and body mass over time."""

from __future__ import annotations

from typing import Any

import polars as pl

from plateline.charts.figure import Figure
from plateline.charts.lean import lean_rows, unit_factor
from plateline.charts.marks import amount, day_axis, layer, quantity, told
from plateline.charts.theme import INK, MAIN, PAPER, QUIET, SHADE
from plateline.charts.words import counted, number, span

__all__ = ["body_mass_chart", "load_ratio_chart", "readiness_chart"]

HEIGHT = 180


def load_ratio_chart(
    ratios: pl.DataFrame,
    *,
    value: str = "ratio",
    date: str = "date",
    title: str = "This week's load against the weeks before",
) -> Figure:
    """Draw the ratio of recent to usual load; 1 is as usual.

    Parameters
    ----------
    ratios
        One client's rows: a day (or week) and the ratio.
    value, date
        The names of these two columns.
    title
        The heading.
    """
    known = ratios.filter(pl.col(value).is_not_null()).sort(date)
    rows = lean_rows(
        known,
        {
            "d": date,
            "v": value,
            "w": pl.col(date).dt.to_string("%-d %b %Y"),
            "t": pl.format("{} times the usual", pl.col(value).round(2)),
        },
    )
    spec = {
        "height": HEIGHT,
        "layer": [
            layer({"type": "rule", "color": QUIET, "strokeDash": [4, 3]}, [{"one": 1}],
                  y={"field": "one", "type": "quantitative"}),
            layer({"type": "line", "color": MAIN}, rows, x=day_axis(),
                  y=quantity("v", "Times the usual load")),
            _dots(rows, told(("w", "Day"), ("t", "Load"))),
        ],
    }  # fmt: skip
    said = ""
    if len(known):
        said = (
            f" From {number(known[value].min())} to {number(known[value].max())},"  # type: ignore[arg-type]
            f" last {number(known[value][-1])}."
        )
    return Figure(
        spec,
        title=title,
        alt=f"Ratio of recent to usual load{_when(known, date)}.{said}",
        caption="1 is as usual. The ratio describes; it does not predict injury.",
    )


def readiness_chart(
    readiness: pl.DataFrame,
    *,
    value: str = "readiness",
    date: str = "date",
    title: str = "Readiness against the usual",
) -> Figure:
    """Draw readiness as the distance from the client's own usual.

    Parameters
    ----------
    readiness
        One client's rows: a day and the score (0 is the client's usual, in standard
        deviations).
    value, date
        The names of these two columns.
    title
        The heading.
    """
    known = readiness.filter(pl.col(value).is_not_null()).sort(date)
    rows = lean_rows(
        known,
        {
            "d": date,
            "v": value,
            "w": pl.col(date).dt.to_string("%-d %b %Y"),
            "t": pl.format("{}", pl.col(value).round(1)),
        },
    )
    spec = {
        "height": HEIGHT,
        "layer": [
            layer({"type": "rect", "color": SHADE}, [{"a": -1, "b": 1}],
                  y={"field": "a", "type": "quantitative"}, y2={"field": "b"}),
            layer({"type": "line", "color": MAIN}, rows, x=day_axis(),
                  y=quantity("v", "Above or below the usual, standard deviations")),
            _dots(rows, told(("w", "Day"), ("t", "Readiness"))),
        ],
    }  # fmt: skip
    return Figure(
        spec,
        title=title,
        alt=f"Readiness{_when(known, date)}, {counted(len(known), 'check-in')}."
        + (f" Last {number(known[value][-1])} from the usual." if len(known) else ""),
        caption="Shaded: the client's usual range, one standard deviation either way.",
    )


def body_mass_chart(
    checkins: pl.DataFrame,
    *,
    unit: str = "kg",
    phase: str | None = None,
    title: str = "Body mass",
) -> Figure:
    """Draw body mass: each check-in, and the mean of the seven days that end with it.

    Parameters
    ----------
    checkins
        CHECKINS rows of one client.
    unit
        `kg` or `lb`.
    phase
        What body mass is meant to do (`gain`, `hold`, `lose`); told in the caption.
    title
        The heading.
    """
    factor = unit_factor(unit)
    known = (
        checkins.filter(pl.col("body_mass_kg").is_not_null())
        .sort("date")
        .with_columns(mass=pl.col("body_mass_kg") * factor)
        .with_columns(smooth=pl.col("mass").rolling_mean_by("date", window_size="7d"))
    )
    rows = lean_rows(
        known,
        {
            "d": "date",
            "v": "mass",
            "s": "smooth",
            "w": pl.col("date").dt.to_string("%-d %b %Y"),
            "t": pl.format("{} " + unit, pl.col("mass").round(1)),
        },
    )
    spec: dict[str, Any] = {
        "height": HEIGHT,
        "layer": [
            layer({"type": "line", "color": MAIN, "strokeWidth": 2.2}, rows,
                  x=day_axis(), y=quantity("s", f"Body mass, {unit}")),
            layer({"type": "point", "size": 22, "filled": True, "fill": PAPER, "stroke": INK,
                   "strokeWidth": 1.1}, rows,
                  x=day_axis(), y=amount("v"), tooltip=told(("w", "Day"), ("t", "Body mass"))),
        ],
    }  # fmt: skip
    said = ""
    if len(known):
        said = f" From {number(known['smooth'][0])} to {number(known['smooth'][-1])} {unit}."
    aims = {"gain": "to gain", "hold": "to hold", "lose": "to lose"}
    aim = f" The phase's aim: {aims[phase]}." if phase in aims else ""
    return Figure(
        spec,
        title=title,
        alt=f"Body mass{_when(known, 'date')}, {counted(len(known), 'check-in')}.{said}{aim}",
        caption=f"Circles: check-ins. Line: mean of seven days.{aim}",
    )


def _dots(rows: list[dict[str, Any]], tooltip: list[dict[str, Any]]) -> dict[str, Any]:
    mark = {"type": "point", "size": 24, "filled": True, "fill": PAPER, "stroke": MAIN,
            "strokeWidth": 1.2}  # fmt: skip
    return layer(mark, rows, x=day_axis(), y=amount("v"), tooltip=tooltip)


def _when(known: pl.DataFrame, date: str) -> str:
    return f" from {span(known[date][0], known[date][-1])}" if len(known) else ""
