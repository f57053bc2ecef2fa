"""Where the work of a month landed: muscles against plan, positions, rep zones, effort."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

import polars as pl

from plateline.exercises import annotate
from plateline.report.months import month_end, previous_month
from plateline.words import Role

__all__ = ["every_week", "in_month", "last_day_of_weeks", "muscle_rows", "plan_rows", "work_frames"]

CHART_WEEKS = 13
"""Weeks that the charts of zones, effort and accessory work go back: a quarter."""

INDIRECT_SHARE = 0.5
"""What a set counts for a muscle that it trains indirectly (Pelland et al. 2024)."""


def in_month(column: str, month: dt.date) -> pl.Expr:
    """Tell which weeks belong to a month: those whose fourth day does.

    ISO 8601 gives a week to the year that holds its Thursday; the same rule for months gives
    every week to exactly one month.
    """
    return (pl.col(column) + pl.duration(days=3)).is_between(month, month_end(month))


def mondays(month: dt.date, last_day: dt.date) -> list[dt.date]:
    """Return the Mondays of the month's weeks, without those that begin after the last day."""
    end = last_day_of_weeks(month)
    first = month - dt.timedelta(days=month.weekday())
    days = [first + dt.timedelta(weeks=n) for n in range(7)]
    return [
        day for day in days
        if month <= day + dt.timedelta(days=3) and day <= end and day <= last_day
    ]  # fmt: skip


def every_week(
    muscles: pl.DataFrame,
    month: dt.date,
    last_day: dt.date,
    *,
    by: tuple[str, ...] = ("muscle",),
) -> pl.DataFrame:
    """Return hard sets of the month's weeks: a week without any is a row with 0, not a gap.

    Parameters
    ----------
    muscles
        The load room's weekly muscles, or positions.
    month
        First day of the month.
    last_day
        The last day in the log.
    by
        What the sets are summed by.

    Returns
    -------
    pl.DataFrame
        `client, week`, the columns `by`, `hard_sets`; weeks before a client's first are left out.
    """
    known = muscles.drop_nulls(by)
    inside = known.filter(in_month("week", month))
    weeks = pl.DataFrame({"week": mondays(month, last_day)}, schema={"week": pl.Date})
    began = muscles.group_by("client").agg(pl.col("week").min().alias("began"))
    return (
        inside.select("client", *by)
        .unique()
        .join(weeks, how="cross")
        .join(began, on="client", how="left")
        .filter(pl.col("week") >= pl.col("began"))
        .join(
            inside.select("client", *by, "week", "hard_sets"),
            on=["client", *by, "week"],
            how="left",
        )
        .select("client", "week", *by, pl.col("hard_sets").fill_null(0.0))
        .sort("client", "week", *by)
    )


def last_day_of_weeks(month: dt.date) -> dt.date:
    """Return the Sunday that ends the last week of a month: at most three days after it."""
    end = month_end(month)
    thursday = end - dt.timedelta(days=(end.weekday() - 3) % 7)
    return thursday + dt.timedelta(days=3)


def work_frames(
    weekly: Mapping[str, pl.DataFrame], lifts: pl.DataFrame, month: dt.date, last_day: dt.date
) -> dict[str, pl.DataFrame]:
    """Return the weekly frames that the page draws, cut to what it shows.

    Returns
    -------
    dict
        `weekly_muscles`, `weekly_positions`: the weeks of the month; `rep_zones`, `effort`:
        the last quarter, summed over lifts; `weekly_accessories`: the last quarter of the
        accessory lifts trained in the month.
    """
    start = month_end(month) - dt.timedelta(weeks=CHART_WEEKS)
    recent = pl.col("week").is_between(start, month_end(month))
    trained = lifts.filter(pl.col("role") == Role.ACCESSORY, pl.col("sessions_month") > 0).select(
        "client", "exercise"
    )

    def summed(name: str, part: str) -> pl.DataFrame:
        return (
            weekly[name]
            .filter(recent)
            .group_by("client", "week", part, f"{part}_order")
            .agg(pl.col("sets").sum())
            .sort("client", "week", f"{part}_order")
        )

    return {
        "weekly_muscles": every_week(weekly["weekly_muscles"], month, last_day),
        "weekly_positions": every_week(
            weekly["weekly_positions"], month, last_day, by=("muscle", "position")
        ),
        "rep_zones": summed("rep_zones", "zone"),
        "effort": summed("effort", "effort"),
        "weekly_accessories": weekly["weekly_load"]
        .filter(recent)
        .join(trained, on=["client", "exercise"], how="semi")
        .select("client", "week", "exercise", "reps", "volume_load_kg", "hard_sets"),
    }


