"""Where a lift's rep range changed, found in the log itself.

Least squares on the reps of the day (on the scale of the rep curve, so that one rep of three
weighs more than one of fifteen), one change at a time, as in binary segmentation (Scott and
Knott 1974, Biometrics 30:507-512). A change counts when it is large, stands well above the
scatter from day to day, and the load went the other way: fewer reps with a heavier load is
a choice, fewer reps with the same load is a bad month.
"""

from __future__ import annotations

import polars as pl

from plateline.words import LIFT

__all__ = ["changes_of_range", "first_of"]

# Tuned on `simulate_cohort`, where three changes in four are found within ten days, among them
# 80 % of those by more than half, and one found change in six is none.
MIN_CHANGE = 0.06
"""Least change of mean depth: about two reps of eight, three of twelve."""
MIN_RATIO = 5.0
"""Least change in units of its standard error."""
MIN_LOAD_CHANGE = 0.03
NEAR = 8
MIN_SIDE = 5
MAX_CHANGES = 3
JUMP_WEIGHT = 20.0
"""Between dates that fit about as well, the one where the load itself jumped is the change."""


def changes_of_range(sessions: pl.DataFrame) -> pl.DataFrame:
    """Return the sessions, sorted by lift and date, with `block`: 0 to the first change, and so on.

    Lifts and pieces of them go by whole numbers, which group faster than names; a piece in which
    no change was found is not searched again.
    """
    frame = sessions.with_columns(lift=pl.struct(LIFT).rle_id())
    # light days say nothing of the range; they go with the days before them
    heavy = frame.filter(~pl.col("light")).select(
        "lift", "date", "load", range_depth=((pl.col("log_reps").exp() + 32.0) / 31.0).log()
    )
    heavy = heavy.with_columns(piece=pl.col("lift"), begins=pl.lit(value=False))
    searched = heavy
    for _ in range(MAX_CHANGES):
        # in a column of its own: within a window the score may differ in its last bit
        scored = searched.with_columns(score=_score())
        best = (pl.col("score") > 0) & (pl.col("score") == pl.col("score").max().over("piece"))
        found = scored.filter(best).select("lift", "date")
        if found.is_empty():
            break
        begins = found.with_columns(found=pl.lit(value=True))
        heavy = heavy.join(begins, on=["lift", "date"], how="left", maintain_order="left")
        heavy = heavy.with_columns(
            begins=pl.col("begins") | pl.col("found").fill_null(value=False)
        ).drop("found")
        heavy = heavy.with_columns(piece=first_of(pl.col("begins"), "lift").cum_sum())
        searched = heavy.filter(pl.col("lift").is_in(found["lift"].unique().implode()))
    block = pl.col("begins").cast(pl.Int32).cum_sum().over("lift")
    return (
        frame.join(
            heavy.select("lift", "date", block=block), on=["lift", "date"], how="left",
            maintain_order="left",
        )
        .with_columns(pl.col("block").forward_fill().backward_fill().over("lift").fill_null(0))
        .drop("lift")
    )  # fmt: skip


def first_of(begins: pl.Expr, lift: str) -> pl.Expr:
    """Mark the rows at which a piece begins: marked ones, and the first of every lift."""
    other = pl.col(lift) != pl.col(lift).shift(1)
    return begins | other.fill_null(value=True)


def _score() -> pl.Expr:
    """Score each day as the first of another rep range within its piece; 0 where it is none."""
    by = "piece"
    what = pl.col("range_depth")
    n = pl.len().over(by).cast(pl.Float64)
    before_n = pl.int_range(pl.len()).over(by).cast(pl.Float64)
    after_n = n - before_n
    so_far = what.cum_sum().over(by) - what
    total = what.sum().over(by)
    change = (total - so_far) / after_n - so_far / before_n
    gain = change.abs() * (before_n * after_n / n).sqrt()
    scatter = (what - what.mean().over(by)).pow(2).sum().over(by)
    noise = ((scatter - gain**2).clip(lower_bound=1e-6) / (n - 2)).sqrt()
    ratio = gain / noise
    near_before = pl.col("load").rolling_median(NEAR, min_samples=3).shift(1).over(by)
    near_after = pl.col("load").reverse().rolling_median(NEAR, min_samples=3).reverse().over(by)
    load = near_after - near_before
    good = (
        (before_n >= MIN_SIDE)
        & (after_n >= MIN_SIDE)
        & (change.abs() > MIN_CHANGE)
        & (ratio > MIN_RATIO)
        & (load * change < 0)
        & (load.abs() > MIN_LOAD_CHANGE)
    ).fill_null(value=False)
    jump = (pl.col("load") - pl.col("load").shift(1).over(by)) * load.sign()
    return pl.when(good).then(ratio + JUMP_WEIGHT * jump.clip(0, 0.3).fill_null(0)).otherwise(0.0)
