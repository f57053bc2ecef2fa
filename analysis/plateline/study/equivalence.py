"""Two one-sided tests, which ask whether a quantity is shown to be as good as nothing.

Not to find a difference proves none. The question is turned round: that the quantity is at or
below the lower bound, and that it is at or above the upper one, are each tested, and both must
be rejected.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

__all__ = ["Equivalence", "two_one_sided_tests"]

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Equivalence:
    """Results of the tests against the lower and the upper bound.

    Attributes
    ----------
    t_low, p_low
        Against "at or below the lower bound".
    t_high, p_high
        Against "at or above the upper bound".
    """

    t_low: Floats
    p_low: Floats
    t_high: Floats
    p_high: Floats

    @property
    def p(self) -> Floats:
        """The larger of the two: small only where both bounds are ruled out."""
        return np.maximum(self.p_low, self.p_high)


def two_one_sided_tests(
    estimate: Any, error: Any, freedom: Any, low: float, high: float
) -> Equivalence:
    """Test whether a quantity lies between two bounds.

    Parameters
    ----------
    estimate, error
        Numbers or arrays, in the unit of the bounds.
    freedom
        Degrees of freedom of the error.

    References
    ----------
    Schuirmann 1987, J Pharmacokinet Biopharm 15:657-680; Lakens 2017, Soc Psychol Personal Sci
    8:355-362.
    """
    from scipy.stats import t as student

    below = (np.asarray(estimate, dtype=float) - low) / np.asarray(error, dtype=float)
    above = (np.asarray(estimate, dtype=float) - high) / np.asarray(error, dtype=float)
    return Equivalence(
        below,
        np.asarray(student.sf(below, freedom)),
        above,
        np.asarray(student.cdf(above, freedom)),
    )
