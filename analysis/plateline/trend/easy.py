"""Easy sets and days without a reserve: less load, and hardly more repetitions.

Such a set is a lower bound of strength far below what is known already: a warm-up that nobody
marked, a light week. Where the reserve was written down it says so itself; where it was not,
an easy day read as a hard one would look like a loss of strength that follows the load, and
would teach the lift a rep curve that nobody has.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from plateline.trend.assumptions import EASY_LOAD_PCT, EASY_SHARE

__all__ = ["easy_days", "easy_sets"]

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]
Flags = NDArray[np.bool_]


def easy_sets(first: Whole, log_load: Floats, y: Floats, logged: Flags) -> Flags:
    """Say which sets seem weaker than their day's heaviest almost as far as they are lighter.

    Parameters
    ----------
    first
        Place of each day's first set; the sets of a day of a lift stand together.
    log_load, y, logged
        One entry a set: load and strength (on the population's curve) in %, whether the
        reserve is known.
    """
    sizes = np.diff(np.r_[first, len(y)])
    heaviest = np.repeat(np.maximum.reduceat(log_load, first), sizes)
    with_it = np.where(log_load >= heaviest - 1e-9, y, -np.inf)
    strongest = np.repeat(np.maximum.reduceat(with_it, first), sizes)
    return ~logged & _follows(heaviest - log_load, strongest - y)


def easy_days(lighter: Floats, weaker: Floats, logged_share: Floats) -> Flags:
    """Say on which days strength seems to have fallen almost as far as the load.

    Parameters
    ----------
    lighter, weaker
        How far load and strength (on the population's curve) are below their neighbours, in %.
    logged_share
        Share of the day's sets whose reserve is known.
    """
    return (logged_share < 0.5) & _follows(lighter, weaker)


def _follows(lighter: Floats, weaker: Floats) -> Flags:
    return (lighter > EASY_LOAD_PCT) & (weaker > EASY_SHARE * lighter)
