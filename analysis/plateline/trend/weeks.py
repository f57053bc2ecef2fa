"""Sessions weighed against each other and laid out as weeks by lifts."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plateline.trend.assumptions import (
    DAY_SD_PCT,
    GROSS_PCT,
    LAYOFF_DAYS,
    LAYOFF_DOUBT_DAYS,
    LAYOFF_FADE_DAYS,
    LAYOFF_GAPS,
    LAYOFF_PCT,
    MAX_WEEKS,
    ODD_SESSION_PCT,
    ODD_SESSION_SDS,
    SMALL_STEP_PCT,
    TAIL_FREEDOM,
)
from plateline.trend.measure import Days, Lifts
from plateline.trend.neighbours import local_fit, local_median, noise_scale, shared_day, windows
from plateline.trend.pooled import Common

__all__ = ["Weeks", "Weighed", "lay_out", "weigh"]

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]
Flags = NDArray[np.bool_]

INTENSITY_HALF_WINDOW = 6
NEIGHBOUR_HALF_WINDOW = 3


@dataclass(frozen=True)
class Weighed:
    """What each session says and how much it weighs; one entry a session.

    Attributes
    ----------
    y
        Strength (%), the day's shared readiness taken out.
    x
        How hard the load was against the lift's usual bend (%): strength of that time less
        log load less usual bend. Taken from the load, not from the repetitions, whose errors
        would otherwise make every rep curve look flat.
    var
        Variance of `y`.
    odd
        No evidence: a light day or a typing error.
    low
        Odd, and below its neighbours in load too (a light day rather than a typing error).
    back
        The first session after a layoff.
    ordinary_var
        Variance of an ordinary session with these sets.
    noise_sd
        One a lift: standard deviation of an ordinary session.
    """

    y: Floats
    x: Floats
    var: Floats
    odd: Flags
    low: Flags
    back: Flags
    ordinary_var: Floats
    noise_sd: Floats
    log_noise: float
    day_covariance: float


def weigh(lifts: Lifts, days: Days, light: Flags, common: Common | None = None) -> Weighed:
    """Weigh every session against its neighbours and the other lifts of its day.

    Parameters
    ----------
    light
        Sessions that were planned to be light: no evidence.
    common
        What lifts learn from each other, where it is known already.
    """
    lift, day = days.lift, days.day
    base = DAY_SD_PCT**2 + days.error_var
    near = windows(lift, NEIGHBOUR_HALF_WINDOW)
    gross = np.abs(days.y - local_median(near, days.y)) > GROSS_PCT
    scale, log_noise = noise_scale(
        lift, day, days.y, base, gross | light, lifts.count, common.noise if common else None
    )
    var = base * scale[lift]
    wide = local_fit(windows(lift, INTENSITY_HALF_WINDOW), day, days.y, var)
    x = wide.line - days.log_load - lifts.usual_bend[lift]
    usual_x = local_median(near, x)
    x = _calmed(x, usual_x)
    level = days.y + lifts.curve_mean[lift] * x
    fit = local_fit(near, day, level, var)
    reach = np.maximum(ODD_SESSION_PCT, ODD_SESSION_SDS * np.sqrt(var))
    gap = level - fit.median
    since_return, back = _layoffs(lift, day, lifts.count)
    odd = np.abs(gap) > reach + 0.44 * np.abs(x - usual_x)
    odd = light | (odd & (since_return >= LAYOFF_FADE_DAYS + 5))
    odd &= np.bincount(lift, weights=~odd, minlength=lifts.count)[lift] > 0
    usual_load = local_median(near, days.log_load)
    low = odd & (gap < 0) & (days.log_load < usual_load - ODD_SESSION_PCT / 2)
    shift, known, covariance = shared_day(
        lifts.client[lift], day, fit, var, ~odd, common.day_covariance if common else None
    )
    var = var - known
    z2 = fit.left_out**2 / (fit.leverage * var)
    var = var * np.maximum((TAIL_FREEDOM + z2) / (TAIL_FREEDOM + 1), 1.0)
    doubt = LAYOFF_PCT * np.exp(-since_return / LAYOFF_FADE_DAYS)
    var = var + np.where(since_return < LAYOFF_DOUBT_DAYS, doubt**2, 0.0)
    n = np.bincount(lift, minlength=lifts.count)
    noise = np.bincount(lift, weights=base, minlength=lifts.count) * scale / np.maximum(n, 1)
    return Weighed(
        days.y - shift, x, var, odd, low | (light & odd), back, base * scale[lift],
        np.sqrt(noise), log_noise, covariance,
    )  # fmt: skip


def _calmed(x: Floats, usual: Floats) -> Floats:
    """Keep changes of intensity that were meant, and drop what differs by a plate or a good day.

    A lifter who takes a little more on a good day would otherwise seem to have a flat rep
    curve, as load and strength would rise together at the same repetitions.
    """
    away = x - usual
    meant = np.clip((np.abs(away) - SMALL_STEP_PCT) / SMALL_STEP_PCT, 0.0, 1.0)
    return usual + away * meant


def _layoffs(lift: Whole, day: Floats, count: int) -> tuple[Floats, Flags]:
    """Return days since the last return from a layoff (1000: none), and the first day back."""
    n = len(lift)
    new = np.r_[True, lift[1:] != lift[:-1]]
    starts = np.flatnonzero(new)
    sizes = np.diff(np.r_[starts, n])
    span = day[starts + sizes - 1] - day[starts]
    usual = np.zeros(count)
    usual[lift[starts]] = span / np.maximum(sizes - 1, 1)
    gap = np.where(new, 0.0, np.r_[0.0, np.diff(day)])
    back = (gap > LAYOFF_DAYS) & (gap > LAYOFF_GAPS * usual[lift])
    last = np.maximum.accumulate(np.where(back, np.arange(n), -1))
    returned = last >= np.repeat(starts, sizes)
    return np.where(returned, day - day[np.maximum(last, 0)], 1000.0).astype(np.float64), back


@dataclass(frozen=True)
class Weeks:
    """Weeks (axis 0) by lifts (axis 1); the last row is the week that ends on the as-of day.

    Attributes
    ----------
    y, x, offset
        What the week says (%), its intensity, and its mean time within the week, in weeks
        from the middle.
    precision
        One over the variance of `y`; 0 where there is no evidence.
    shock
        Variance added to the level before the week: a return from a layoff.
    start
        Row of each lift's first evidence.
    curve_mean, curve_var
        See `Lifts`.
    """

    y: Floats
    x: Floats
    offset: Floats
    precision: Floats
    shock: Floats
    start: Whole
    curve_mean: Floats
    curve_var: Floats

    def take(self, lifts: Whole | slice) -> Weeks:
        """Return these lifts only."""
        return Weeks(
            self.y[:, lifts], self.x[:, lifts], self.offset[:, lifts], self.precision[:, lifts],
            self.shock[:, lifts], self.start[lifts], self.curve_mean[lifts], self.curve_var[lifts],
        )  # fmt: skip


def week_rows(day: Floats, as_of_day: int, weeks: int) -> tuple[Whole, Floats]:
    """Return each day's week row (negative: too long ago) and place within the week."""
    age = as_of_day - day
    return (weeks - 1 - age // 7).astype(np.int64), (3 - age % 7) / 7


def lay_out(lifts: Lifts, days: Days, weighed: Weighed, first_day: int, as_of_day: int) -> Weeks:
    """Collapse the sessions of each week, for at most `MAX_WEEKS` weeks before the as-of day."""
    oldest = int((as_of_day - first_day) // 7) + 1
    weeks, count = min(MAX_WEEKS, oldest), lifts.count
    row, offset = week_rows(days.day, as_of_day, weeks)
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
    return Weeks(
        y=add(precision * weighed.y) / safe,
        x=add(precision * weighed.x) / safe,
        offset=add(precision * offset) / safe,
        precision=total,
        shock=shock,
        start=start,
        curve_mean=lifts.curve_mean,
        curve_var=lifts.curve_var,
    )
