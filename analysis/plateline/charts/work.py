"""Where the work landed: muscles, positions, rep zones, effort, and accessory lifts."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import Any

import polars as pl

from plateline.charts.figure import Figure
from plateline.charts.lean import lean_rows, unit_factor
from plateline.charts.marks import day_axis, layer, quantity, told
from plateline.charts.theme import BAND, INK, MAIN, MARK, PAPER, RAMP, RULE
from plateline.charts.words import counted, day, number
from plateline.load.zones import EFFORT_BANDS, REP_RANGES
from plateline.words import Position

__all__ = [
    "accessory_chart",
    "effort_chart",
    "muscle_weeks_chart",
    "position_chart",
    "rep_zone_chart",
    "weekly_sets_chart",
]

ROW_HEIGHT = 26
"""Height in pixels of a row of bars: a finger wide enough to tap."""

STRIP_HEIGHT = 54
"""Height in pixels of one lift's strip of weeks, its label above."""

MUSCLE_STRIP_HEIGHT = 42
"""The same for a muscle: there are many, and all have to fit on one sheet of paper."""

WEEK_BAR_DAYS = 6
"""A week's bar is six days wide, which leaves a gap to the next."""


LEGEND_IN_A_ROW = 4
"""So many short names fit side by side on a phone; more stand in columns of three."""

UNKNOWN = frozenset({"not logged", "not known"})
"""Classes that say nothing about effort or load: drawn grey, at the end."""


def weekly_sets_chart(
    muscles: pl.DataFrame,
    planned: pl.DataFrame | None = None,
    *,
    title: str = "Hard sets a week, by muscle",
) -> Figure:
    """Draw hard sets per muscle: the mean of the weeks given, each week, and the plan.

    Parameters
    ----------
    muscles
        Rows of `load.weekly_muscles` of one client and the weeks to show:
        `week, muscle, hard_sets`.
    planned
        What the plan asks for in a usual week: `muscle, planned_sets`.
    title
        The heading.
    """
    muscles = _named(muscles)
    weeks = muscles["week"].n_unique()
    means = (
        muscles.group_by("muscle")
        .agg(mean=pl.col("hard_sets").sum() / max(weeks, 1))
        .sort("mean", "muscle", descending=[True, False])
    )
    if planned is not None and len(planned):
        plan = planned.group_by("muscle").agg(pl.col("planned_sets").sum())
        means = means.join(plan, on="muscle", how="full", coalesce=True).with_columns(
            pl.col("mean").fill_null(0.0)
        )
        means = means.sort("mean", "muscle", descending=[True, False])
    else:
        means = means.with_columns(planned_sets=pl.lit(None, dtype=pl.Float64))
    rows = means["muscle"].to_list()
    y = _row_axis("m", rows)
    bars = lean_rows(
        means,
        {
            "m": "muscle",
            "v": "mean",
            "p": "planned_sets",
            "tv": pl.format("{} a week", pl.col("mean").round(1)),
            "tp": pl.format("{} a week", pl.col("planned_sets").round(1)).fill_null("none"),
        },
    )
    single = lean_rows(
        muscles.sort("week", "muscle"),
        {
            "m": "muscle",
            "v": "hard_sets",
            "w": pl.col("week").dt.to_string("week of %-d %b %Y"),
            "t": pl.format("{} hard sets", pl.col("hard_sets").round(1)),
        },
    )
    has_plan = means["planned_sets"].is_not_null().any()
    spec: dict[str, Any] = {
        "height": ROW_HEIGHT * max(len(rows), 1),
        "layer": [
            layer({"type": "bar", "color": BAND, "height": {"band": 0.62}}, bars,
                  y=y, x=quantity("v", None, zero=True, orient="bottom", tickMinStep=1, grid=True,
                                  titleAngle=0),
                  tooltip=told(("m", "Muscle"), ("tv", "Mean"), ("tp", "Plan"))),
            layer({"type": "point", "size": 26, "filled": True, "fill": PAPER, "stroke": MAIN,
                   "strokeWidth": 1.2}, single,
                  y=y, x={"field": "v", "type": "quantitative"},
                  tooltip=told(("m", "Muscle"), ("w", "Week"), ("t", "Done"))),
            *([layer({"type": "tick", "color": MARK, "thickness": 3, "size": 22},
                     [row for row in bars if "p" in row],
                     y=y, x={"field": "p", "type": "quantitative"})] if has_plan else []),
        ],
    }  # fmt: skip
    said = ", ".join(
        f"{row['muscle']} {number(row['mean'])}"
        + (f" (plan {number(row['planned_sets'])})" if row["planned_sets"] is not None else "")
        for row in means.iter_rows(named=True)
    )
    return Figure(
        spec,
        title=title,
        alt=f"Mean hard sets a week over {counted(weeks, 'week')}: {said}.",
        caption="Bar: mean of the weeks shown. Circles: single weeks."
        + (" Upright mark: the plan." if has_plan else "")
        + " A set counts 1 for a direct muscle and 0.5 for an indirect one.",
    )


