"""Where the work landed: hard sets by muscle and by loaded position."""

from __future__ import annotations

import datetime as dt
from typing import Any

import polars as pl

from plateline.charts.figure import Figure
from plateline.charts.lean import lean_rows
from plateline.charts.marks import layer, quantity, told
from plateline.charts.theme import BAND, INK, MAIN, MARK, PAPER
from plateline.charts.weeks import WEEK_BAR_DAYS, ordered, over, strips
from plateline.charts.words import counted, number
from plateline.words import Position

__all__ = ["muscle_weeks_chart", "position_chart", "weekly_sets_chart"]

ROW_HEIGHT = 26
"""Height in pixels of a row of bars: a finger wide enough to tap."""

STRIP_HEIGHT = 42
"""Height of a muscle's strip of weeks: there are many, and all have to fit on one sheet."""

FEWEST_WEEKS = 8
"""An axis of weeks has room for so many, so that the bars of a new log are bars, not slabs."""


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
            color=ordered("p", order, order),
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
        caption="Hard sets a week, direct ones only; darkest: loaded most where the muscle is long.",
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
    bars = lean_rows(
        kept,
        {
            "d": "week",
            "e": pl.col("week") + pl.duration(days=WEEK_BAR_DAYS),
            "a": pl.col("row") + 0.92,
            "b": pl.col("row") + 0.92 - 0.5 * pl.col("hard_sets") / most,
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
            "d": pl.lit(_axis_start(kept["week"])),
            "y": pl.col("row") + 0.22,
            "t": pl.format("{}: {} a week", "muscle", pl.col("mean").round(1)),
        },
    )
    spec = strips(
        bars,
        labels,
        len(order),
        height=STRIP_HEIGHT,
        tooltip=told(("m", "Muscle"), ("w", "Week"), ("t", "Done")),
    )
    said = ", ".join(
        f"{name} {number(mean)}"
        for name, mean in means.sort("row").select("muscle", "mean").iter_rows()
    )
    return Figure(
        spec,
        title=title,
        alt=f"Mean hard sets a week{over(muscles['week'])}: {said}.",
        caption="All bars on one scale. A set counts 1 for a direct muscle and 0.5 for an "
        "indirect one.",
    )


def _axis_start(weeks: pl.Series) -> dt.date | None:
    """Return where the axis begins: with the first week, or earlier where there are few."""
    first, last = weeks.min(), weeks.max()
    if not isinstance(first, dt.date) or not isinstance(last, dt.date):
        return None
    return min(first, last - dt.timedelta(weeks=FEWEST_WEEKS - 1))


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
