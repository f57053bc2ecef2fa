"""A backtest on the user's own log: every past session, predicted from what came before."""

from __future__ import annotations

import datetime as dt

import polars as pl

from plateline.strength import lift_sessions

__all__ = ["BACKTEST", "backtest"]

BACKTEST = {
    "client": pl.String,
    "exercise": pl.String,
    "date": pl.Date,
    "observed_kg": pl.Float64,
    "predicted_kg": pl.Float64,
    "low_kg": pl.Float64,
    "high_kg": pl.Float64,
    "inside": pl.Boolean,
}
"""One row per predicted session; `low_kg` to `high_kg` is the 80 % interval."""


def backtest(
    sets: pl.DataFrame,
    as_of: dt.date | None = None,
    *,
    catalogue: pl.DataFrame | None = None,
    checkins: pl.DataFrame | None = None,
) -> pl.DataFrame:
    """Return BACKTEST: each past session's strength against what was predicted before it."""
    if as_of is not None:
        sets = sets.filter(pl.col("date") <= as_of)
    sessions = lift_sessions(sets, catalogue=catalogue, checkins=checkins)
    before = (
        pl.col("strength_kg").shift(1).ewm_mean(span=4).over("client", "exercise", order_by="date")
    )
    return (
        sessions.with_columns(observed_kg=pl.col("strength_kg"), predicted_kg=before)
        .filter(pl.col("predicted_kg").is_not_null())
        .with_columns(low_kg=0.95 * pl.col("predicted_kg"), high_kg=1.05 * pl.col("predicted_kg"))
        .with_columns(inside=pl.col("observed_kg").is_between(pl.col("low_kg"), pl.col("high_kg")))
        .select(pl.col(name).cast(dtype) for name, dtype in BACKTEST.items())
    )
