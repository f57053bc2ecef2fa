"""Load per day on a calendar without holes: what every rolling measure is made from."""

from __future__ import annotations

from typing import Any

import polars as pl

from plateline.fatigue.tables import DAILY_LOAD
from plateline.load import Bouts, bouts_of
from plateline.load.counting import from_exact
from plateline.load.door import optional_frame
from plateline.words import conform

__all__ = ["MEASURES", "daily_load", "daily_load_of", "long_measures"]

MEASURES = {"volume_load_kg": "volume-load", "session_rpe_load": "session RPE"}
"""Columns of the daily table that are measures of load, and their names in results."""


def daily_load(sets: Any, *, checkins: Any = None) -> pl.DataFrame:
    """Return one row per client and calendar day, first to last logged day.

    A day without a row in the log is a day without training: its load is a true zero. A day
    with training but without a session rating has an unknown session-RPE load (null). The
    load of several sessions on a day is added; a rating belongs to the day.

    Parameters
    ----------
    sets
        SETS frame (Polars eager or lazy, pandas, Arrow).
    checkins
        CHECKINS frame, for `session_rpe` x `session_min`.
    """
    return daily_load_of(bouts_of(sets, only=("hard_sets", "volume_ug")), checkins)


def daily_load_of(bouts: Bouts, checkins: Any = None) -> pl.DataFrame:
    """Sum bouts to `daily_load`."""
    worked = (
        bouts.frame.group_by("client", "date")
        .agg(
            volume_load_kg=from_exact(pl.col("volume_ug").sum()),
            hard_sets=pl.col("hard_sets").sum(),
        )
        .with_columns(pl.col("client").cast(pl.String))
    )
    rated = (
        optional_frame(checkins, "check-ins")
        .group_by("client", "date")
        .agg(
            rpe_load=(pl.col("session_rpe") * pl.col("session_min")).drop_nulls().sum(),
            known=(pl.col("session_rpe") * pl.col("session_min")).count(),
        )
        .filter(pl.col("known") > 0)
        .select("client", "date", "rpe_load")
    )
    return conform(
        _calendar(worked)
        .join(worked, on=["client", "date"], how="left")
        .join(rated, on=["client", "date"], how="left")
        .with_columns(trained=pl.col("volume_load_kg").is_not_null())
        .with_columns(
            pl.col("volume_load_kg", "hard_sets").fill_null(0.0),
            session_rpe_load=pl.when(pl.col("trained") | pl.col("rpe_load").is_not_null())
            .then(pl.col("rpe_load"))
            .otherwise(0.0),
        )
        .sort("client", "date"),
        DAILY_LOAD,
    )


def _calendar(worked: pl.DataFrame) -> pl.DataFrame:
    """Return every day from a client's first to last training day."""
    return (
        worked.drop_nulls("date")
        .group_by("client")
        .agg(pl.col("date").min().alias("first"), pl.col("date").max().alias("last"))
        .select("client", date=pl.date_ranges("first", "last"))
        .explode("date", empty_as_null=False)
    )


def long_measures(daily: pl.DataFrame) -> pl.DataFrame:
    """Return `client, date, measure, load`, one row per day and measure.

    A client who never logged a session rating has no session-RPE rows at all.
    """
    parts = [
        daily.filter(
            pl.col(column).filter(pl.col("trained")).is_not_null().any().over("client")
        ).select("client", "date", measure=pl.lit(name), load=pl.col(column))
        for column, name in MEASURES.items()
    ]
    return pl.concat(parts).sort("client", "measure", "date")
