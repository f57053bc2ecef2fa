"""How reps hold up within a session, now and while a stuck lift still moved."""

from __future__ import annotations

import datetime as dt

import polars as pl

from plateline.words import LIFT

__all__ = ["BEFORE_WEEKS", "LEAST_SESSIONS", "RECENT_DAYS", "fading"]

RECENT_DAYS = 28
BEFORE_WEEKS = 12
LEAST_SESSIONS = 3
"""Sessions from which a mean speaks (common practice, no source)."""


def fading(
    status: pl.DataFrame,
    drop_off: pl.DataFrame | None,
    back_off: pl.DataFrame | None,
    as_of: dt.date,
) -> pl.DataFrame:
    """Return `client, exercise, drop_off_now, drop_off_own, back_off_now` where they are known.

    Parameters
    ----------
    status
        LIFT_STATUS_DETAIL; `since` parts the weeks in which a lift still moved from the rest.
    drop_off, back_off
        From `plateline.fatigue.drop_off` and `back_off_ratio`; what is not given is null.
    as_of
        The day to look from.
    """
    lifts = status.select(*LIFT, "since").unique(LIFT, keep="first")
    recent = (pl.lit(as_of) - pl.col("date")).dt.total_days() < RECENT_DAYS
    own = (pl.col("date") < pl.col("since")) & (
        pl.col("date") >= pl.col("since") - pl.duration(weeks=BEFORE_WEEKS)
    )
    lost = _means(lifts, drop_off, "drop_off", drop_off_now=recent, drop_off_own=own)
    held = _means(lifts, back_off, "back_off_ratio", back_off_now=recent)
    return lost.join(held, on=LIFT, how="left", maintain_order="left")


def _means(
    lifts: pl.DataFrame, sessions: pl.DataFrame | None, column: str, **when: pl.Expr
) -> pl.DataFrame:
    """Return the mean of a column over the sessions of each stretch that has enough of them."""
    if sessions is None:
        return lifts.select(*LIFT, *(pl.lit(None, pl.Float64).alias(name) for name in when))
    known = sessions.select(*LIFT, "date", column).drop_nulls(column)
    found = (
        known.join(lifts, on=LIFT)
        .group_by(LIFT)
        .agg(
            pl.when(inside.sum() >= LEAST_SESSIONS)
            .then(pl.col(column).filter(inside).mean())
            .alias(name)
            for name, inside in when.items()
        )
    )
    return lifts.select(LIFT).join(found, on=LIFT, how="left", maintain_order="left")
