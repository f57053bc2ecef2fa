"""Weighed sessions laid out as weeks by lifts."""

from __future__ import annotations

import numpy as np

from plateline.strength.arrays import Floats
from plateline.trend.assumptions import LAYOFF_PCT, MAX_WEEKS
from plateline.trend.measure import Days
from plateline.trend.weeks import Weeks, week_rows
from plateline.trend.weighing import Weighed

__all__ = ["lay_out"]


def lay_out(
    days: Days, weighed: Weighed, count: int, first_day: int, as_of_day: int,
    most_weeks: int | None = MAX_WEEKS,
) -> Weeks:  # fmt: skip
    """Collapse the sessions of each week, for at most `most_weeks` weeks before the as-of day.

    Parameters
    ----------
    count
        Number of lifts.
    first_day
        How far back to look, where `most_weeks` does not end it before.
    """
    oldest = int((as_of_day - first_day) // 7) + 1
    weeks = oldest if most_weeks is None else min(most_weeks, oldest)
    row, _ = week_rows(days.day, as_of_day, weeks)
    keep = row >= 0
    cell = (days.lift * weeks + row)[keep]

    def add(values: Floats) -> Floats:
        flat = np.bincount(cell, weights=values[keep], minlength=count * weeks)
        return np.ascontiguousarray(flat.reshape(count, weeks).T, dtype=np.float64)

    precision = np.where(weighed.odd, 0.0, 1 / weighed.var)
    total = add(precision)
    safe = np.where(total > 0, total, 1.0)
    shock = add(np.where(weighed.back, LAYOFF_PCT**2, 0.0))
    start = np.where((total > 0).any(0), (total > 0).argmax(0), weeks - 1)
    return Weeks(y=add(precision * weighed.y) / safe, precision=total, shock=shock, start=start)
