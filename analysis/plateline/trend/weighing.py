"""Sessions weighed against each other and against the other lifts of their day."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from plateline.strength.arrays import Flags, Floats, Whole
from plateline.strength.curves import CURVE_SD
from plateline.trend.assumptions import (
    ANSWERED,
    DAY_SD_PCT,
    GROSS_PCT,
    LAYOFF_DAYS,
    LAYOFF_DOUBT_DAYS,
    LAYOFF_FADE_DAYS,
    LAYOFF_GAPS,
    LAYOFF_PCT,
    ODD_SESSION_PCT,
    ODD_SESSION_SDS,
    SMALL_STEP_PCT,
    SMALL_STEP_SDS,
    TAIL_FREEDOM,
)
from plateline.trend.climbs import climbing, climbs
from plateline.trend.easy import easy_days
from plateline.trend.measure import Days, Lifts
from plateline.trend.neighbours import (
    LocalFit,
    Windows,
    local_fit,
    local_median,
    noise_scale,
    shared_day,
    windows,
)
from plateline.trend.own_curve import learn_curves
from plateline.trend.pooled import Common
from plateline.trend.weeks import week_rows

__all__ = ["Weighed", "weigh"]


FADED_DAYS = LAYOFF_FADE_DAYS + 5
"""Days after a return from which on a session may be odd; before, it may be anything."""

HALF_WINDOWS = (3, 6, 10)
"""Sessions to each side: for odd days, for the level that loads are set against, for curves."""


@dataclass(frozen=True)
class Weighed:
    """What each session says and how much it weighs; one entry a session.

    Attributes
    ----------
    y
        Strength (%) at the usual intensity and in the middle of its week: the day's shared
        readiness and the person's own rep curve are taken into account.
    x
        How much lighter the load was than the lift's usual share of strength (%): strength of
        that time less log load less usual bend. Taken from the load, not from the repetitions, whose errors
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

    def take(self, sessions: Whole) -> Weighed:
        """Return some sessions; what is one a lift stays as it is."""
        each = ("y", "x", "var", "odd", "low", "back", "ordinary_var")
        return replace(self, **{name: getattr(self, name)[sessions] for name in each})


def weigh(
    lifts: Lifts, days: Days, light: Flags, as_of_day: int, common: Common | None = None
) -> tuple[Lifts, Weighed]:
    """Weigh every session against its neighbours and the other lifts of its day.

    Parameters
    ----------
    light
        Sessions that were planned to be light: no evidence.
    as_of_day
        The last day of the last week.
    common
        What lifts learn from each other, where it is known already.

    Returns
    -------
    lifts
        With their own rep curves as their sessions teach them.
    weighed
    """
    near, wide, widest = (windows(days.lift, half) for half in HALF_WINDOWS)
    climbed, pace = climbs(days.lift, days.day, days.y, wide)
    days = replace(days, y=days.y - climbed, log_load=days.log_load - climbed)
    lift, day = days.lift, days.day
    base = DAY_SD_PCT**2 + days.error_var
    gross = np.abs(days.y - local_median(near, days.y)) > GROSS_PCT
    scale, log_noise = noise_scale(
        lift, day, days.y, base, gross | light, lifts.count, common.noise if common else None
    )
    ordinary = var = base * scale[lift]
    trend = local_fit(wide, day, days.y, var)
    x = trend.line - days.log_load - lifts.usual_bend[lift]
    usual_x = local_median(near, x)
    x = _calmed(x, usual_x, np.sqrt(var))
    level = days.y + lifts.curve_mean[lift] * x
    fit = local_fit(near, day, level, var)
    since_return, back = _layoffs(lift, day, lifts.count)
    odd, low = _odd(lifts, days, level, fit, var, np.abs(x - usual_x), light, since_return, near)
    shift, known, covariance = shared_day(
        lifts.client[lift], day, fit, var, ~odd, common.day_covariance if common else None
    )
    var = var - known
    z2 = fit.left_out**2 / (fit.leverage * var)
    var = var * np.maximum((TAIL_FREEDOM + z2) / (TAIL_FREEDOM + 1), 1.0)
    doubt = LAYOFF_PCT * np.exp(-since_return / LAYOFF_FADE_DAYS)
    var = var + np.where(since_return < LAYOFF_DOUBT_DAYS, doubt**2, 0.0)
    y = days.y - shift
    climbs_fast = climbing(lift, pace)
    kept = np.where(climbs_fast, 0.0, usual_x)
    usual_reps = np.where(climbs_fast, lifts.usual_bend[lift], local_median(near, days.bend))
    answered = kept + _answered(x - kept, days.bend - usual_reps)
    lifts = learn_curves(lifts, lift, widest, day, y, answered, var, ~odd & days.hard)
    _, offset = week_rows(day, as_of_day, 1)
    y = y + climbed + lifts.curve_mean[lift] * x - offset * (trend.slope + pace)
    var = var + lifts.curve_var[lift] * x**2
    n = np.bincount(lift, minlength=lifts.count)
    noise = np.bincount(lift, weights=base, minlength=lifts.count) * scale / np.maximum(n, 1)
    return lifts, Weighed(
        y, x, var, odd, low, back, ordinary, np.sqrt(noise), log_noise, covariance
    )


