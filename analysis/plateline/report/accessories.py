"""Accessory lifts of a month: work done, effort, reps held, against the month before."""

from __future__ import annotations

import datetime as dt

import polars as pl

from plateline.report.months import month_end, previous_month
from plateline.words import Role, SetKind

__all__ = ["accessory_rows"]


def accessory_rows(
    lifts: pl.DataFrame,
    monthly: pl.DataFrame,
    supersets: pl.DataFrame,
    sets: pl.DataFrame,
    month: dt.date,
) -> pl.DataFrame:
    """Return one row per accessory lift trained in the month, most sets first.

    Parameters
    ----------
    lifts
        The frame of lifts, with `role` and `state`.
    monthly, supersets
        The load room's monthly load and supersets.
    sets
        SETS up to the end of the month.
    month
        First day of the month.

    Returns
    -------
    pl.DataFrame
        `client, exercise, state, hard_sets, reps_a_set, volume_load_kg` and the same with
        `_before` (the month before; null where it is covered only in part), `reps_held`
        (reps of the last round over the first, mean of the month's supersets), `mean_rir`,
        `feel` (mean rating).
    """
    key = ["client", "exercise"]
    work = monthly.with_columns(
        reps_a_set=pl.when(pl.col("working_sets") > 0).then(pl.col("reps") / pl.col("sets"))
    )
    now = work.filter(pl.col("month") == month).select(
        *key, "hard_sets", "reps_a_set", "volume_load_kg", "mean_rir"
    )
    earlier = work.filter(pl.col("month") == previous_month(month), ~pl.col("is_partial")).select(
        *key,
        pl.col("hard_sets").alias("hard_sets_before"),
        pl.col("reps_a_set").alias("reps_a_set_before"),
        pl.col("volume_load_kg").alias("volume_load_before"),
    )
    inside = pl.col("date").is_between(month, month_end(month))
    held = (
        supersets.filter(inside, pl.col("reps_held").is_not_null())
        .explode("exercises")
        .group_by("client", pl.col("exercises").alias("exercise"))
        .agg(pl.col("reps_held").mean())
    )
    felt = (
        sets.filter(inside, pl.col("set_kind") != SetKind.WARM_UP.value)
        .group_by(key)
        .agg(pl.col("feel").mean())
    )
    return (
        lifts.filter(pl.col("role") == Role.ACCESSORY, pl.col("sessions_month") > 0)
        .select(*key, "state")
        .join(now, on=key, how="left")
        .join(earlier, on=key, how="left")
        .join(held, on=key, how="left")
        .join(felt, on=key, how="left")
        .sort("client", "hard_sets", "exercise", descending=[False, True, False], nulls_last=True)
    )
