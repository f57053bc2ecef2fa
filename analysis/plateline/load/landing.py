"""Where the work lands over any stretch: by lift, muscle, movement pattern or loaded position."""

from __future__ import annotations

from typing import Any

import polars as pl

from plateline.errors import UnknownNameError
from plateline.load.bouts import bouts_of
from plateline.load.counting import DIRECT_WEIGHT, from_exact
from plateline.load.landed import NOT_IN_CATALOGUE, fractional_sets, muscle_weights
from plateline.load.stretches import in_stretches
from plateline.load.tables import LOAD_BY
from plateline.words import conform

__all__ = ["LANDINGS", "load_by"]

LANDINGS = ("exercise", "muscle", "pattern", "position")


def load_by(
    sets: Any,
    by: str = "muscle",
    per: str = "month",
    *,
    plan: Any = None,
    catalogue: Any = None,
) -> pl.DataFrame:
    """Return sets, reps and volume-load by one thing over one stretch of time.

    Parameters
    ----------
    sets
        SETS frame (Polars eager or lazy, pandas, Arrow).
    by
        `exercise`, `muscle`, `pattern` (movement pattern) or `position` (loaded position).
    per
        `session`, `week`, `month` or `block` (of the plan).
    plan
        PLAN frame, for blocks.
    catalogue
        CATALOGUE frame; the one that ships where none is given.

    Returns
    -------
    polars.DataFrame
        One row per client, stretch (`start`, `end`, and `label`, the session's or block's name)
        and `name`. Sets of a muscle count as in `weekly_muscles`; reps and volume-load are those
        of the exercises it is a direct muscle of. An exercise, a pattern and a position have
        direct sets only. Columns at the top of `plateline.load`.

    Raises
    ------
    plateline.errors.UnknownNameError
        When `by` or `per` is none of these.
    """
    if by not in LANDINGS:
        raise UnknownNameError.among("way to sort work", by, LANDINGS)
    bouts = bouts_of(sets, catalogue=catalogue)
    stretched = in_stretches(bouts.frame, per, plan)
    named = _named(bouts.facts, by)
    keys = ["client", "start", "end", "label", "name"]
    direct = pl.col("weight") == DIRECT_WEIGHT
    hard = pl.col("hard_sets")
    table = (
        stretched.join(named, on="exercise", how="left")
        .group_by(keys)
        .agg(
            direct_sets=pl.when(direct).then(hard).otherwise(0.0).sum(),
            all_sets=hard.sum(),
            direct_reps=pl.when(direct).then(pl.col("reps")).otherwise(0).cast(pl.Int64).sum(),
            direct_volume_load_kg=from_exact(
                pl.when(direct).then(pl.col("volume_ug")).otherwise(0).sum()
            ),
            days=pl.col("date").filter(hard > 0).n_unique().cast(pl.Int64),
            exercises=pl.col("exercise").n_unique().cast(pl.Int64),
            is_partial=pl.col("is_partial").first(),
        )
        .with_columns(
            indirect_sets=pl.col("all_sets") - pl.col("direct_sets"),
            by=pl.lit(by),
            per=pl.lit(per),
            reason=pl.when(pl.col("name").is_null()).then(pl.lit(NOT_IN_CATALOGUE)),
        )
        .with_columns(hard_sets=fractional_sets())
        .sort(keys, nulls_last=True)
    )
    return conform(table, LOAD_BY)


def _named(facts: pl.DataFrame, by: str) -> pl.DataFrame:
    """Return `exercise, name, weight`: what each exercise counts for."""
    if by == "muscle":
        return muscle_weights(facts).select("exercise", name="muscle", weight="weight")
    return facts.select("exercise", name=pl.col(by).cast(pl.String), weight=pl.lit(DIRECT_WEIGHT))
