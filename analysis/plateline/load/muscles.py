"""Where the work lands: hard sets per muscle, movement pattern and loaded position."""

from __future__ import annotations

from typing import Any

import polars as pl

from plateline.load.bouts import Bouts, bouts_of
from plateline.load.counting import DIRECT_WEIGHT, INDIRECT_WEIGHT, from_exact
from plateline.load.tables import WEEKLY_MUSCLES, WEEKLY_PATTERNS, WEEKLY_POSITIONS
from plateline.words import conform

__all__ = [
    "weekly_muscles",
    "weekly_muscles_of",
    "weekly_patterns",
    "weekly_patterns_of",
    "weekly_positions",
    "weekly_positions_of",
]

UNKNOWN = "exercises that are not in the catalogue"


def weekly_muscles(sets: Any, *, catalogue: Any = None) -> pl.DataFrame:
    """Return hard sets per client, ISO week and muscle.

    A hard set counts 1 for each direct muscle of its exercise and 0.5 for each indirect one
    (`hard_sets`); `all_sets` counts both 1, `direct_sets` only the direct ones: the three
    countings that Pelland et al. 2024 (SportRxiv) compare. Four direct and six indirect sets
    are 7, 10 and 4. The middle one had the strongest evidence there.

    Parameters
    ----------
    sets
        SETS frame (Polars eager or lazy, pandas, Arrow).
    catalogue
        CATALOGUE frame; the one that ships where none is given.

    Returns
    -------
    polars.DataFrame
        Columns at the top of `plateline.load`. Work on exercises that the catalogue does not
        know stands in a row of its own with a null muscle and a reason, so nothing is lost.

    Notes
    -----
    A muscle's sets add across exercises and ignore how hard each exercise is for it: twelve
    sets are not twice six in effect (diminishing returns, same source).
    """
    return bouts_of(sets, catalogue=catalogue).table(weekly_muscles_of)


def weekly_muscles_of(bouts: Bouts) -> pl.DataFrame:
    """Sum bouts to `weekly_muscles`."""
    return conform(_where(bouts, ["muscle"]), WEEKLY_MUSCLES)


def weekly_positions(sets: Any, *, catalogue: Any = None) -> pl.DataFrame:
    """Return hard sets per client, ISO week, muscle and loaded position.

    The position (`lengthened`, `mid`, `shortened`) is where the exercise loads its *direct*
    muscles; for indirect muscles it says nothing, so they count under a null position.
    """
    return bouts_of(sets, catalogue=catalogue).table(weekly_positions_of)


def weekly_positions_of(bouts: Bouts) -> pl.DataFrame:
    """Sum bouts to `weekly_positions`."""
    return conform(_where(bouts, ["muscle", "position"]), WEEKLY_POSITIONS)


def weekly_patterns(sets: Any, *, catalogue: Any = None) -> pl.DataFrame:
    """Return sets, reps and volume-load per client, ISO week and movement pattern."""
    return bouts_of(sets, catalogue=catalogue).table(weekly_patterns_of)


def weekly_patterns_of(bouts: Bouts) -> pl.DataFrame:
    """Sum bouts to `weekly_patterns`."""
    keys = ["client", "week", "pattern"]
    named = bouts.facts.select("exercise", _enum("pattern", bouts.facts))
    table = (
        bouts.lift_weeks.join(named, on="exercise", how="left")
        .group_by(keys)
        .agg(
            pl.col("sets", "hard_sets", "reps").sum(),
            volume_load_kg=from_exact(pl.col("volume_ug").sum()),
            sessions=_days(),
            exercises=pl.len().cast(pl.Int64),
        )
        .join(bouts.weeks, on=["client", "week"], how="left")
        .with_columns(reason=pl.when(pl.col("pattern").is_null()).then(pl.lit(UNKNOWN)))
    )
    return conform(table.sort(keys, nulls_last=True), WEEKLY_PATTERNS)


def muscle_weights(facts: pl.DataFrame) -> pl.DataFrame:
    """Return `exercise, muscle, weight, position`; a muscle that is direct is not indirect too.

    Exercises without muscles keep one row with a null muscle.
    """
    parts = [
        facts.select(
            "exercise",
            muscle=pl.col(column).list.drop_nulls(),
            weight=pl.lit(weight),
            position=pl.col("position") if weight == DIRECT_WEIGHT else pl.lit(None, pl.String),
        ).explode("muscle", empty_as_null=True)
        for column, weight in (("direct", DIRECT_WEIGHT), ("indirect", INDIRECT_WEIGHT))
    ]
    named = (
        pl.concat(parts)
        .drop_nulls("muscle")
        .sort("exercise", "muscle", "weight", descending=[False, False, True])
        .unique(["exercise", "muscle"], keep="first", maintain_order=True)
    )
    unnamed = facts.join(named, on="exercise", how="anti").select(
        "exercise",
        muscle=pl.lit(None, pl.String),
        weight=pl.lit(DIRECT_WEIGHT),
        position=pl.lit(None, pl.String),
    )
    return pl.concat([named, unnamed])


def _enum(column: str, frame: pl.DataFrame) -> pl.Expr:
    """Return `column` as an Enum of the values it has, in alphabetical order."""
    return pl.col(column).cast(pl.Enum(frame[column].drop_nulls().unique().sort()))


def _days() -> pl.Expr:
    """Count the days of the week on which any of the rows had a hard set."""
    return pl.col("hard_days").bitwise_or().bitwise_count_ones().cast(pl.Int64)


def _where(bouts: Bouts, names: list[str]) -> pl.DataFrame:
    keys = ["client", "week", *names]
    weights = muscle_weights(bouts.facts)
    weights = weights.with_columns(_enum("muscle", weights), _enum("position", weights))
    sets = pl.col("hard_sets")
    table = (
        bouts.lift_weeks.join(weights, on="exercise", how="left")
        .with_columns(_direct=pl.col("weight") == DIRECT_WEIGHT)
        .group_by(keys)
        .agg(
            direct_sets=pl.when("_direct").then(sets).otherwise(0.0).sum(),
            all_sets=sets.sum(),
            direct_reps=pl.when("_direct").then(pl.col("reps")).otherwise(0).sum(),
            direct_volume_load_kg=from_exact(
                pl.when("_direct").then(pl.col("volume_ug")).otherwise(0).sum()
            ),
            sessions=_days(),
            exercises=pl.len().cast(pl.Int64),
        )
        .with_columns(indirect_sets=pl.col("all_sets") - pl.col("direct_sets"))
        .with_columns(
            hard_sets=DIRECT_WEIGHT * pl.col("direct_sets")
            + INDIRECT_WEIGHT * pl.col("indirect_sets"),
            reason=pl.when(pl.col("muscle").is_null()).then(pl.lit(UNKNOWN)),
        )
        .join(bouts.weeks, on=["client", "week"], how="left")
    )
    return table.sort(keys, nulls_last=True)