def position_chart(
    positions: pl.DataFrame, *, title: str = "Where in its range each muscle was loaded"
) -> Figure:
    """Draw hard sets a week per muscle, split by loaded position.

    Parameters
    ----------
    positions
        Rows of `load.weekly_positions`: `week, muscle, position, hard_sets`.
    title
        The heading.
    """
    positions = _named(positions)
    weeks = max(positions["week"].n_unique(), 1)
    order = [position.value for position in Position]
    means = (
        positions.filter(pl.col("position").is_in(order))
        .group_by("muscle", "position")
        .agg(mean=pl.col("hard_sets").sum() / weeks)
        .with_columns(place=pl.col("position").replace_strict(order, [0, 1, 2], default=0))
        .sort("muscle", "place")
    )
    totals = means.group_by("muscle").agg(pl.col("mean").sum()).sort(
        "mean", "muscle", descending=[True, False]
    )  # fmt: skip
    rows = lean_rows(
        means,
        {
            "m": "muscle",
            "p": "position",
            "o": "place",
            "v": "mean",
            "t": pl.format("{} hard sets a week", pl.col("mean").round(1)),
        },
    )
    spec = {
        "height": ROW_HEIGHT * max(len(totals), 1),
        **layer(
            {"type": "bar", "height": {"band": 0.62}, "stroke": PAPER, "strokeWidth": 1},
            rows,
            y=_row_axis("m", totals["muscle"].to_list()),
            x=quantity("v", None, zero=True, tickMinStep=1, grid=True),
            order={"field": "o", "type": "quantitative"},
            color=_ordered("p", order, order),
            tooltip=told(("m", "Muscle"), ("p", "Loaded most"), ("t", "Done")),
        ),
    }
    sums = means.group_by("position").agg(pl.col("mean").sum())
    share = dict(sums.iter_rows())
    total = sum(share.values()) or 1.0
    said = ", ".join(f"{name} {share.get(name, 0.0) / total:.0%}" for name in order)
    return Figure(
        spec,
        title=title,
        alt=f"Share of hard sets by loaded position over {counted(weeks, 'week')}: {said}.",
        caption="Hard sets a week; darkest: loaded most where the muscle is long.",
    )


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
    strips = lean_rows(
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
            "t": pl.format("{}: {} reps, {} in the last week", "exercise", "reps", work_text),
        },
    )
    spec = _strips(
        strips,
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
    said = "; ".join(f"{row['x']} {row['r']}" for row in _last_of(strips))
    return Figure(
        spec,
        title=title,
        alt=f"Reps of each accessory lift in its last week: {said}." if said else title,
        caption="Height: reps that week, against the lift's own most. Strength of colour: volume-load.",
    )


def muscle_weeks_chart(muscles: pl.DataFrame, *, title: str = "Hard sets, week by week") -> Figure:
    """Draw the hard sets of every muscle, a strip of weeks for each, all on one scale.

    Parameters
    ----------
    muscles
        Rows of `load.weekly_muscles` of one client: `week, muscle, hard_sets`.
    title
        The heading.
    """
    muscles = _named(muscles)
    order = (
        muscles.group_by("muscle")
        .agg(pl.col("hard_sets").sum())
        .sort("hard_sets", "muscle", descending=[True, False])["muscle"]
        .to_list()
    )
    most = muscles["hard_sets"].max() or 1.0
    kept = muscles.sort("week").with_columns(
        row=pl.col("muscle").replace_strict(order, list(range(len(order))))
    )
    strips = lean_rows(
        kept,
        {
            "d": "week",
            "e": pl.col("week") + pl.duration(days=WEEK_BAR_DAYS),
            "a": pl.col("row") + 0.92,
            "b": pl.col("row") + 0.92 - 0.56 * pl.col("hard_sets") / most,
            "m": "muscle",
            "w": pl.col("week").dt.to_string("week of %-d %b %Y"),
            "t": pl.format("{} hard sets", pl.col("hard_sets").round(1)),
        },
    )
    means = kept.group_by("muscle", "row", maintain_order=True).agg(
        mean=pl.col("hard_sets").sum() / muscles["week"].n_unique()
    )
    labels = lean_rows(
        means,
        {
            "d": pl.lit(kept["week"].min()),
            "y": pl.col("row") + 0.22,
            "t": pl.format("{}: {} a week", "muscle", pl.col("mean").round(1)),
        },
    )
    spec = _strips(
        strips,
        labels,
        len(order),
        height=MUSCLE_STRIP_HEIGHT,
        tooltip=told(("m", "Muscle"), ("w", "Week"), ("t", "Done")),
    )
    said = ", ".join(
        f"{name} {number(mean)}"
        for name, mean in means.sort("row").select("muscle", "mean").iter_rows()
    )
    return Figure(
        spec,
        title=title,
        alt=f"Mean hard sets a week{_over(muscles['week'])}: {said}.",
        caption="All bars on one scale. A set counts 1 for a direct muscle and 0.5 for an "
        "indirect one.",
    )


def _strips(
    strips: list[dict[str, Any]],
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
            layer({"type": "rect", "color": MAIN, "stroke": RULE, "strokeWidth": 0.5}, strips,
                  x=day_axis(), x2={"field": "e"}, y={"field": "a", **y}, y2={"field": "b"},
                  tooltip=tooltip, **shade),
            layer({"type": "text", "align": "left", "baseline": "middle", "color": INK,
                   "fontSize": 12, "limit": {"expr": "width"}}, labels,
                  x=day_axis(), y={"field": "y", **y}, text={"field": "t"}),
        ],
    }  # fmt: skip


