"""How often: sessions a week per lift, muscle and movement pattern."""

from __future__ import annotations

from typing import Any

import polars as pl

from plateline.load.bouts import Bouts, bouts_of
from plateline.load.counting import DIRECT_WEIGHT
from plateline.load.landed import muscle_weights
from plateline.load.tables import FREQUENCY
from plateline.load.weeks import monday
from plateline.words import conform

__all__ = ["frequency"]


def frequency(sets: Any, *, catalogue: Any = None) -> pl.DataFrame:
    """Return how often every lift, muscle and pattern was trained.

    A day counts when it held a hard set of the lift, of the pattern, or with the muscle as a
    direct one. `sessions_week` is days over whole weeks, from the first to the last whole
    week of the client's log, weeks without training counted in; `what` is `exercise`,
    `muscle` or `pattern` and `all` (any training).

    Parameters
    ----------
    sets
        SETS frame (Polars eager or lazy, pandas, Arrow).
    catalogue
        CATALOGUE frame; the one that ships where none is given.

    Returns
    -------
    polars.DataFrame
        One row per client and thing trained. With no whole week `sessions_week` is null.
    """
    return _frequency(bouts_of(sets, catalogue=catalogue))


def _frequency(bouts: Bouts) -> pl.DataFrame:
    """Count the days of `bouts`."""
    hard = bouts.frame.filter(pl.col("hard_sets") > 0).select("client", "date", "exercise")
    direct = muscle_weights(bouts.facts).filter(pl.col("weight") == DIRECT_WEIGHT)
    parts = [
        hard.select(
            "client", "date", what=pl.lit("exercise"), name=pl.col("exercise").cast(pl.String)
        ),
        hard.join(direct, on="exercise").select(
            "client", "date", what=pl.lit("muscle"), name=pl.col("muscle")
        ),
        hard.join(bouts.facts, on="exercise").select(
            "client", "date", what=pl.lit("pattern"), name=pl.col("pattern")
        ),
        bouts.frame.select("client", "date", what=pl.lit("all"), name=pl.lit("training")),
    ]
    days = pl.concat(parts).drop_nulls("name").unique().with_columns(week=monday(pl.col("date")))
    weeks = bouts.weeks
    whole = (
        weeks.filter(~pl.col("is_partial"))
        .group_by("client")
        .agg(first=pl.col("week").min(), last=pl.col("week").max())
    )
    keys = ["client", "what", "name"]
    inside = (pl.col("week") >= pl.col("first")) & (pl.col("week") <= pl.col("last"))
    table = (
        days.join(whole, on="client", how="left")
        .with_columns(_inside=inside.fill_null(False))
        .sort(*keys, "date")
        .group_by(keys)
        .agg(
            weeks=((pl.col("last").first() - pl.col("first").first()).dt.total_days() // 7 + 1),
            weeks_trained=pl.col("week").filter("_inside").n_unique().cast(pl.Int64),
            sessions=pl.col("_inside").sum().cast(pl.Int64),
            median_days_between=pl.col("date").diff().dt.total_days().median(),
            last_date=pl.col("date").max(),
        )
        .with_columns(
            sessions_week=pl.col("sessions") / pl.col("weeks"),
            reason=pl.when(pl.col("weeks").is_null())
            .then(pl.lit("no whole week in the log"))
            .when(pl.col("median_days_between").is_null())
            .then(pl.lit("trained once")),
        )
    )
    return conform(table.sort(keys), FREQUENCY)
