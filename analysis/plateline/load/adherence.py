"""Plan against log: sessions, sets, reps in range, RIR reached, swaps."""

from __future__ import annotations

from datetime import date
from typing import Any

import polars as pl

from plateline.load.matching import PLACE, WEEK, Matched, matched_sets
from plateline.load.tables import ADHERENCE, ADHERENCE_WEEKS
from plateline.words import conform

__all__ = ["adherence", "adherence_weeks"]

DONE, PART, MISSED, SWAPPED, ADDED = "done", "part", "missed", "swapped", "added"

_KEY = [*PLACE, "exercise", "set_kind"]
"""What a prescription is told by."""

_COUNTS = [
    "sets_done", "sets_in_range", "sets_below_range", "sets_above_range", "sets_with_rir",
    "sets_rir_reached",
]  # fmt: skip


def adherence(
    sets: Any, plan: Any, *, catalogue: Any = None, as_of: date | None = None
) -> pl.DataFrame:
    """Compare every prescription of every plan week with what was logged.

    A block runs from its `start` in weeks of seven days (named by their first day, a Monday if
    the block starts on one) until its `weeks` are over or the client's next block begins. Each
    planned session is due once a week.

    A logged session is the planned one of the same name, else the one with which it shares
    most lifts. A lift that is planned on another day of the week counts there. Sets are
    matched to prescriptions of their own kind; where the log does not tell kinds, the heaviest
    sets go to the top set and the rest to the back-off set, in the numbers that are planned.
    Warm-ups are left out on both sides.

    A planned lift without a set that week, in a session in which an unplanned one was done that
    the catalogue names as its substitute, or that has the same loaded position and a direct
    muscle in common, was swapped, not missed. RIR is reached when the logged one is at most the
    planned one; sets without RIR are not judged.

    Parameters
    ----------
    sets
        SETS frame (Polars eager or lazy, pandas, Arrow).
    plan
        PLAN frame; without one the table is empty.
    catalogue
        CATALOGUE frame; the one that ships where none is given.
    as_of
        Last day that counts; the client's last logged day where none is given. Plan weeks that
        begin later are not yet due.

    Returns
    -------
    polars.DataFrame
        One row per prescription and plan week, and one per lift that was done without being
        planned (`status = "added"`). Columns at the top of `plateline.load`.
    """
    return conform(_judged(matched_sets(sets, plan, catalogue, as_of)), ADHERENCE)


def adherence_weeks(
    sets: Any, plan: Any, *, catalogue: Any = None, as_of: date | None = None
) -> pl.DataFrame:
    """Return adherence per client and plan week: sessions and sets planned and done.

    Shares are of the sets that were done for a prescription (swaps too). `sets_done` counts at
    most what was planned for each prescription; the surplus is in `sets_added`. A week that is
    not over at `as_of` is partial: what is missing may still come.

    Parameters
    ----------
    sets, plan, catalogue, as_of
        As for `adherence`.
    """
    matched = matched_sets(sets, plan, catalogue, as_of)
    rows = _judged(matched)
    planned = pl.col("status") != ADDED
    capped = pl.min_horizontal("sets_done", "sets_planned")
    weeks = rows.group_by(WEEK).agg(
        sessions_planned=pl.col("session").filter(planned).n_unique().cast(pl.Int64),
        sets_planned=pl.col("sets_planned").filter(planned).sum(),
        sets_done=capped.filter(planned).sum(),
        sets_swapped=capped.filter(pl.col("status") == SWAPPED).sum(),
        sets_missed=(pl.col("sets_planned") - capped).filter(planned).sum(),
        sets_added=(pl.col("sets_done") - pl.when(planned).then(capped).otherwise(0.0)).sum(),
        _ranged=pl.col("sets_done").filter(planned & pl.col("sets_in_range").is_not_null()).sum(),
        _in=pl.col("sets_in_range").sum(),
        _rated=pl.col("sets_with_rir").filter(planned & pl.col("rir_planned").is_not_null()).sum(),
        _reached=pl.col("sets_rir_reached").sum(),
    )
    done = (
        matched.logged.drop_nulls("plan_session")
        .group_by(WEEK)
        .agg(sessions_done=pl.col("plan_session").n_unique().cast(pl.Int64))
    )
    table = (
        weeks.join(done, on=WEEK, how="left")
        .join(matched.due, on=WEEK, how="left")
        .with_columns(
            pl.col("sessions_done").fill_null(0),
            reps_in_range_share=pl.when(pl.col("_ranged") > 0).then(
                pl.col("_in") / pl.col("_ranged")
            ),
            rir_reached_share=pl.when(pl.col("_rated") > 0).then(
                pl.col("_reached") / pl.col("_rated")
            ),
            reason=pl.when(pl.col("sets_done") == 0)
            .then(pl.lit("no planned set was logged"))
            .when(pl.col("_rated") == 0)
            .then(pl.lit("no RIR logged or planned")),
        )
        .sort(WEEK)
    )
    return conform(table, ADHERENCE_WEEKS)