def muscle_rows(
    muscles: pl.DataFrame,
    positions: pl.DataFrame,
    adherence: pl.DataFrame,
    catalogue: pl.DataFrame,
    month: dt.date,
    last_day: dt.date,
) -> pl.DataFrame:
    """Return hard sets a week per muscle: done, planned, last month, and where loaded.

    Parameters
    ----------
    muscles, positions
        The load room's weekly muscles and positions.
    adherence
        The load room's adherence, which says what was planned in each week.
    catalogue
        CATALOGUE, for the muscles of planned lifts.
    month
        First day of the month.
    last_day
        The last day in the log.

    Returns
    -------
    pl.DataFrame
        `client, muscle, hard_sets_week, planned_sets, before_week, lengthened_share`, most
        sets first; means over the weeks of the month (or of the month before).
    """
    key = ["client", "muscle"]
    now = _mean(every_week(muscles, month, last_day), "hard_sets_week")
    earlier = _mean(every_week(muscles, previous_month(month), last_day), "before_week")
    planned = _planned(adherence, catalogue, month)
    lengthened = (
        positions.filter(in_month("week", month), pl.col("position").is_not_null())
        .group_by(key)
        .agg(
            lengthened_share=pl.col("hard_sets").filter(pl.col("position") == "lengthened").sum()
            / pl.col("hard_sets").sum()
        )
    )
    return (
        now.join(planned, on=key, how="full", coalesce=True)
        .join(earlier, on=key, how="left")
        .join(lengthened, on=key, how="left")
        .with_columns(pl.col("hard_sets_week").fill_null(0.0))
        .sort("client", "hard_sets_week", "muscle", descending=[False, True, False])
    )


def _mean(weeks: pl.DataFrame, name: str) -> pl.DataFrame:
    return weeks.group_by("client", "muscle").agg(pl.col("hard_sets").mean().alias(name))


def _planned(adherence: pl.DataFrame, catalogue: pl.DataFrame, month: dt.date) -> pl.DataFrame:
    """Return `client, muscle, planned_sets`: what the plan asks for in a week of the month."""
    due = adherence.filter(in_month("week", month), pl.col("status") != "added")
    if due.is_empty():
        return pl.DataFrame(
            schema={"client": pl.String, "muscle": pl.String, "planned_sets": pl.Float64}
        )
    weeks = due.group_by("client").agg(pl.col("week").n_unique().alias("weeks"))
    about = annotate(due["exercise"].unique(), catalogue).unique("exercise", keep="first")
    counted = pl.concat(
        about.select("exercise", pl.col(column).alias("muscle"), pl.lit(share).alias("share"))
        .explode("muscle")
        .drop_nulls("muscle")
        for column, share in (("direct", 1.0), ("indirect", INDIRECT_SHARE))
    )
    return (
        due.group_by("client", "exercise")
        .agg(pl.col("sets_planned").sum())
        .join(counted, on="exercise", how="inner")
        .group_by("client", "muscle")
        .agg((pl.col("sets_planned") * pl.col("share")).sum().alias("sets"))
        .join(weeks, on="client", how="left")
        .select("client", "muscle", planned_sets=pl.col("sets") / pl.col("weeks"))
    )


def plan_rows(adherence: pl.DataFrame, month: dt.date) -> pl.DataFrame:
    """Return plan against done per lift over the weeks of the month, in the plan's order.

    Returns
    -------
    pl.DataFrame
        `client, exercise, role, sets_planned, sets_done, sets_in_range, sets_below_range,
        sets_above_range, sets_with_rir, sets_rir_reached, weeks_missed, swapped_for`.
    """
    due = adherence.filter(in_month("week", month))
    return (
        due.filter(pl.col("status") != "added")
        .group_by("client", "exercise", maintain_order=True)
        .agg(
            pl.col("role").drop_nulls().first(),
            pl.col(
                "sets_planned",
                "sets_done",
                "sets_in_range",
                "sets_below_range",
                "sets_above_range",
                "sets_with_rir",
                "sets_rir_reached",
            ).sum(),
            pl.col("week").filter(pl.col("status") == "missed").n_unique().alias("weeks_missed"),
            pl.col("swapped_for").drop_nulls().unique(maintain_order=True),
        )
    )
