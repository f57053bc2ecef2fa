"""Each session against its neighbours: noise, odd days, and the readiness that lifts share."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plateline.trend.assumptions import (
    NOISE_FREEDOM,
    SHARED_DAY_CAP_PCT,
)

__all__ = [
    "LocalFit",
    "Windows",
    "local_fit",
    "local_median",
    "noise_scale",
    "row_median",
    "shared_day",
    "windows",
]

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]

LEAST_DIFFERENCES = 6
"""Lifts with fewer comparisons of neighbouring sessions say nothing about a usual lift."""
RIDGE_WEEKS2 = 2.0
"""Keeps a local line from swinging where a lift has few sessions."""
NEAR_DAYS = 28
"""Sessions further apart than this say nothing about each other's noise."""


@dataclass(frozen=True)
class Windows:
    """For every session the indices of its neighbours (and itself) in the same lift."""

    index: NDArray[np.int32]
    inside: NDArray[np.bool_]


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
    """Fit a line to each window by weighted least squares, outlying values pulled in first."""
    index, inside = near.index, near.inside
    values = y[index]
    median = row_median(values, inside)
    reach = (2.5 * np.sqrt(var) + 1.0)[:, None]
    pulled = np.where(inside, np.clip(values - median[:, None], -reach, reach), 0.0)
    w = np.where(inside, 1 / var[index], 0.0)
    t = (day[index] - day[:, None]) / 7
    s0, s1 = w.sum(1), (w * t).sum(1)
    s2 = (w * t * t).sum(1) + RIDGE_WEEKS2 * s0
    b0, b1 = (w * pulled).sum(1), (w * t * pulled).sum(1)
    det = s0 * s2 - s1 * s1
    line = median + (s2 * b0 - s1 * b1) / det
    hat = np.minimum(s2 / det / var, 0.9)
    slope = (s0 * b1 - s1 * b0) / det
    return LocalFit(median, line, slope, (y - line) / (1 - hat), 1 / (1 - hat))


def row_median(values: Floats, inside: NDArray[np.bool_]) -> Floats:
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
    gross: NDArray[np.bool_],
    count: int,
    log_mean: float | None = None,
) -> tuple[Floats, float]:
    """Return each lift's noise variance as a multiple of `var`, shrunk towards the log's.

    The log's own multiple is `log_mean` where it is known already, and returned beside. A
    session is compared with the line between the one before and the one after, so trends and
    corners hardly enter; differences are cut at three standard deviations, and sessions that
    are grossly off are left out.
    """
    same = np.r_[False, lift[1:] == lift[:-1]]
    before = np.where(same, np.r_[np.inf, np.diff(day)], np.inf)
    after = np.r_[before[1:], np.inf]
    beside = gross | np.r_[False, gross[:-1]] | np.r_[gross[1:], False]
    i = np.flatnonzero((before + after < NEAR_DAYS) & ~beside)
    b = before[i] / (before[i] + after[i])
    residual = y[i] - (1 - b) * y[i - 1] - b * y[i + 1]
    expected = var[i] + (1 - b) ** 2 * var[i - 1] + b**2 * var[i + 1]
    squares = np.minimum(residual**2 / expected, 9.0)
    n = np.bincount(lift[i], minlength=count)
    own = np.bincount(lift[i], weights=squares, minlength=count).astype(np.float64)
    if log_mean is None:
        log_mean = _usual_noise(own, n)
    # neighbouring differences share sessions: three count for about two
    return (NOISE_FREEDOM * log_mean + own / 1.5) / (NOISE_FREEDOM + n / 1.5), log_mean


def _usual_noise(own: Floats, n: Whole) -> float:
    """Return the noise of a usual lift: the geometric mean, so that a few wild ones do not rule.

    Lifts count by their differences, up to thirty; one ordinary lift is taken for granted.
    """
    weight = np.where(n >= LEAST_DIFFERENCES, np.minimum(n, 30), 0)
    each = np.log(np.maximum(own, 0.05 * np.maximum(n, 1)) / np.maximum(n, 1))
    return float(np.exp((weight * each).sum() / (weight.sum() + 30.0)))


def shared_day(
    client: Whole,
    day: Floats,
    fit: LocalFit,
    var: Floats,
    usable: NDArray[np.bool_],
    covariance: float | None = None,
) -> tuple[Floats, Floats, float]:
    """Estimate the readiness of each session's day from the client's other lifts.

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
    reach = 2.5 * np.sqrt(v)
    r = np.where(usable, np.clip(fit.left_out, -reach, reach), 0.0)
    lifts_that_day = np.bincount(key, weights=usable)
    if covariance is None:
        pairs = (lifts_that_day * (lifts_that_day - 1)).sum()
        products = (np.bincount(key, weights=r) ** 2 - np.bincount(key, weights=r * r)).sum()
        covariance = float(max((products + 200.0) / (pairs + 200.0), 1e-9))
    shared = np.minimum(min(covariance, SHARED_DAY_CAP_PCT**2), 0.5 * var)
    w = np.where(usable, 1 / np.maximum(v - shared, 0.2 * v), 0.0)
    others = np.bincount(key, weights=w)[key] - w
    total = np.bincount(key, weights=w * r)[key] - w * r
    alone = lifts_that_day[key] - usable < 1
    weight = np.maximum(others, 0.0) + 1 / shared
    shift = np.where(alone, 0.0, total / weight)
    known = np.where(alone, 0.0, np.maximum(others, 0.0) / weight * shared)
    return shift, known, covariance