def _odd(
    lifts: Lifts, days: Days, level: Floats, fit: LocalFit, var: Floats, unusual: Floats, light: Flags,
    since_return: Floats, near: Windows,
) -> tuple[Flags, Flags]:  # fmt: skip
    """Say which sessions are no evidence, and which of them were light days.

    An unusual intensity (`unusual`) is allowed two standard deviations of unknown rep curve;
    the first days after a layoff may be anything.
    """
    lift = days.lift
    reach = np.maximum(ODD_SESSION_PCT, ODD_SESSION_SDS * np.sqrt(var))
    gap = level - fit.median
    odd = np.abs(gap) > reach + 2 * CURVE_SD * unusual
    lighter = local_median(near, days.log_load) - days.log_load
    odd |= easy_days(lighter, local_median(near, days.y) - days.y, days.logged)
    odd = light | (odd & (since_return >= FADED_DAYS))
    odd &= np.bincount(lift, weights=~odd, minlength=lifts.count)[lift] > 0
    return odd, odd & (light | ((gap < 0) & (lighter > ODD_SESSION_PCT / 2)))


def _calmed(x: Floats, usual: Floats, sd: Floats) -> Floats:
    """Keep changes of intensity that were meant, and drop what differs by a plate or a good day."""
    away = x - usual
    small = np.maximum(SMALL_STEP_PCT, SMALL_STEP_SDS * sd)
    meant = np.clip(np.abs(away) / small - 1, 0.0, 1.0)
    return usual + away * meant


def _answered(lighter: Floats, more: Floats) -> Floats:
    """Keep changes of intensity that the repetitions answer, for they alone show a rep curve.

    A lifter who takes more on a good day, or less in an easy week, at the same repetitions,
    would seem to have a rep curve as steep as load and strength move together. What stays for
    weeks is a change of rep range and kept as it is, but for those who climb fast: their load
    and strength move together for weeks.

    Parameters
    ----------
    lighter
        How much lighter than usual the load was, against the strength of that time (%).
    more
        How many more repetitions there were than usual, as the log distance that goes with
        them (%).
    """
    share = np.sign(lighter) * more / np.maximum(np.abs(lighter), 1e-9)
    return lighter * np.clip(ANSWERED * share, 0.0, 1.0)


def _layoffs(lift: Whole, day: Floats, count: int) -> tuple[Floats, Flags]:
    """Return days since the last return from a layoff (infinite: none), and the first days back."""
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
    return np.where(returned, day - day[np.maximum(last, 0)], np.inf), back
