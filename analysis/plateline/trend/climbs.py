"""Climbs far beyond the usual: a beginner's weeks, or a lift that is learned anew.

Sessions are judged by their neighbours, which are taken to lie nearly level. Where strength
rises by five per cent a week that is wrong: the first sessions of a window would look like
light days and the last ones like typing errors, and loads that rise with strength would teach
a rep curve that nobody has. What is climbed beyond `CLIMB_PCT_WEEK` is therefore taken off
before sessions are compared, and put back after. Ordinary lifts are not touched by it.
"""

from __future__ import annotations

import numpy as np

from plateline.strength.arrays import Flags, Floats, Whole
from plateline.trend.assumptions import CLIMB_DAYS, CLIMB_PCT_WEEK, CLIMB_SESSIONS
from plateline.trend.neighbours import Windows, row_median

__all__ = ["climbing", "climbs"]


def climbs(lift: Whole, day: Floats, y: Floats, near: Windows) -> tuple[Floats, Floats]:
    """Return what each session's lift has climbed (or fallen) beyond the usual, and how fast.

    Parameters
    ----------
    lift, day, y
        One entry a session, in the order of lift and day; strength in %.
    near
        Windows of sessions that a climb is looked for in.

    Returns
    -------
    climbed
        In %, from the lift's first session on; 0 for all of an ordinary lift.
    pace
        Of it, in % a week.

    Notes
    -----
    The pace is the lesser of the step between the medians of a window's halves and the median
    of the slopes of all its pairs (Theil 1950; Sen 1968, J Am Stat Assoc 63:1379-1389), less
    the usual. Both bear a light week or a mistyped session.
    """
    pace = _beyond(_between_halves(day, y, near))
    at = np.flatnonzero(pace)
    if len(at):
        pairs = _beyond(_of_pairs(day, y, Windows(near.index[at], near.inside[at])))
        agree = np.sign(pairs) == np.sign(pace[at])
        pace[at] = np.where(agree, np.sign(pairs) * np.minimum(np.abs(pairs), np.abs(pace[at])), 0)
    new = np.r_[True, lift[1:] != lift[:-1]]
    weeks = np.where(new, 0.0, np.r_[0.0, np.diff(day)]) / 7
    steps = weeks * (pace + np.r_[0.0, pace[:-1]]) / 2
    total = np.cumsum(steps)
    first = np.maximum.accumulate(np.where(new, np.arange(len(lift)), 0))
    return np.where(climbing(lift, pace), total - total[first], 0.0), pace


def climbing(lift: Whole, pace: Floats) -> Flags:
    """Say of each session whether its lift climbs beyond the usual anywhere."""
    return np.bincount(lift, weights=np.abs(pace))[lift] > 0


def _beyond(slope: Floats) -> Floats:
    """Return what of a slope lies beyond the usual."""
    return np.sign(slope) * np.maximum(np.abs(slope) - CLIMB_PCT_WEEK, 0.0)


def _between_halves(day: Floats, y: Floats, near: Windows) -> Floats:
    """Return the slope between the medians of the two halves of each window; 0 where too few."""
    count = near.inside.sum(1)
    place = np.arange(near.inside.shape[1])
    early = near.inside & (place < (count // 2)[:, None])
    late = near.inside & (place >= (count - count // 2)[:, None])
    few = count < CLIMB_SESSIONS
    early[few, 0] = late[few, 0] = True
    days, values = day[near.index], y[near.index]
    weeks = (row_median(days, late) - row_median(days, early)) / 7
    rise = row_median(values, late) - row_median(values, early)
    known = ~few & (weeks >= CLIMB_DAYS / 14)
    return np.where(known, rise / np.where(known, weeks, 1.0), 0.0)


def _of_pairs(day: Floats, y: Floats, near: Windows) -> Floats:
    """Return the median slope of all pairs of each window."""
    early, late = np.triu_indices(near.inside.shape[1], 1)
    days, values = day[near.index] / 7, y[near.index]
    weeks = days[:, late] - days[:, early]
    both = near.inside[:, late] & near.inside[:, early] & (weeks > 0)
    slopes = (values[:, late] - values[:, early]) / np.where(both, weeks, 1.0)
    return row_median(slopes, both)