def _judged(matched: Matched) -> pl.DataFrame:
    """Sum the handed sets per prescription, and those that were handed to none per lift."""
    prescribed = _prescribed(matched.prescribed)
    done = _handed(matched.logged, prescribed)
    ranged = pl.coalesce("reps_low", "reps_high").is_not_null()
    judged = (
        prescribed.join(done, on=_KEY, how="left")
        .with_columns(pl.col(_COUNTS).fill_null(0.0))
        .with_columns(
            pl.when(ranged).then(pl.col("sets_in_range", "sets_below_range", "sets_above_range")),
            sets_rir_reached=pl.when(pl.col("rir_planned").is_not_null()).then(
                pl.col("sets_rir_reached")
            ),
            status=pl.when(pl.col("sets_done") == 0)
            .then(pl.lit(MISSED))
            .when(pl.col("swapped_for").is_not_null())
            .then(pl.lit(SWAPPED))
            .when(pl.col("sets_done") < pl.col("sets_planned"))
            .then(pl.lit(PART))
            .otherwise(pl.lit(DONE)),
            reason=pl.when(pl.col("sets_done") == 0)
            .then(pl.lit("no set logged in this plan week"))
            .when(pl.col("sets_with_rir") == 0)
            .then(pl.lit("no RIR logged")),
        )
    )
    return (
        pl.concat([judged, _added(matched.logged)], how="diagonal_relaxed")
        .rename({"plan_session": "session"})
        .sort(*WEEK, "session", "exercise", "set_kind", nulls_last=True)
    )


def _prescribed(plan: pl.DataFrame) -> pl.DataFrame:
    """Return one row per prescription: a lift and kind that stand twice in a session are one."""
    return (
        plan.with_columns(pl.col("set_kind").cast(pl.String))
        .group_by(_KEY)
        .agg(
            role=pl.col("role").drop_nulls().first(),
            sets_planned=pl.col("sets").sum().cast(pl.Float64),
            reps_low=pl.col("reps_low").min().cast(pl.Int64),
            reps_high=pl.col("reps_high").max().cast(pl.Int64),
            rir_planned=pl.col("rir").min(),
        )
    )


def _handed(logged: pl.DataFrame, prescribed: pl.DataFrame) -> pl.DataFrame:
    """Sum the sets that were handed to each prescription, set against what it asks for."""
    low = pl.coalesce("reps_low", "reps_high")
    high = pl.coalesce("reps_high", "reps_low")
    sets, reps, rir = pl.col("sets"), pl.col("reps"), pl.col("rir")
    return (
        logged.drop_nulls("planned")
        .drop("exercise", "set_kind")
        .rename({"planned": "exercise", "plan_kind": "set_kind"})
        .join(prescribed, on=_KEY, how="left")
        .group_by(_KEY)
        .agg(
            sets_done=sets.sum(),
            sets_in_range=sets.filter((reps >= low) & (reps <= high)).sum(),
            sets_below_range=sets.filter(reps < low).sum(),
            sets_above_range=sets.filter(reps > high).sum(),
            sets_with_rir=sets.filter(rir.is_not_null()).sum(),
            sets_rir_reached=sets.filter(rir <= pl.col("rir_planned")).sum(),
            mean_rir=rir.mean(),
            swapped_for=pl.col("swapped_for").drop_nulls().first(),
        )
    )


def _added(logged: pl.DataFrame) -> pl.DataFrame:
    """Sum the sets that no prescription asked for."""
    return (
        logged.filter(pl.col("planned").is_null())
        .group_by(_KEY)
        .agg(
            sets_done=pl.col("sets").sum(),
            sets_with_rir=pl.col("sets").filter(pl.col("rir").is_not_null()).sum(),
            mean_rir=pl.col("rir").mean(),
        )
        .with_columns(
            pl.col("set_kind").cast(pl.String),
            status=pl.lit(ADDED),
            sets_planned=pl.lit(0.0),
            reason=pl.lit("not in the plan of this week"),
        )
    )
