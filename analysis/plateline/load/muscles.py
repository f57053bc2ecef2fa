"""Where the work lands: hard sets per muscle, movement pattern and loaded position."""

from __future__ import annotations

from typing import Any

import polars as pl

from plateline.load.counting import from_exact
from plateline.load.joint import joint_of
from plateline.load.landed import NOT_IN_CATALOGUE, enum_of, fractional_sets, landed_sets
from plateline.load.lift_weeks import LiftWeeks, week_table_of
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
    return week_table_of(sets, weekly_muscles_of, catalogue)


def weekly_muscles_of(sums: LiftWeeks) -> pl.DataFrame:
    """Sum lifts and weeks to `weekly_muscles`."""
    if not sums.has_landed:
        table = landed_sets(sums.table, sums.facts, by=("muscle",))
        return conform(_finished(sums, table), WEEKLY_MUSCLES)
    added = ["direct_sets", "all_sets", "direct_reps", "direct_volume_ug", "exercises"]
    # An exercise has one position for a muscle, so exercises add like sets.
    table = (
        joint_of(sums.landed, ["client", "week", "muscle"])
        .summed(sums.landed.lazy(), pl.col(added).sum(), pl.col("hard_days").bitwise_or())
        .collect(engine="streaming")
    )
    return conform(_finished(sums, table), WEEKLY_MUSCLES)


def weekly_positions(sets: Any, *, catalogue: Any = None) -> pl.DataFrame:
    """Return hard sets per client, ISO week, muscle and loaded position.

    The position (`lengthened`, `mid`, `shortened`) is where the exercise loads its *direct*
    muscles; for indirect muscles it says nothing, so they count under a null position.
    """
    return week_table_of(sets, weekly_positions_of, catalogue)


def weekly_positions_of(sums: LiftWeeks) -> pl.DataFrame:
    """Sum lifts and weeks to `weekly_positions`."""
    return conform(_finished(sums, sums.landed), WEEKLY_POSITIONS)


def weekly_patterns(sets: Any, *, catalogue: Any = None) -> pl.DataFrame:
    """Return sets, reps and volume-load per client, ISO week and movement pattern."""
    return week_table_of(sets, weekly_patterns_of, catalogue)


def weekly_patterns_of(sums: LiftWeeks) -> pl.DataFrame:
    """Sum lifts and weeks to `weekly_patterns`."""
    keys = ["client", "week", "pattern"]
    named = sums.facts.select("exercise", enum_of("pattern", sums.facts))
    lifts = sums.table.join(named, on="exercise", how="left")
    table = (
        joint_of(lifts, keys)
        .summed(
            lifts.lazy(),
            pl.col("sets", "hard_sets", "reps").sum(),
            volume_load_kg=from_exact(pl.col("volume_ug").sum()),
            hard_days=pl.col("hard_days").bitwise_or(),
            exercises=pl.len().cast(pl.Int64),
            is_partial=pl.col("is_partial").first(),
        )
        .collect(engine="streaming")
        .with_columns(
            sessions=_days(),
            reason=pl.when(pl.col("pattern").is_null()).then(pl.lit(NOT_IN_CATALOGUE)),
        )
    )
    return conform(table, WEEKLY_PATTERNS)


def _days() -> pl.Expr:
    """Count the days of the week that had a hard set."""
    return pl.col("hard_days").bitwise_count_ones().cast(pl.Int64)


def _finished(sums: LiftWeeks, table: pl.DataFrame) -> pl.DataFrame:
    """Add what follows from the sums of `LiftWeeks.landed`."""
    return (
        table.with_columns(
            indirect_sets=pl.col("all_sets") - pl.col("direct_sets"),
            direct_volume_load_kg=from_exact(pl.col("direct_volume_ug")),
            sessions=_days(),
        )
        .with_columns(
            hard_sets=fractional_sets(),
            reason=pl.when(pl.col("muscle").is_null()).then(pl.lit(NOT_IN_CATALOGUE)),
        )
        .join(sums.weeks, on=["client", "week"], how="left", maintain_order="left")
    )
