"""Rep curves: how much of a one-repetition maximum can be moved for r repetitions.

The kit writes a curve as ``share(r) = exp(-k d(r))`` with ``d(r) = ln((30 + r)/31)``: it
is exactly 1 for one repetition, falls by about 2.5 to 3 % a repetition at first and ever
slower after. Only ``k`` differs between people and kinds of lift, so on the log scale a
person's own curve is a straight-line correction of the population's, which is what lets it
be learned together with the trend of strength.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import polars as pl

__all__ = [
    "BEND_REPS",
    "CURVE_SD",
    "STEEPNESS",
    "curve_class",
    "depth",
    "reps_at_share",
    "share_of_max",
]

BEND_REPS = 30.0
"""How soon the curve flattens, in repetitions (the constant of Epley's equation)."""

LOG_START = math.log(BEND_REPS + 1)

STEEPNESS = {"free": 1.0, "machine": 0.76}
"""``k`` by kind of lift.

Least squares on the log scale to published mean repetitions. Free weights: bench press 80 %
8.8 and 70 % 14.1 (Nuzzo et al. 2024, Sports Med 54:303-321) with 90/80/70 % 4.9/9.6/15.4
(Mitter et al., 14 people) give 0.95, the NSCA load chart gives 1.13; 1.0 lies between.
Machines: leg press 80 % 13.1 and 70 % 19.0 (Nuzzo et al. 2024) give 0.74, weightlifters' 90/80/70
% 7.0/11.8/17.9 (Richens & Cleather 2014, Biol Sport 31(2):157-161) give 0.78.
tests/strength/test_curves.py does the fits again.
"""

CURVE_SD = 0.22
"""Between-person standard deviation of ``ln k``.

Nuzzo et al. 2024 give a between-person SD of 2.51 repetitions at 80 % (mean about 10) and
4.36 at 60 %: 20 to 28 % of the repetitions past the first, and so of ``k``.
"""


def depth(reps_to_failure: Any) -> Any:
    """Return ``d(r)``, the population's log distance from a one-repetition maximum.

    Takes numbers, arrays or a Polars expression. Repetitions below one count as one.
    """
    # A difference of logarithms: Polars' quotients differ in the last bit with the rows beside.
    if isinstance(reps_to_failure, pl.Expr):
        return (reps_to_failure.clip(lower_bound=1.0) + BEND_REPS).log() - LOG_START
    return np.log(np.maximum(reps_to_failure, 1.0) + BEND_REPS) - LOG_START


def share_of_max(reps_to_failure: Any, steepness: float = 1.0) -> Any:
    """Return load as a share of the one-repetition maximum at r repetitions to failure.

    Examples
    --------
    >>> float(share_of_max(1))
    1.0
    >>> round(float(share_of_max(10)), 3)
    0.775
    """
    return np.exp(-steepness * depth(reps_to_failure))


def reps_at_share(share: Any, steepness: float = 1.0) -> Any:
    """Return the repetitions to failure that a share of the maximum allows (the inverse)."""
    return (BEND_REPS + 1) * np.exp(-np.log(np.asarray(share, dtype=float)) / steepness) - BEND_REPS


def curve_class(equipment: pl.Expr) -> pl.Expr:
    """Return `free` or `machine` for the catalogue's equipment; `free` where unknown."""
    is_machine = equipment.str.to_lowercase().str.contains("machine|cable|sled")
    return (
        pl.when(is_machine.fill_null(value=False)).then(pl.lit("machine")).otherwise(pl.lit("free"))
    )
