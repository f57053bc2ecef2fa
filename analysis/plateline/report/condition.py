"""Body mass, readiness, load and plan of a month: one row of facts per client."""

from __future__ import annotations

import datetime as dt

import polars as pl

from plateline.report.months import month_end
from plateline.report.work import in_month
from plateline.words import Role, State

__all__ = [
    "WEEK_RATIO",
    "adherence_facts",
    "associations",
    "balance_rows",
    "load_facts",
    "mass_facts",
    "readiness_facts",
    "session_facts",
    "whole_weeks",
]


WEEK_RATIO = "ratio_uncoupled"
"""Which of the load ratios the page shows; see `load_facts`."""


def mass_facts(trend: pl.DataFrame, month: dt.date) -> pl.DataFrame:
    """Return the body-mass trend as it stands at the end of the month.

    Parameters
    ----------
    trend
        `fatigue.body_mass_trend`, up to the end of the month.

    Returns
    -------
    pl.DataFrame
        `client, mass_date, mass_kg, mass_pct_week, mass_low, mass_high, aim_low, aim_high,
        against_aim, weighings`; only clients who were weighed in the month.
    """
    return (
        trend.filter(pl.col("date").is_between(month, month_end(month)))
        .sort("client", "date")
        .group_by("client", maintain_order=True)
        .last()
        .select(
            "client",
            pl.col("date").alias("mass_date"),
            pl.col("level_kg").alias("mass_kg"),
            pl.col("slope_pct_week").alias("mass_pct_week"),
            pl.col("slope_low").alias("mass_low"),
            pl.col("slope_high").alias("mass_high"),
            pl.col("aim_low_pct_week").alias("aim_low"),
            pl.col("aim_high_pct_week").alias("aim_high"),
            "against_aim",
            "weighings",
        )
    )


def readiness_facts(readiness: pl.DataFrame, month: dt.date) -> pl.DataFrame:
    """Return the month's readiness against the months before.

    Returns
    -------
    pl.DataFrame
        `client, checkins_month, hooper, hooper_usual, sleep_h, sleep_usual_h, protein_g_kg,
        energy_kcal, weeks_tired, weeks_short_sleep`.
    """
    inside = in_month("week", month)
    earlier = (pl.col("week") + pl.duration(days=3)) < month
    return readiness.group_by("client", maintain_order=True).agg(
        pl.col("checkins").filter(inside).sum().alias("checkins_month"),
        pl.col("hooper_index").filter(inside).mean().alias("hooper"),
        pl.col("usual_index").filter(inside).mean().alias("hooper_usual"),
        pl.col("sleep_h").filter(inside).mean().alias("sleep_h"),
        pl.col("sleep_h").filter(earlier).mean().alias("sleep_usual_h"),
        pl.col("protein_g_kg").filter(inside).mean().alias("protein_g_kg"),
        pl.col("energy_kcal").filter(inside).mean().alias("energy_kcal"),
        pl.col("is_high_fatigue").filter(inside).sum().alias("weeks_tired"),
        pl.col("is_short_sleep").filter(inside).sum().alias("weeks_short_sleep"),
    )


def whole_weeks(ratios: pl.DataFrame) -> pl.DataFrame:
    """Keep the load ratios that stand at the end of a week.

    A ratio taken on a training day is higher than one taken after two days of rest; only
    Sundays can be compared with each other.
    """
    return ratios.filter(pl.col("date") == pl.col("week") + pl.duration(days=6))


def load_facts(ratios: pl.DataFrame, month: dt.date) -> pl.DataFrame:
    """Return how the month's last whole week stands against the three before it.

    The uncoupled rolling ratio: at the end of a week it compares whole weeks, so that 1 is as
    usual; the exponentially weighted one stands below 1 after every weekend off.

    Returns
    -------
    pl.DataFrame
        `client, load_ratio, load_ratio_date`.
    """
    return (
        ratios.filter(
            pl.col("measure") == "volume-load",
            pl.col(WEEK_RATIO).is_not_null(),
            pl.col("date").is_between(month, month_end(month)),
        )
        .sort("client", "date")
        .group_by("client", maintain_order=True)
        .agg(
            pl.col(WEEK_RATIO).last().alias("load_ratio"),
            pl.col("date").last().alias("load_ratio_date"),
        )
    )


