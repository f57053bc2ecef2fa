"""Strength at every past session, from the sessions before and after it.

The regimes look back over `MAX_WEEKS`; a longer history is smoothed in windows of that length
that overlap and fade into each other, so a curve has no seam and ten years cost ten times what
one year costs.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from plateline.strength.arrays import Floats, Whole
from plateline.trend.assumptions import MAX_WEEKS
from plateline.trend.fit import Fit
from plateline.trend.layout import lay_out
from plateline.trend.paths import Path
from plateline.trend.pooled import Pooled
from plateline.trend.regimes import run_regimes
from plateline.trend.weeks import Weeks, week_rows

__all__ = ["session_levels"]


OVERLAP_WEEKS = 20
"""What two windows share; both know of enough on either side of its middle."""
TOGETHER = 2048
"""Lifts whose history is laid out at a time, which bounds the memory."""


def session_levels(fit: Fit) -> tuple[Floats, Floats]:
    """Return level and standard deviation (%) at each session; not a number where unknown.

    Parameters
    ----------
    fit
        With its path.
    """
    as_of_day = fit.as_of_day
    lift, day = fit.days.lift, fit.days.day
    row, _ = week_rows(day, as_of_day, len(fit.weeks.y))
    older = np.bincount(lift, weights=row < 0, minlength=fit.lifts.count) > 0
    level, sd = _at_sessions(_smoothed(fit.weeks, fit.pooled, fit.posterior.path), fit.weeks.start,
                             lift, day, as_of_day)  # fmt: skip
    level = np.where(fit.has_evidence[lift], level, np.nan)
    for chosen in _portions(np.flatnonzero(older)):
        at = np.flatnonzero(np.isin(lift, chosen))
        place = np.searchsorted(chosen, lift[at])
        weeks = lay_out(
            fit.days.take(at, place), fit.weighed.take(at), len(chosen),
            int(day[at].min()), as_of_day, most_weeks=None,
        )  # fmt: skip
        level[at], sd[at] = _at_sessions(
            _in_windows(weeks, fit.pooled), weeks.start, place, day[at], as_of_day
        )
    return level, sd


def _portions(lifts: Whole) -> Iterator[Whole]:
    for low in range(0, len(lifts), TOGETHER):
        yield lifts[low : low + TOGETHER]


def _at_sessions(
    weeks: tuple[Floats, Floats], start: Whole, lift: Whole, day: Floats, as_of_day: int
) -> tuple[Floats, Floats]:
    """Go in straight lines between the middles of weeks, and half a week on at both ends.

    The half week matters where strength moves fast; the variance is then the last week's own.
    """
    level, var = weeks
    count = len(level)
    row, offset = week_rows(day, as_of_day, count)
    at = row + offset
    low = np.clip(np.floor(at).astype(np.int64), start[lift], max(count - 2, 0))
    low = np.maximum(low, start[lift])
    high = np.minimum(low + 1, count - 1)
    part = np.clip(at - low, -0.5, 1.5)
    middle = (1 - part) * level[low, lift] + part * level[high, lift]
    part = np.clip(part, 0.0, 1.0)
    sd = np.sqrt((1 - part) * var[low, lift] + part * var[high, lift])
    known = row >= 0
    return np.where(known, middle, np.nan), np.where(known, sd, np.nan)


def _in_windows(weeks: Weeks, pooled: Pooled) -> tuple[Floats, Floats]:
    """Smooth a long history window by window, from the newest back."""
    count = len(weeks.y)
    level, var = np.zeros(weeks.y.shape), np.zeros(weeks.y.shape)
    total = np.zeros(weeks.y.shape)
    high = count
    while True:
        low = max(high - MAX_WEEKS, 0)
        window = _window(weeks, low, high)
        found, spread = _smoothed(window, pooled, None)
        row = np.arange(low, high)
        share = np.ones(high - low)
        if high < count:
            share = np.minimum(share, (high - row - 0.5) / OVERLAP_WEEKS)
        if low > 0:
            share = np.minimum(share, (row - low + 0.5) / OVERLAP_WEEKS)
        seen = (window.precision > 0).any(0)
        weight = share[:, None] * (seen & (np.arange(high - low)[:, None] >= window.start))
        total[low:high] += weight
        level[low:high] += weight * found
        var[low:high] += weight * spread
        if low == 0:
            break
        high = low + OVERLAP_WEEKS
    safe = np.where(total > 0, total, np.nan)
    return level / safe, var / safe


def _window(weeks: Weeks, low: int, high: int) -> Weeks:
    """Return some weeks only."""
    precision = weeks.precision[low:high]
    seen = precision > 0
    start = np.where(seen.any(0), seen.argmax(0), high - low - 1)
    return Weeks(weeks.y[low:high], precision, weeks.shock[low:high], start)


def _smoothed(weeks: Weeks, pooled: Pooled, path: Path | None) -> tuple[Floats, Floats]:
    """Return level and variance of every week, from what came before and after it.

    What is known from the weeks up to one (forwards) and expected from the weeks after it
    (the same model run backwards) are put together by their precisions.
    """
    forward = path or _path(weeks, pooled)
    backward = _path(_reversed(weeks), _reversed_pooled(pooled))
    later, later_var = backward.mean[0, ::-1], backward.cov[0, ::-1]
    precision = np.where(later_var > 0, 1 / np.where(later_var > 0, later_var, 1.0), 0.0)
    own_var = np.maximum(forward.level_var, 1e-9)
    total = 1 / own_var + precision
    return (forward.level / own_var + later * precision) / total, 1 / total


def _path(weeks: Weeks, pooled: Pooled) -> Path:
    found = run_regimes(weeks, pooled, path=True).path
    if found is None:
        raise ValueError("the regimes were run without their path")
    return found


def _reversed(weeks: Weeks) -> Weeks:
    """Return the weeks in reverse; what a layoff adds comes after the step, not before it."""
    seen = weeks.precision[::-1] > 0
    shock = np.zeros_like(weeks.shock)
    shock[1:] = weeks.shock[:0:-1]
    return replace(
        weeks,
        y=weeks.y[::-1],
        precision=weeks.precision[::-1],
        shock=shock,
        start=np.where(seen.any(0), seen.argmax(0), len(seen) - 1),
    )


def _reversed_pooled(pooled: Pooled) -> Pooled:
    """Return what lifts have in common when time runs backwards: progress becomes decline."""
    return Pooled(
        start=pooled.start[::-1],
        hazard=pooled.hazard[::-1],
        change=pooled.change[::-1, ::-1],
        slope_mean=-pooled.slope_mean[::-1],
        slope_sd=pooled.slope_sd[::-1],
    )
