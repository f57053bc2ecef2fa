"""What a lift was on course for: a short trend of its own past, without a look at the future."""

from __future__ import annotations

from typing import Any

import polars as pl

from plateline.errors import MissingColumnError
from plateline.load.counting import over
from plateline.load.door import polars_frame
from plateline.words import LIFT

__all__ = ["HISTORY_DAYS", "HISTORY_LEAST", "against_course", "lift_strength"]

HISTORY_DAYS = 42
HISTORY_LEAST = 4
"""The course is drawn from the sessions of six weeks, at least four of them."""

NOISE_PCT = 3.0
SLOPE_PCT_WEEK = 0.5
"""Spread of single sessions about a trend, and of trends about none, that set how far a short
history's slope is believed. Test-retest variation of 1RM tests has a median of 4.2 % (Grgic et
al. 2020, Sports Med Open 6:31); a session with several sets is a little surer."""


def lift_strength(curves: Any) -> pl.DataFrame:
    """Return `client, exercise, date, strength_kg`, one row per lift and day, sorted.

    Takes LIFT_CURVES (rows of kind `session`, `observed_kg`) or LIFT_SESSIONS (`strength_kg`).

    Raises
    ------
    plateline.errors.MissingColumnError
        When there is neither column.
    """
    frame = polars_frame(curves, "lift curves").lazy().collect()
    if "observed_kg" in frame.columns:
        if "kind" in frame.columns:
            frame = frame.filter(pl.col("kind") == "session")
        value = "observed_kg"
    elif "strength_kg" in frame.columns:
        value = "strength_kg"
    else:
        raise MissingColumnError(
            "The lift curves have neither a column 'observed_kg' nor 'strength_kg'; they have "
            f"{', '.join(map(repr, frame.columns)) or 'none'}."
        )
    return (
        frame.select(*LIFT, "date", strength_kg=pl.col(value))
        .filter(pl.col("strength_kg") > 0)
        .group_by(*LIFT, "date")
        .agg(pl.col("strength_kg").mean())
        .sort(*LIFT, "date")
    )


def against_course(strength: pl.DataFrame, *, gap_days: int) -> pl.DataFrame:
    """Hold every session against the course of the six weeks that ended `gap_days` before it.

    The course is a line through the log of strength: the mean of those sessions, and their
    least-squares slope drawn towards none (it is believed the more, the longer and fuller the
    six weeks are).

    Parameters
    ----------
    strength
        From `lift_strength`.
    gap_days
        Days before a session that are left out, so that the fatigue looked for is not in the
        course.

    Returns
    -------
    polars.DataFrame
        `strength` with `course_kg`, `off_course_pct` (100 x log of strength over course),
        `course_se_pct` (standard error of a session about the course) and `history` (sessions
        it was drawn from). Null where there are fewer than `HISTORY_LEAST`.
    """
    if strength.is_empty():
        return strength.with_columns(
            pl.lit(None, pl.Float64).alias(name)
            for name in ("course_kg", "off_course_pct", "course_se_pct", "history")
        )
    x = over(pl.col("date").cast(pl.Int32).cast(pl.Float64), 7)
    y = pl.col("strength_kg").log()
    dx = x - x.mean()
    past = strength.rolling(
        "date",
        period=f"{HISTORY_DAYS}d",
        offset=f"-{HISTORY_DAYS + gap_days}d",
        closed="right",
        group_by=LIFT,
    ).agg(
        history=pl.len().cast(pl.Int64),
        _x=x.mean(),
        _y=y.mean(),
        _sxx=(dx * dx).sum(),
        _sxy=(dx * (y - y.mean())).sum(),
    )
    ridge = (NOISE_PCT / SLOPE_PCT_WEEK) ** 2
    ahead = x - pl.col("_x")
    enough = pl.col("history") >= HISTORY_LEAST
    return (
        strength.join(past, on=[*LIFT, "date"], how="left")
        .with_columns(
            _log_course=pl.col("_y") + pl.col("_sxy") / (pl.col("_sxx") + ridge) * ahead,
            _variance=NOISE_PCT**2 * (1 + 1 / pl.col("history"))
            + NOISE_PCT**2 / (pl.col("_sxx") + ridge) * ahead**2,
        )
        .select(
            *strength.columns,
            course_kg=pl.when(enough).then(pl.col("_log_course").exp()),
            off_course_pct=pl.when(enough).then(100 * (y - pl.col("_log_course"))),
            course_se_pct=pl.when(enough).then(pl.col("_variance").sqrt()),
            history=pl.col("history"),
        )
    )