def _last_of(strips: list[dict[str, Any]]) -> list[dict[str, Any]]:
    return list({row["x"]: row for row in strips}.values())


def _named(muscles: pl.DataFrame) -> pl.DataFrame:
    """Return rows of muscles, those of exercises the catalogue does not know under one name."""
    return muscles.with_columns(pl.col("muscle").fill_null("muscle not known"))


def _row_axis(field: str, order: list[str]) -> dict[str, Any]:
    return {
        "field": field,
        "type": "nominal",
        "sort": order,
        "axis": {"title": None, "labelColor": INK, "labelLimit": 120},
    }


def _ordered(field: str, order: Sequence[str], there: Sequence[str]) -> dict[str, Any]:
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
        "legend": {"columns": len(there) if len(there) <= LEGEND_IN_A_ROW else 3},
    }


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
            color=_ordered("p", order, names),
            tooltip=told(("w", "Week"), ("p", "Class"), ("t", "Sets")),
        ),
    }
    totals = dict(
        parts.group_by("part").agg(pl.col("amount").sum()).sort("part").iter_rows()
    )  # fmt: skip
    whole = sum(totals.values()) or 1.0
    said = ", ".join(f"{name} {totals.get(name, 0) / whole:.0%}" for name in names)
    return Figure(spec, title=title, alt=f"{what}{_over(parts['week'])}: {said}.", caption=caption)


def _over(weeks: pl.Series) -> str:
    first, last = weeks.min(), weeks.max()
    if not isinstance(first, dt.date) or not isinstance(last, dt.date):
        return ""
    return f", {counted(weeks.n_unique(), 'week')} from {day(first)}"
