"""Weeks by lifts: where a day lies among them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["Weeks", "week_rows"]

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]


@dataclass(frozen=True)
class Weeks:
    """Weeks (axis 0) by lifts (axis 1); the last row is the week that ends on the as-of day.

    Attributes
    ----------
    y
        What the week says about strength in its middle (%).
    precision
        One over the variance of `y`; 0 where there is no evidence.
    shock
        Variance added to the level before the week: a return from a layoff.
    start
        Row of each lift's first evidence.
    """

    y: Floats
    precision: Floats
    shock: Floats
    start: Whole

    def take(self, lifts: Whole | slice) -> Weeks:
        """Return these lifts only."""
        return Weeks(
            self.y[:, lifts], self.precision[:, lifts], self.shock[:, lifts], self.start[lifts]
        )


def week_rows(day: Floats, as_of_day: int, weeks: int) -> tuple[Whole, Floats]:
    """Return each day's week row (negative: too long ago) and place within the week."""
    age = as_of_day - day
    return (weeks - 1 - age // 7).astype(np.int64), (3 - age % 7) / 7
