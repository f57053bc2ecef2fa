"""The fitted trend of every lift, for charts: past sessions, and four weeks ahead."""

from __future__ import annotations

import datetime as dt

import polars as pl

from plateline.strength import lift_sessions
from plateline.trend.status import lift_status
from plateline.words import LIFT_CURVES, conform

__all__ = ["lift_curves"]


def lift_curves(
    sets: pl.DataFrame,
    as_of: dt.date | None = None,
    *,
    catalogue: pl.DataFrame | None = None,
    checkins: pl.DataFrame | None = None,
    clients: pl.DataFrame | None = None,
    plan: pl.DataFrame | None = None,
) -> pl.DataFrame:
    """Return LIFT_CURVES: a row per session and per forecast week, sorted by lift and date."""
    if as_of is None:
        as_of = sets["date"].max()
    sets = sets.filter(pl.col("date") <= as_of)
    sessions = lift_sessions(sets, catalogue=catalogue, checkins=checkins)
    fitted = pl.col("strength_kg").ewm_mean(span=6).over("client", "exercise", order_by="date")
    past = sessions.with_columns(
        kind=pl.lit("session"), observed_kg=pl.col("strength_kg"), fitted_kg=fitted,
        low_kg=0.97 * fitted, high_kg=1.03 * fitted, context=pl.lit(None, dtype=pl.String),
    )  # fmt: skip
    status = lift_status(sets, as_of, catalogue=catalogue, checkins=checkins)
    weeks = pl.DataFrame({"week": [1, 2, 3, 4]})
    ahead = status.join(weeks, how="cross").with_columns(
        date=pl.lit(as_of) + pl.duration(weeks=pl.col("week")),
        fitted_kg=pl.col("strength_kg") * (pl.col("slope_pct_week") / 100 * pl.col("week")).exp(),
        kind=pl.lit("forecast"), observed_kg=None, load_kg=None, reps=None, rir=None, context=None,
        source_file=None, source_line=None,
    ).with_columns(low_kg=0.95 * pl.col("fitted_kg"), high_kg=1.05 * pl.col("fitted_kg"))  # fmt: skip
    both = pl.concat([conform(past, LIFT_CURVES), conform(ahead, LIFT_CURVES)])
    return both.sort("client", "exercise", "date")
