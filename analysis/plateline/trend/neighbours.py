"""Each session against its neighbours: noise, odd days, and the readiness that lifts share."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plateline.strength.arrays import Flags, Floats, Whole
from plateline.trend.assumptions import NOISE_FREEDOM, SHARED_DAY_CAP_PCT

__all__ = [
    "RIDGE_WEEKS2",
    "LocalFit",
    "Windows",
    "local_fit",
    "local_median",
    "noise_scale",
    "row_median",
    "shared_day",
    "windows",
]


LEAST_DIFFERENCES = 6
"""Lifts with fewer comparisons of neighbouring sessions say nothing about a usual lift."""
MOST_DIFFERENCES = 30
"""A lift counts for at most so many; and one ordinary lift of so many is taken for granted."""
LEAST_NOISE = 0.05
"""Share of the ordinary noise below which that of a lift is not taken to be (few differences that
happen to be small have no logarithm)."""
DIFFERENCES_PER_SIGN = 1.5
"""Neighbouring differences share sessions: three count for about two."""
LARGEST_SQUARE = 9.0
"""Differences are cut at three standard deviations."""
RIDGE_WEEKS2 = 2.0
"""Keeps a local line from swinging where a lift has few sessions."""
NEAR_DAYS = 28
"""Sessions further apart than this say nothing about each other's noise."""
REACH_SDS, REACH_PCT = 2.5, 1.0
"""Values further from the median of their window than so many standard deviations and so much
are pulled in to there before a line is fitted; residuals likewise, before lifts share a day."""
MOST_LEVERAGE = 0.9
"""Of a session on its own local line, so that what leaves it out stays finite."""
PRIOR_PAIRS = 200.0
"""Pairs of lifts on one day that an ordinary covariance, of 1 squared %, counts for."""
MOST_SHARED = 0.5
"""Share of a session's variance that may be its day's."""
LEAST_OWN = 0.2
"""Share of a residual's variance that stays its lift's own."""


@dataclass(frozen=True)
class Windows:
    """For every session the indices of its neighbours (and itself) in the same lift."""

    index: NDArray[np.int32]
    inside: Flags


@dataclass(frozen=True)
class LocalFit:
    """A robust local line at every session.

    Attributes
    ----------
    median
        Of the window.
    line, slope
        The line's value at the session, and its slope a week.
    left_out
        Residual from the line that leaves this session out.
    leverage
        Factor of the variance of `left_out`.
    """

    median: Floats
    line: Floats
    slope: Floats
    left_out: Floats
    leverage: Floats


def windows(lift: Whole, half: int) -> Windows:
    """Return windows of ``2 half + 1`` sessions, shifted inwards at the ends of a lift."""
    n, width = len(lift), 2 * half + 1
    starts = np.flatnonzero(np.r_[True, lift[1:] != lift[:-1]])
    sizes = np.diff(np.r_[starts, n])
    start, size = np.repeat(starts, sizes), np.repeat(sizes, sizes)
    low = np.clip(np.arange(n) - start - half, 0, np.maximum(size - width, 0))
    place = (low[:, None] + np.arange(width)).astype(np.int32)
    inside = place < size[:, None]
    return Windows(np.minimum(start[:, None].astype(np.int32) + place, n - 1), inside)


def local_fit(near: Windows, day: Floats, y: Floats, var: Floats) -> LocalFit:
    """Fit a line to each window by weighted least squares, outlying values pulled in first.

    Parameters
    ----------
    near
        The windows.
    day, y, var
        One entry a session; strength in %, and its variance.
    """
    index, inside = near.index, near.inside
    values = y[index]
    median = row_median(values, inside)
    reach = (REACH_SDS * np.sqrt(var) + REACH_PCT)[:, None]
    pulled = np.where(inside, np.clip(values - median[:, None], -reach, reach), 0.0)
    w = np.where(inside, 1 / var[index], 0.0)
    t = (day[index] - day[:, None]) / 7
    s0, s1 = w.sum(1), (w * t).sum(1)
    s2 = (w * t * t).sum(1) + RIDGE_WEEKS2 * s0
    b0, b1 = (w * pulled).sum(1), (w * t * pulled).sum(1)
    det = s0 * s2 - s1 * s1
    line = median + (s2 * b0 - s1 * b1) / det
    hat = np.minimum(s2 / det / var, MOST_LEVERAGE)
    slope = (s0 * b1 - s1 * b0) / det
    return LocalFit(median, line, slope, (y - line) / (1 - hat), 1 / (1 - hat))


