"""What is summed per lift and session, and from there per week, month and block."""

from __future__ import annotations

import polars as pl

from plateline.load.best import logged_e1rm
from plateline.load.counting import (
    counted,
    exact_kg,
    is_hard,
    is_one_sided,
    is_warm_up,
    says_each_side,
)
from plateline.load.zones import Band, RepZone

__all__ = ["marks", "sums_of_bouts", "sums_of_rows"]


def marks() -> list[pl.Expr]:
    """Return what the sums need of each row."""
    return [
        pl.col("rir"),
        exact_kg(pl.col("load_kg")).alias("_ug"),
        pl.col("reps").cast(pl.Int64).alias("_reps"),
        counted().alias("_sets"),
        (~is_warm_up()).alias("_work"),
        is_hard().alias("_hard"),
        is_one_sided().alias("_one"),
        says_each_side().alias("_each"),
        logged_e1rm().alias("_e1rm"),
    ]


def sums_of_rows(
    zones: tuple[RepZone, ...], efforts: tuple[Band, ...], *, has_sides: bool
) -> list[pl.Expr]:
    """Return the sums of rows per lift and session.

    Parameters
    ----------
    zones, efforts
        Rep zones, and bands of proximity to failure.
    has_sides
        Whether any row says a side; without, some sums need no summing.
    """
    kg, reps, work = pl.col("_ug"), pl.col("_reps"), pl.col("_work")
    one, each = pl.col("_one"), pl.col("_each")
    lifted = kg.clip(lower_bound=0) * reps
    sets = pl.col("_sets")
    rir = pl.when(work).then(pl.col("rir"))
    nothing, no_reps = pl.lit(0, pl.Int64), pl.lit(0, pl.UInt32)
    return [
        pl.len().cast(pl.UInt32).alias("rows"),
        (sets.sum() if has_sides else pl.len().cast(pl.Float64)).alias("sets"),
        (
            pl.when(work).then(sets).otherwise(0.0).sum()
            if has_sides
            else work.sum().cast(pl.Float64)
        ).alias("working_sets"),
        (
            pl.when(pl.col("_hard")).then(sets).otherwise(0.0).sum()
            if has_sides
            else pl.col("_hard").sum().cast(pl.Float64)
        ).alias("hard_sets"),
        reps.sum().cast(pl.UInt32).alias("reps"),
        (kg.is_not_null() & reps.is_not_null()).any().alias("known"),
        lifted.sum().alias("volume_ug"),
        pl.when(work).then(lifted).sum().alias("working_volume_ug"),
        (kg * reps).sum().alias("external_ug"),
        (pl.when(one).then(kg * reps).sum() if has_sides else nothing).alias("external_one_ug"),
        (pl.when(each).then(kg * reps).sum() if has_sides else nothing).alias("external_each_ug"),
        (pl.when(one).then(reps).sum().cast(pl.UInt32) if has_sides else no_reps).alias("reps_one"),
        (pl.when(each).then(reps).sum().cast(pl.UInt32) if has_sides else no_reps).alias(
            "reps_each"
        ),
        pl.when(work).then(kg).max().alias("top_ug"),
        pl.when(work).then(kg).sum().alias("load_sum_ug"),
        work.sum().cast(pl.UInt32).alias("working_rows"),
        pl.col("_e1rm").max().alias("e1rm_kg"),
        rir.sum().alias("rir_sum"),
        rir.count().cast(pl.UInt32).alias("rir_rows"),
        *_half_sets("z", [zone.holds(reps) for zone in zones], has_sides=has_sides),
        *_half_sets("e", [band.holds(pl.col("rir")) for band in efforts], has_sides=has_sides),
    ]


def _half_sets(prefix: str, held: list[pl.Expr], *, has_sides: bool) -> list[pl.Expr]:
    """Count the working sets that each of some bands holds, in halves: whole numbers add exactly."""
    halves = pl.when(pl.col("_one")).then(1).otherwise(2) if has_sides else pl.lit(2)
    return [
        pl.when(pl.col("_work") & holds).then(halves).sum().cast(pl.UInt32).alias(f"{prefix}{i}")
        for i, holds in enumerate(held)
    ]


def sums_of_bouts(keys: list[str]) -> list[pl.Expr]:
    """Return the sums of bouts by `keys`."""
    return [
        pl.col("rows", "reps", "working_rows", "rir_rows").cast(pl.Int64).sum(),
        pl.col("sets", "working_sets", "hard_sets", "rir_sum").sum(),
        pl.col("known").any(),
        pl.col("volume_ug", "working_volume_ug").sum(),
        # Of a sum with something unknown in it nothing is known.
        *(
            pl.when(pl.col(name).null_count() == 0).then(pl.col(name).sum()).alias(name)
            for name in ("moved_ug", "total_sum_ug")
        ),
        pl.col("top_ug").max(),
        pl.col("e1rm_kg").max().alias("best_e1rm_kg"),
        (pl.struct("date", "session").n_unique() if "exercise" not in keys else pl.len())
        .cast(pl.Int64)
        .alias("sessions"),
    ]
