"""How a set is counted: the one place where the kit's plain definitions are written.

Kilograms are summed as whole numbers of micrograms, so a table is the same to the last bit
whatever the order of the rows, the number of threads, the engine or the partitioning; a
micrograms' step also holds a half pound exactly.
"""

from __future__ import annotations

import polars as pl

from plateline.strength.hard import is_hard as ends_hard
from plateline.words import SetKind

__all__ = [
    "DIRECT_WEIGHT",
    "INDIRECT_WEIGHT",
    "MICROGRAMS",
    "counted",
    "exact_kg",
    "from_exact",
    "is_hard",
    "is_one_sided",
    "is_warm_up",
    "over",
    "says_each_side",
    "worked_side",
]

DIRECT_WEIGHT = 1.0
INDIRECT_WEIGHT = 0.5
"""What a set counts for a muscle: Pelland, Remmert, Robinson, Hinson & Zourdos (2024,
SportRxiv), 'fractional' counting; 'total' counts an indirect set 1, 'direct' counts it 0."""

MICROGRAMS = 1e9
"""Micrograms in a kilogram: the whole steps in which loads are summed."""


def is_warm_up() -> pl.Expr:
    """Say whether a set is logged as a warm-up."""
    return pl.col("set_kind") == SetKind.WARM_UP.value


def is_hard() -> pl.Expr:
    """Say whether a set is hard: not a warm-up, and near failure or without RIR."""
    return ~is_warm_up() & ends_hard()


def is_one_sided() -> pl.Expr:
    """Say whether a row holds one side's work only (`left` or `right`)."""
    return pl.col("side").str.to_lowercase().is_in(["left", "right", "l", "r"]).fill_null(False)


def worked_side() -> pl.Expr:
    """Return `left` or `right` for one side's work, null for sets of both sides or of none.

    Other words in `side`, such as the reps of either side (`10/8`), tell sets apart by nothing.
    """
    return pl.when(is_one_sided()).then(
        pl.when(pl.col("side").str.to_lowercase().str.starts_with("l"))
        .then(pl.lit("left"))
        .otherwise(pl.lit("right"))
    )


def says_each_side() -> pl.Expr:
    """Say whether a row itself states that its reps were done on each side."""
    return pl.col("side").is_not_null() & ~is_one_sided()


def counted() -> pl.Expr:
    """Count a row in sets: a left row and a right row together are one set."""
    return pl.when(is_one_sided()).then(0.5).otherwise(1.0)


def exact_kg(kg: pl.Expr) -> pl.Expr:
    """Turn kilograms into whole micrograms, in which sums are exact."""
    return (kg * MICROGRAMS).round().cast(pl.Int64, strict=False)


def from_exact(micrograms: pl.Expr) -> pl.Expr:
    """Turn whole micrograms back into kilograms."""
    return over(micrograms.cast(pl.Float64), MICROGRAMS)


def over(value: pl.Expr, divisor: pl.Expr | float) -> pl.Expr:
    """Divide, rounded as IEEE 754 says, however many rows there are.

    Polars divides a column by a single number as a product with its reciprocal, and a single row
    truly, so the last bit would depend on how many rows stand together. That holds for a literal
    and for a column that a join filled from one row. The divisor is therefore given once per row.
    """
    return value / (value * 0 + divisor)
