"""What an athlete's page adds to the state of a lift: how far back it goes, and its last session."""

from __future__ import annotations

import datetime as dt

import polars as pl

from plateline.report.standing import age_of_state
from plateline.trend.assumptions import FEW_DAYS, FEW_SESSIONS
from plateline.words import LIFT

__all__ = ["points_alone", "with_standing"]

AHEAD_PCT = 3.0
CLIMB_PCT = 1.5
"""A lift runs ahead of its trend when its last session lies this far above the band (more than a
day's variation) and crowns three that each beat the one before by at least the second figure.
Of lifts without such a climb fewer than one in a hundred is called so by chance."""


def with_standing(status: pl.DataFrame, curves: pl.DataFrame, end: dt.date) -> pl.DataFrame:
    """Return the states with what is added to them.

    Parameters
    ----------
    status
        LIFT_STATUS_DETAIL.
    curves
        LIFT_CURVES of the same lifts, over the whole history.
    end
        The day the states were looked at.

    Returns
    -------
    pl.DataFrame
        With `first_date`; `is_long` (the state is as old as can be told, `since` is then null);
        `may_be_long` (the best guess is younger, but it may be as old); the best set of the last
        session (`last_load_kg, last_reps, last_rir`); and `runs_ahead`: the last sessions climb
        faster than the line follows, as a beginner's do, so it gives no loads; `is_relative`: a
        body mass that is not known stands behind its kilograms, so only their ratios are shown;
        `is_new`: too few sessions for a state.
    """
    sessions = curves.filter(pl.col("kind") == "session").sort("date")
    shown = pl.col("observed_kg")
    climbs = shown.tail(3).pct_change().drop_nulls() > CLIMB_PCT / 100
    ahead = shown.last() > pl.col("high_kg").last() * (1 + AHEAD_PCT / 100)
    seen = sessions.group_by(LIFT).agg(
        first_date=pl.col("date").first(),
        last_load_kg=pl.col("load_kg").last(),
        last_reps=pl.col("reps").last(),
        last_rir=pl.col("rir").last(),
        runs_ahead=ahead & (climbs.sum() == 2),
        heaviest_kg=pl.col("load_kg").max(),
    )
    return (
        status.join(seen, on=LIFT, how="left", maintain_order="left")
        .with_columns(
            pl.col("runs_ahead").fill_null(value=False),
            **age_of_state(end),
            is_relative=pl.col("strength_kg").is_null()
            & (pl.col("since_low").is_not_null() | (pl.col("heaviest_kg") <= 0)),
            is_new=(pl.col("sessions") < FEW_SESSIONS)
            | (pl.col("last_date") - pl.col("first_date") < pl.duration(days=FEW_DAYS)),
        )
        .drop("heaviest_kg")
        .with_columns(
            pl.when(~pl.col("is_long")).then(pl.col(name)).alias(name)
            for name in ("since", "since_low", "since_high")
        )
    )


def points_alone(curves: pl.DataFrame, status: pl.DataFrame) -> pl.DataFrame:
    """Return the curves, of lifts that run ahead of their line the sessions without it.

    A line that lags a steep climb would be false, and so would be the sessions it calls light.
    """
    ahead = status.filter("runs_ahead").select(LIFT)
    kept = curves.join(ahead, on=LIFT, how="anti")
    bare = curves.join(ahead, on=LIFT, how="semi").filter(pl.col("kind") == "session")
    line = ("fitted_kg", "low_kg", "high_kg", "context")
    blank = bare.with_columns(pl.lit(None, dtype=curves.schema[name]).alias(name) for name in line)
    return pl.concat([kept, blank]).sort(*LIFT, "date", maintain_order=True)
