"""Strength some weeks on: the present regime goes on, or ends on the way."""

from __future__ import annotations

import numpy as np

from plateline.strength.arrays import Floats
from plateline.trend.assumptions import WOBBLE_PCT
from plateline.trend.fit import Fit

__all__ = ["FORECAST_WEEKS", "forecast"]


FORECAST_WEEKS = 4
"""A block of training: further ahead the plan has changed (our choice)."""


def forecast(fit: Fit, bend: Floats, weeks: int) -> tuple[Floats, Floats]:
    """Return mean and standard deviation of 100 ln load at a bend, `weeks` after the as-of day.

    With each week the slope is less likely to be the present one: with the class's hazard it
    has become the mean of the class that follows. The variance is that of the regime going
    on, plus that of an early end.

    Parameters
    ----------
    fit
        What is known of the lifts.
    bend
        Population log distance from a single repetition (%), one a lift.
    weeks
        How far ahead.
    """
    pooled, posterior = fit.pooled, fit.posterior
    value, variance = fit.log_load(bend)
    _, later_variance = fit.log_load(bend, ahead_weeks=weeks)
    stays = (1 - pooled.hazard[:, None]) ** np.arange(1, weeks + 1)
    after_mean = pooled.change @ pooled.slope_mean
    after_square = pooled.change @ (pooled.slope_sd**2 + pooled.slope_mean**2)
    weeks_on = stays.sum(1)[:, None]
    slope = posterior.mean[1]
    value = value + weeks_on * slope + (weeks - weeks_on) * after_mean[:, None]
    early = (weeks - weeks_on) * weeks / 3 * (after_square[:, None] + slope**2)
    variance = np.maximum(variance, later_variance) + early + weeks * WOBBLE_PCT**2
    return fit.over_classes(value, variance)
