"""The primary comparison again, under other choices that would have been as defensible."""

from __future__ import annotations

from collections.abc import Iterator

import polars as pl

from plateline.study.models import primary_rows
from plateline.study.outcome import with_rates

__all__ = ["SENSITIVITY", "STILL_LOGGING_DAYS", "sensitivity_rows"]

SENSITIVITY = "sensitivity: "

WINDOW_REPS = 12.0
"""Reps to failure up to which published e1RM equations are said to hold (about 10 to 12)."""
LONG_WEEKS = 8.0
MANY_SESSIONS = 12
OUTLIER_SPREADS = 3.0
STILL_LOGGING_DAYS = 28


def sensitivity_rows(moments: pl.DataFrame) -> list[dict]:
    """Return rows of EFFECTS for zone contrasts under other scales and selections of blocks.

    Parameters
    ----------
    moments
        As for the models, with `days_silent`: from the end of a lifter's log to that of all.
    """
    rows = []
    for name, blocks in _variants(moments):
        rows += [row | {"model": SENSITIVITY + name} for row in primary_rows(blocks)]
    own = with_rates(moments)
    rows += [
        row | {"model": f"{SENSITIVITY}not adjusted for effort, sets and frequency"}
        for row in primary_rows(own, exposures=False)
    ]
    return rows


def _variants(moments: pl.DataFrame) -> Iterator[tuple[str, pl.DataFrame]]:
    """Yield a name and the blocks under one other choice."""
    for scale, said in (
        ("population", "published rep curves"),
        ("epley", "Epley equation"),
        ("brzycki", "Brzycki equation"),
    ):
        yield said, with_rates(moments, scale)
    blocks = with_rates(moments)
    spread = pl.col("slope_pct_week") - pl.col("slope_pct_week").median()
    limit = OUTLIER_SPREADS * 1.4826 * spread.abs().median()
    # each name is written as it stands in the table
    keep = {
        f"only up to {WINDOW_REPS:g} reps to failure": pl.col("reps_to_failure") <= WINDOW_REPS,
        f"blocks of {LONG_WEEKS:g} weeks or more": pl.col("weeks") >= LONG_WEEKS,
        f"blocks of {MANY_SESSIONS} sessions or more": pl.col("sessions") >= MANY_SESSIONS,
        "without extreme rates": spread.abs() <= limit,
        "lifters who log reps in reserve": pl.col("rir_logged") > 0.5,
        "lifters who still log": pl.col("days_silent") <= STILL_LOGGING_DAYS,
        "lifters who have stopped": pl.col("days_silent") > STILL_LOGGING_DAYS,
    }
    for said, condition in keep.items():
        kept = blocks.filter(condition)
        if kept.height < blocks.height:  # else the choice changes nothing here
            yield said, kept
