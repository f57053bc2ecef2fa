"""Days as numbers, and weeks by lifts: where a day lies among them."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import numpy as np

from plateline.strength.arrays import Floats, Whole

__all__ = ["Weeks", "day_number", "week_rows"]


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


def day_number(day: dt.date) -> int:
    """Return the days since 1 January 1970, which is how Polars stores dates."""
    return (day - dt.date(1970, 1, 1)).days


def week_rows(day: Floats, as_of_day: int, weeks: int) -> tuple[Whole, Floats]:
    """Return in which week each day lies, and where in it.

    Parameters
    ----------
    day
        Numbers of days.
    as_of_day
        The last day of the last week.
    weeks
        How many weeks there are.

    Returns
    -------
    row
        Negative where the day is too long ago.
    offset
        From the middle of the week, in weeks.
    """
    age = as_of_day - day
    return (weeks - 1 - age // 7).astype(np.int64), (3 - age % 7) / 7
