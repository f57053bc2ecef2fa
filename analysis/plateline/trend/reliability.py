"""Typical error, and the changes that are worth while or can be told from it."""

from __future__ import annotations

from typing import Any

import numpy as np

__all__ = ["detectable_change", "smallest_worthwhile_change", "typical_error"]

WORTHWHILE_SHARE = 0.3
"""Of a person's own variation: a change by so much wins one more contest in ten (Hopkins,
slides on magnitudes)."""


def typical_error(first: Any, second: Any) -> float:
    """Return the typical error of two trials, in their unit.

    It is the standard deviation of the differences over the square root of two, which for two
    trials equals the standard error of measurement from the analysis of variance.

    References
    ----------
    Hopkins 2000, Sports Med 30:1-15; Weir 2005, J Strength Cond Res 19:231-240.
    """
    differences = np.asarray(second, dtype=float) - np.asarray(first, dtype=float)
    return float(differences.std(ddof=1) / np.sqrt(2))


def detectable_change(error: float, z: float = 1.96) -> float:
    """Return the smallest change between two measurements that is unlikely to be error alone.

    ``z sqrt(2) error``, with 1.96 for 95 % (Weir 2005, J Strength Cond Res 19:231-240).
    """
    return z * np.sqrt(2) * error


def smallest_worthwhile_change(variation: float) -> float:
    """Return the smallest change worth having, from a person's own variation, in its unit."""
    return WORTHWHILE_SHARE * variation