def adherence_facts(weeks: pl.DataFrame, month: dt.date) -> pl.DataFrame:
    """Return plan against done over the weeks of the month, for clients with a plan.

    Returns
    -------
    pl.DataFrame
        `client, plan_from, plan_to` (the days of these weeks), `sessions_planned, sessions_done, sets_planned, sets_done, sets_swapped,
        sets_missed, sets_added, reps_in_range_share, rir_reached_share`; the shares are
        means weighted by the sets done.
    """
    counted = ["sets_planned", "sets_done", "sets_swapped", "sets_missed", "sets_added"]

    def weighted(name: str) -> pl.Expr:
        known = pl.col(name).is_not_null()
        weight = pl.col("sets_done").filter(known).sum()
        total = (pl.col(name) * pl.col("sets_done")).filter(known).sum()
        return pl.when(weight > 0).then(total / weight).alias(name)

    return (
        weeks.filter(in_month("week", month), ~pl.col("is_partial"))
        .group_by("client", maintain_order=True)
        .agg(
            pl.col("week").min().alias("plan_from"),
            (pl.col("week").max() + pl.duration(days=6)).alias("plan_to"),
            pl.col("sessions_planned", "sessions_done", *counted).sum(),
            weighted("reps_in_range_share"),
            weighted("rir_reached_share"),
        )
        .filter(pl.col("sessions_planned") > 0)
    )


def associations(explained: pl.DataFrame, lifts: pl.DataFrame) -> pl.DataFrame:
    """Return what this client's weaker sessions go with, where it was in the month.

    Parameters
    ----------
    explained
        `fatigue.explain_month`: a client's factors stand beside each of the lifts.
    lifts
        The frame of lifts; only clients with a lift that is stuck or falling are kept.

    Returns
    -------
    pl.DataFrame
        `client, factor, share_in_month, share_before, difference_pct, difference_low,
        difference_high`, the largest difference first.
    """
    in_need = lifts.filter(
        pl.col("state").is_in([State.PLATEAU, State.DECLINING]), pl.col("sessions_month") > 0
    ).select("client")
    return (
        explained.filter(
            pl.col("verdict") == "goes with weaker sessions", pl.col("share_in_month") > 0
        )
        .unique(["client", "factor"], keep="first", maintain_order=True)
        .join(in_need.unique(), on="client", how="semi")
        .sort("client", "difference_pct")
        .select(
            "client",
            "factor",
            "share_in_month",
            "share_before",
            "difference_pct",
            "difference_low",
            "difference_high",
        )
    )


def session_facts(back_off: pl.DataFrame) -> pl.DataFrame:
    """Return the month's back-off ratio: `client, back_off_ratio, back_off_sessions`.

    The geometric mean over sessions: a ratio of 2 and one of 0.5 balance.
    """
    known = back_off.filter(pl.col("back_off_ratio") > 0)
    return known.group_by("client", maintain_order=True).agg(
        pl.col("back_off_ratio").log().mean().exp(),
        pl.len().cast(pl.Int32).alias("back_off_sessions"),
    )


def balance_rows(balance: pl.DataFrame, lifts: pl.DataFrame, month: dt.date) -> pl.DataFrame:
    """Return the latest fatigue/performance ratio of the month of each progression lift.

    Returns
    -------
    pl.DataFrame
        `client, exercise, week, load_ratio, performance, performance_ratio`, highest first.
    """
    main = lifts.filter(pl.col("role") == Role.PROGRESSION).select("client", "exercise")
    return (
        balance.filter(in_month("week", month), pl.col("performance_ratio").is_not_null())
        .join(main, on=["client", "exercise"], how="semi")
        .sort("client", "exercise", "week")
        .group_by("client", "exercise", maintain_order=True)
        .last()
        .select("client", "exercise", "week", "load_ratio", "performance", "performance_ratio")
        .sort("client", "performance_ratio", "exercise", descending=[False, True, False])
    )
