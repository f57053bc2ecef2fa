"""Strength some weeks on: the present regime goes on, or ends on the way."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from plateline.trend.assumptions import WOBBLE_PCT
from plateline.trend.fit import Fit

__all__ = ["FORECAST_WEEKS", "forecast"]

Floats = NDArray[np.float64]

FORECAST_WEEKS = 4


def forecast(fit: Fit, bend: Floats, weeks: int) -> tuple[Floats, Floats]:
    """Return mean and standard deviation of 100 ln load at a bend, `weeks` after the as-of day.

    With each week the slope is less likely to be the present one: with the class's hazard it
    has become the mean of the class that follows. The variance is that of the regime going
    on, plus that of an early end.
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
