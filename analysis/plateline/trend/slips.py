"""Sets that fit neither their day nor their neighbours: slips of the pen, one set at a time.

A tenfold load, two digits swapped, pounds written as kilograms or 80 repetitions for 8 spoil
only the set they stand in. Left in, one such set would not just move its day: set against the
other sets of that day it would teach the lift a wrong rep curve for ever. Whole days that are
off (light days, a session in pounds) are no slips of one set; `plateline.trend.weighing` sees them.
"""

from __future__ import annotations

import numpy as np

from plateline.strength.arrays import Flags, Floats, Whole
from plateline.strength.curves import CURVE_SD
from plateline.trend.assumptions import (
    SLIP_NEIGHBOURS,
    SLIP_PCT,
    SLIP_SCATTER,
    SLIP_SDS,
    SLIP_STEP_PCT,
)
from plateline.trend.neighbours import Windows, row_median

__all__ = ["slips"]


TOGETHER = 50_000
"""Doubtful sets looked at together, which bounds the memory."""

LARGEST_SHARE = 0.5
"""A lift of which more would go is not understood; nothing of it goes."""


def slips(lift: Whole, day: Whole, y: Floats, log_load: Floats, var: Floats) -> Flags:
    """Say which sets are slips; sets are in the order of lift, day and set.

    A set is one when what it says about strength is far from its neighbours and as far from
    the rest of its day. An unusual load is allowed two standard deviations of unknown rep
    curve, which no slip of a load stays within: it moves strength as much as the load.

    Parameters
    ----------
    lift, day, y, log_load, var
        One entry a set; strength and load in %, the variance of the strength beside them.
    """
    found = np.zeros(len(lift), dtype=bool)
    doubtful = _candidates(lift, y)
    for low in range(0, len(doubtful), TOGETHER):
        at = doubtful[low : low + TOGETHER]
        found[at] = _apart(at, lift, day, y, log_load, var)
    return found & _leaves_some(lift, found)


def _apart(at: Whole, lift: Whole, day: Whole, y: Floats, log_load: Floats, var: Floats) -> Flags:
    """Say which of some sets are far from their neighbours and from the rest of their day."""
    around = _around(lift, at)
    level = row_median(y[around.index], around.inside)
    scatter = row_median(np.abs(y[around.index] - level[:, None]), around.inside)
    away = y[at] - level
    harder = np.abs(log_load[at] - row_median(log_load[around.index], around.inside))
    reach = np.maximum(np.maximum(SLIP_PCT, SLIP_SDS * np.sqrt(var[at])), SLIP_SCATTER * scatter)
    reach = reach + 2 * CURVE_SD * harder
    same_day = around.inside & (day[around.index] == day[at, None])
    same_day &= around.index != at[:, None]
    beside = _masked_median(y[around.index] - level[:, None], same_day)
    return (np.abs(away) > reach) & (np.abs(away - beside) > reach)


def _candidates(lift: Whole, y: Floats) -> Whole:
    """Return the sets that differ from one beside them by more than a usual step."""
    step = np.abs(np.diff(y)) > SLIP_STEP_PCT
    step &= lift[1:] == lift[:-1]
    return np.flatnonzero(np.r_[False, step] | np.r_[step, False])


def _around(lift: Whole, at: Whole) -> Windows:
    """Return the sets to each side of some sets, in the same lift."""
    place = at[:, None] + np.arange(-SLIP_NEIGHBOURS, SLIP_NEIGHBOURS + 1)
    index = np.clip(place, 0, len(lift) - 1)
    inside = (place == index) & (lift[index] == lift[at, None])
    return Windows(index.astype(np.int32), inside)


def _masked_median(values: Floats, chosen: Flags) -> Floats:
    """Return each row's median over the chosen entries; not a number where there are none."""
    some = np.count_nonzero(chosen, axis=1) > 0
    return np.where(some, row_median(values, chosen | ~some[:, np.newaxis]), np.nan)


def _leaves_some(lift: Whole, found: Flags) -> Flags:
    """Say which sets are of lifts that keep most of their sets."""
    share = np.bincount(lift, weights=found) / np.bincount(lift)
    return np.less_equal(np.take(share, lift), LARGEST_SHARE)
