"""Hard sets, which end near failure: what they cost, and why others are believed less.

Lifters misjudge a reserve the more, the larger it is: in one set of squats at 70 % (16
repetitions) a called 1, 3 and 5 were off by 2.1 +/- 1.7, 3.7 +/- 2.5 and 5.2 +/- 2.9 (Zourdos et
al. 2021, J Strength Cond Res 35:S158-S165), and some write 5 or 6 for "or more". That error is
the lifter's own and does not average out, so a set far from failure says a little about a day's
strength, but nothing about how strength falls with repetitions.
"""

from __future__ import annotations

import numpy as np
import polars as pl

from plateline.strength.arrays import Flags, Whole

__all__ = ["HARD_SET_RIR", "first_hard", "is_hard", "tiring"]

HARD_SET_RIR = 4.0
"""A hard set ends within this many repetitions in reserve (the kit's own definition)."""

TIRING_PER_SHARE = 4 / 3
"""Eight repetitions with two in reserve are three quarters of those that could be done (see
`true_rir`), and tire as much as one set of `SET_FATIGUE`."""


def is_hard() -> pl.Expr:
    """Say which sets are hard, or may be: their reserve is small, or not known."""
    return (pl.col("rir") <= HARD_SET_RIR).fill_null(value=True)


def tiring() -> pl.Expr:
    """Return how much a set tires, in sets of eight repetitions with two in reserve.

    As much as its share of the repetitions that could be done: 0.65 for seven with six in
    reserve, 1.3 to failure, and 1 where the reserve is not known. Sets of half of the possible
    repetitions and more cost speed that can be measured, and more with the share (Sanchez-Medina &
    Gonzalez-Badillo 2011, Med Sci Sports Exerc 43(9):1725-1734). In proportion is our choice:
    over six sets at 75 % the loss was 6 % with three and 9 % with one in reserve, as it says, but
    22 % to failure, twice what it says (Refalo et al. 2023, Sports Med Open 9:10).
    """
    # The constant multiplies: Polars' quotients by one number differ with the rows beside.
    share = pl.col("reps") / pl.col("reps_to_failure") * TIRING_PER_SHARE
    return pl.when("rir_logged").then(share).otherwise(1.0)


def first_hard(first: Whole, hard: Flags) -> Whole:
    """Return the place of each day's first hard set; of its first set where none is hard.

    Parameters
    ----------
    first
        Place of each day's first set; the sets of a day of a lift stand together.
    hard
        One entry a set.
    """
    place = np.where(hard, np.arange(len(hard)), len(hard))
    found = np.minimum.reduceat(place, first)
    return np.where(found < len(hard), found, first)