def row_median(values: Floats, inside: Flags) -> Floats:
    """Return the median of each row's inner values."""
    ordered = np.sort(np.where(inside, values, np.inf), axis=1)
    count = inside.sum(1)
    rows = np.arange(len(values))
    return (ordered[rows, (count - 1) // 2] + ordered[rows, count // 2]) / 2


def local_median(near: Windows, y: Floats) -> Floats:
    """Return the median of each window."""
    return row_median(y[near.index], near.inside)


def noise_scale(
    lift: Whole,
    day: Floats,
    y: Floats,
    var: Floats,
    gross: Flags,
    count: int,
    log_mean: float | None = None,
) -> tuple[Floats, float]:
    """Return each lift's noise variance as a multiple of `var`, shrunk towards the log's.

    A session is compared with the line between the one before and the one after, so trends and
    corners hardly enter.

    Parameters
    ----------
    lift, day, y, var
        One entry a session, in the order of lift and day; strength in %, and its variance.
    gross
        Sessions that are grossly off, which are left out.
    count
        Number of lifts.
    log_mean
        The log's own multiple, where it is known already.

    Returns
    -------
    scale
        One entry a lift.
    log_mean
        As found, or as given.
    """
    same = np.r_[False, lift[1:] == lift[:-1]]
    before = np.where(same, np.r_[np.inf, np.diff(day)], np.inf)
    after = np.r_[before[1:], np.inf]
    beside = gross | np.r_[False, gross[:-1]] | np.r_[gross[1:], False]
    i = np.flatnonzero((before + after < NEAR_DAYS) & ~beside)
    b = before[i] / (before[i] + after[i])
    residual = y[i] - (1 - b) * y[i - 1] - b * y[i + 1]
    expected = var[i] + (1 - b) ** 2 * var[i - 1] + b**2 * var[i + 1]
    squares = np.minimum(residual**2 / expected, LARGEST_SQUARE)
    n = np.bincount(lift[i], minlength=count)
    own = np.bincount(lift[i], weights=squares, minlength=count).astype(np.float64)
    if log_mean is None:
        log_mean = _usual_noise(own, n)
    known = NOISE_FREEDOM * log_mean + own / DIFFERENCES_PER_SIGN
    return known / (NOISE_FREEDOM + n / DIFFERENCES_PER_SIGN), log_mean


def _usual_noise(own: Floats, n: Whole) -> float:
    """Return the noise of a usual lift: the geometric mean, so that a few wild ones do not rule.

    Lifts count by their differences.
    """
    weight = np.where(n >= LEAST_DIFFERENCES, np.minimum(n, MOST_DIFFERENCES), 0)
    each = np.log(np.maximum(own, LEAST_NOISE * np.maximum(n, 1)) / np.maximum(n, 1))
    return float(np.exp((weight * each).sum() / (weight.sum() + MOST_DIFFERENCES)))


def shared_day(
    client: Whole,
    day: Floats,
    fit: LocalFit,
    var: Floats,
    usable: Flags,
    covariance: float | None = None,
) -> tuple[Floats, Floats, float]:
    """Estimate the readiness of each session's day from the client's other lifts.

    Parameters
    ----------
    client, day, var
        One entry a session; the variance of its strength.
    fit
        The local line at every session.
    usable
        Sessions that count.
    covariance
        Of two lifts on one day, where it is known already.

    Returns
    -------
    shift, known_var
        To be subtracted from the session's measurement and from its variance; 0 where no
        other lift was trained that day.
    covariance
        Of two lifts on one day, as the log says, or as given where it is known already.
    """
    first_day = day.min() if len(day) else 0.0
    key = np.unique(client * 1_000_000 + (day - first_day).astype(np.int64), return_inverse=True)[1]
    v = fit.leverage * var
    reach = REACH_SDS * np.sqrt(v)
    r = np.where(usable, np.clip(fit.left_out, -reach, reach), 0.0)
    lifts_that_day = np.bincount(key, weights=usable)
    if covariance is None:
        pairs = (lifts_that_day * (lifts_that_day - 1)).sum()
        products = (np.bincount(key, weights=r) ** 2 - np.bincount(key, weights=r * r)).sum()
        covariance = float(max((products + PRIOR_PAIRS) / (pairs + PRIOR_PAIRS), 1e-9))
    shared = np.minimum(min(covariance, SHARED_DAY_CAP_PCT**2), MOST_SHARED * var)
    w = np.where(usable, 1 / np.maximum(v - shared, LEAST_OWN * v), 0.0)
    others = np.bincount(key, weights=w)[key] - w
    total = np.bincount(key, weights=w * r)[key] - w * r
    alone = lifts_that_day[key] - usable < 1
    weight = np.maximum(others, 0.0) + 1 / shared
    shift = np.where(alone, 0.0, total / weight)
    known = np.where(alone, 0.0, np.maximum(others, 0.0) / weight * shared)
    return shift, known, covariance
