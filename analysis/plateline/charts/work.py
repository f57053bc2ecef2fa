"""How the work was done: rep zones, effort, and accessory lifts, week by week."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import polars as pl

from plateline.charts.figure import Figure
from plateline.charts.lean import lean_rows, unit_factor
from plateline.charts.marks import day_axis, layer, told
from plateline.charts.theme import PAPER
from plateline.charts.weeks import WEEK_BAR_DAYS, ordered, over, strips
from plateline.load.zones import EFFORT_BANDS, REP_RANGES

__all__ = ["accessory_chart", "effort_chart", "rep_zone_chart"]

LEFT_TO_RIGHT = "\u200e"


def rep_zone_chart(
    zones: pl.DataFrame,
    *,
    order: Sequence[str] = tuple(zone.name for zone in REP_RANGES),
    title: str = "Reps a set, week by week",
) -> Figure:
    """Draw the share of sets by rep zone, week by week.

    Parameters
    ----------
    zones
        Rows of `load.rep_zones` of one client: `week, zone, sets`; summed over lifts here.
    order
        The zones from few reps to many.
    title
        The heading.
    """
    return _shares(
        zones.select("week", part="zone", amount="sets"),
        order,
        title=title,
        what="Share of working sets by reps",
        caption="Share of the week's working sets; darkest: fewest reps.",
    )


def effort_chart(
    effort: pl.DataFrame,
    *,
    order: Sequence[str] = tuple(band.name for band in EFFORT_BANDS),
    title: str = "How close to failure sets ended",
) -> Figure:
    """Draw the share of sets by reps in reserve, week by week.

    Parameters
    ----------
    effort
        Rows of `load.effort` of one client: `week, effort, sets`; summed over lifts here.
    order
        The classes from failure to easy, then what was not logged.
    title
        The heading.
    """
    return _shares(
        effort.select("week", part="effort", amount="sets"),
        order,
        title=title,
        what="Share of working sets by reps in reserve",
        caption="Share of the week's working sets; darkest: nearest failure.",
    )


def accessory_chart(
    weekly: pl.DataFrame,
    *,
    unit: str = "kg",
    title: str = "Accessory work, week by week",
    lifts: int = 8,
) -> Figure:
    """Draw reps and volume-load of accessory lifts, a strip of weeks for each.

    Parameters
    ----------
    weekly
        Rows of `load.weekly_load` of the accessory lifts of one client:
        `week, exercise, reps, volume_load_kg`.
    unit
        `kg` or `lb`.
    title
        The heading.
    lifts
        How many lifts to show: those with the most reps.
    """
    factor = unit_factor(unit)
    most = (
        weekly.group_by("exercise")
        .agg(pl.col("reps").sum())
        .sort("reps", "exercise", descending=[True, False])
        .head(lifts)["exercise"]
        .to_list()
    )
    kept = (
        weekly.filter(pl.col("exercise").is_in(most))
        .sort("week")
        .with_columns(
            row=pl.col("exercise").replace_strict(most, list(range(len(most)))),
            share=pl.col("reps") / pl.col("reps").max().over("exercise"),
            work=(pl.col("volume_load_kg") * factor).round(0),
            dark=pl.col("volume_load_kg")
            / pl.max_horizontal(pl.col("volume_load_kg").max().over("exercise"), 1e-9),
            loaded=pl.col("volume_load_kg").max().over("exercise") > 0,
        )
    )
    work_text = (
        pl.when("loaded")
        .then(pl.format("{} " + unit, pl.col("work").cast(pl.Int64)))
        .otherwise(pl.lit("body mass alone"))
    )
    bars = lean_rows(
        kept,
        {
            "d": "week",
            "e": pl.col("week") + pl.duration(days=WEEK_BAR_DAYS),
            "a": pl.col("row") + 0.92,
            "b": pl.col("row") + 0.92 - 0.52 * pl.col("share"),
            "o": pl.when("loaded").then("dark").otherwise(1.0),
            "x": "exercise",
            "w": pl.col("week").dt.to_string("week of %-d %b %Y"),
            "r": pl.format("{} reps", "reps"),
            "v": work_text,
        },
    )
    last = kept.group_by("exercise", maintain_order=True).last()
    labels = lean_rows(
        last,
        {
            "d": pl.lit(kept["week"].min() if len(kept) else None),
            "y": pl.col("row") + 0.22,
            # The mark keeps the numbers in their place beside names written right to left.
            "t": pl.format(
                f"{{}}{LEFT_TO_RIGHT}: {{}} reps, {{}} in the last week",
                "exercise",
                "reps",
                work_text,
            ),
        },
    )
    spec = strips(
        bars,
        labels,
        len(most),
        tooltip=told(("x", "Lift"), ("w", "Week"), ("r", "Reps"), ("v", "Volume-load")),
        opacity={
            "field": "o",
            "type": "quantitative",
            "legend": None,
            "scale": {"domain": [0, 1], "range": [0.18, 1]},
        },
    )
    said = "; ".join(f"{row['x']} {row['r']}" for row in _last_of(bars))
    return Figure(
        spec,
        title=title,
        alt=f"Reps of each accessory lift in its last week: {said}." if said else title,
        caption="Height: reps that week, against the lift's own most. Strength of colour: volume-load.",
    )


def _last_of(bars: list[dict[str, Any]]) -> list[dict[str, Any]]:
    return list({row["x"]: row for row in bars}.values())


def _shares(
    parts: pl.DataFrame, order: Sequence[str], *, title: str, what: str, caption: str
) -> Figure:
    parts = parts.group_by("week", "part").agg(pl.col("amount").sum()).sort("week", "part")
    there = set(parts["part"])
    names = [name for name in order if name in there]
    places = list(range(len(names)))
    weekly = (
        parts.filter(pl.col("part").is_in(names))
        .with_columns(place=pl.col("part").replace_strict(names, places))
        .sort("week", "place")
        .with_columns(
            share=pl.col("amount") / pl.max_horizontal(pl.col("amount").sum().over("week"), 1e-9)
        )
        .with_columns(top=pl.col("share").cum_sum().over("week"))
        .filter(pl.col("share") > 0)
    )
    rows = lean_rows(
        weekly,
        {
            "d": "week",
            "e": pl.col("week") + pl.duration(days=WEEK_BAR_DAYS),
            "a": pl.col("top") - pl.col("share"),
            "b": "top",
            "p": "part",
            "w": pl.col("week").dt.to_string("week of %-d %b %Y"),
            "t": pl.format(
                "{} sets, {} %",
                pl.col("amount").round(1),
                (pl.col("share") * 100).round(0).cast(pl.Int64),
            ),
        },
    )
    y = {"type": "quantitative", "scale": {"domain": [0, 1], "nice": False}}
    spec = {
        "height": 190,
        **layer(
            {"type": "rect", "stroke": PAPER, "strokeWidth": 0.8},
            rows,
            x=day_axis(),
            x2={"field": "e"},
            y={"field": "a", **y, "axis": {"title": None, "format": ".0%", "tickCount": 3}},
            y2={"field": "b"},
            color=ordered("p", order, names),
            tooltip=told(("w", "Week"), ("p", "Class"), ("t", "Sets")),
        ),
    }
    totals = dict(
        parts.group_by("part").agg(pl.col("amount").sum()).sort("part").iter_rows()
    )  # fmt: skip
    whole = sum(totals.values()) or 1.0
    said = ", ".join(f"{name} {totals.get(name, 0) / whole:.0%}" for name in names)
    return Figure(spec, title=title, alt=f"{what}{over(parts['week'])}: {said}.", caption=caption)
