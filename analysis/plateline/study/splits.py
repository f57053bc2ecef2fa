"""Where a lift's rep range changed, found in the log itself.

Least squares on the reps of the day (on the scale of the rep curve, so that one rep of three
weighs more than one of fifteen), one change at a time, as in binary segmentation (Scott and
Knott 1974, Biometrics 30:507-512). A change counts when it is large, stands well above the
scatter from day to day, and the load went the other way: fewer reps with a heavier load is
a choice, fewer reps with the same load is a bad month.
"""

from __future__ import annotations

import polars as pl

from plateline.study.rep_sessions import LIFT

__all__ = ["changes_of_range"]

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
    """Return the sessions with `block`: 0 up to the first change of rep range, and so on."""
    frame = sessions.with_columns(block=pl.lit(0, pl.Int32))
    # light days say nothing of the range; they go with the days before them
    heavy = frame.filter(~pl.col("light")).with_columns(
        range_depth=((pl.col("log_reps").exp() + 32.0) / 31.0).log()
    )
    for _ in range(MAX_CHANGES):
        heavy = heavy.with_columns(_best_change().alias("change"))
        if not heavy["change"].any():
            break
        later = pl.col("change").cum_sum().over([*LIFT, "block"])
        heavy = heavy.with_columns(
            block=(pl.struct("block", later.alias("later")).rank("dense").over(LIFT) - 1).cast(
                pl.Int32
            )
        )
    found = heavy.select(*LIFT, "date", "block")
    return (
        frame.drop("block")
        .join(found, on=[*LIFT, "date"], how="left", maintain_order="left")
        .with_columns(pl.col("block").forward_fill().backward_fill().over(LIFT).fill_null(0))
    )


def _best_change() -> pl.Expr:
    """Mark the best first day of another rep range within each block, where one is good enough."""
    by = [*LIFT, "block"]
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
    score = pl.when(good).then(ratio + JUMP_WEIGHT * jump.clip(0, 0.3).fill_null(0)).otherwise(0.0)
    return good & (score == score.max().over(by))
