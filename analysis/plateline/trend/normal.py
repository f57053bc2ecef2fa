"""The normal distribution and mixtures of it, without the cost of importing a library for it."""

from __future__ import annotations

import numpy as np

from plateline.strength.arrays import Floats

__all__ = ["Z80", "Z90", "cumulative", "mixture_quantiles"]


Z80, Z90 = 1.2815515655446004, 1.6448536269514722
"""Half-widths of central 80 % and 90 % intervals, in standard deviations."""

_B = (0.319381530, -0.356563782, 1.781477937, -1.821255978, 1.330274429)
_HALVINGS = 30
"""Of sixteen standard deviations: to a hundred-millionth of one."""


def cumulative(z: Floats) -> Floats:
    """Return the standard normal distribution function, to 7.5e-8.

    Abramowitz & Stegun 1964, Handbook of Mathematical Functions, formula 26.2.17.
    """
    size = np.abs(z)
    t = 1 / (1 + 0.2316419 * size)
    series = t * (_B[0] + t * (_B[1] + t * (_B[2] + t * (_B[3] + t * _B[4]))))
    tail = np.exp(-0.5 * size * size) / np.sqrt(2 * np.pi) * series
    return np.where(z > 0, 1 - tail, tail)


def mixture_quantiles(weight: Floats, mean: Floats, sd: Floats, q: float) -> Floats:
    """Return the `q` quantile of mixtures of normals by halving.

    Parameters
    ----------
    weight, mean, sd
        Components on axis 0.
    q
        Which quantile, from 0 to 1.
    """
    low, high = (mean - 8 * sd).min(0), (mean + 8 * sd).max(0)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        below = (weight * cumulative((middle - mean) / sd)).sum(0) < q
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    return (low + high) / 2
