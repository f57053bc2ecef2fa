"""The fitness-fatigue (impulse-response) model: fit, prediction with interval, and a verdict.

    p(t) = p0 + k1 sum_{s<=t} w_s exp(-(t-s)/tau1) - k2 sum_{s<=t} w_s exp(-(t-s)/tau2)

Load of the same day counts: the published worked example (Clarke & Skiba 2013, Adv Physiol Educ
37:134-152) is only reproduced so.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from plateline.fatigue.impulse_grid import (
    FATIGUE_DAYS,
    FITNESS_DAYS,
    Array,
    Grid,
    decayed,
)

__all__ = [
    "LEAST_TESTS",
    "ImpulseFit",
    "fit_impulse_response",
    "impulse_response_of",
    "peak_and_return_days",
]

LEAST_TESTS = 8
"""Five constants need more tests than five; under eight nothing is fitted."""

# The search for the best pair of time constants: a window of seven by seven pairs, first as wide
# as the grid's step to each side, until pairs lie a ten thousandth of that apart.
_WINDOW = np.linspace(-1.0, 1.0, 7)
_CLOSER, _CLOSE_ENOUGH, _MOST_LOOKS = 3.0, 3e-4, 30


@dataclass(frozen=True)
class ImpulseFit:
    """What the data say about the five constants, and the prediction for every day.

    Attributes
    ----------
    verdict
        `identifiable`, `not identifiable` or `too few tests`.
    reason
        Why the constants are not given; null where they are.
    constants
        (p0, k1, k2, tau1, tau2) of the bounded least-squares fit, shown or not.
    tests
        Number of tests.
    rmse, r_squared
        Root mean squared error, and squared correlation of fitted and observed, of that fit.
    predicted, low, high
        Prediction for every day and its 90 % interval for a test on that day, averaged over
        all constants that the data allow.
    """

    verdict: str
    reason: str | None
    constants: tuple[float, float, float, float, float] | None
    tests: int
    rmse: float
    r_squared: float
    predicted: Array
    low: Array
    high: Array


def impulse_response_of(
    load: npt.ArrayLike, p0: float, k1: float, k2: float, tau1: float, tau2: float
) -> Array:
    """Return performance on every day from daily `load` and the five constants.

    Parameters
    ----------
    load
        Load of each day, without holes.
    p0
        Performance at the start.
    k1, k2
        Gains of fitness and fatigue (performance per unit of load).
    tau1, tau2
        Their time constants in days.
    """
    days = np.asarray(load, dtype=float)
    return p0 + k1 * decayed(days, tau1)[:, 0] - k2 * decayed(days, tau2)[:, 0]


def peak_and_return_days(k1: float, k2: float, tau1: float, tau2: float) -> tuple[float, float]:
    """Return days after a single load until performance peaks, and until it is back where it was.

    ``t_n = tau1 tau2 / (tau1 - tau2) ln(k2 / k1)`` and ``t_g = tau1 tau2 / (tau1 - tau2)
    ln(k2 tau1 / (k1 tau2))``; the peak is returned first. With 45, 15, 1, 2 days: 40.3 and 15.6.
    """
    scale = tau1 * tau2 / (tau1 - tau2)
    return scale * float(np.log(k2 * tau1 / (k1 * tau2))), scale * float(np.log(k2 / k1))


def fit_impulse_response(
    load: npt.ArrayLike, test_days: npt.ArrayLike, performance: npt.ArrayLike
) -> ImpulseFit:
    """Fit the model to tests, and say whether the tests can tell the constants apart.

    Parameters
    ----------
    load
        Daily load without holes; day 0 is the first.
    test_days
        Whole day numbers of the tests.
    performance
        Result of each test.

    Notes
    -----
    Time constants are tried on a grid; at each of them start and gains follow by bounded linear
    least squares (gains from 0 to `GAIN_BOUND`). Around the best the grid is made finer.
    The prediction averages over the grid with the likelihood as weight, so it does not need the
    constants to be known. Constants of a fit that is not identifiable must not be
    shown or read: in the published example two quite different sets fit equally well.
    """
    loads = np.asarray(load, dtype=float)
    days = np.asarray(test_days, dtype=int)
    observed = np.asarray(performance, dtype=float)
    nothing = np.full(loads.size, np.nan)
    if observed.size < LEAST_TESTS or float(np.ptp(observed)) == 0 or float(loads.sum()) == 0:
        why = (
            f"fewer than {LEAST_TESTS} tests"
            if observed.size < LEAST_TESTS
            else "nothing to explain: the same result or no load throughout"
        )
        return ImpulseFit(
            "too few tests", why, None, observed.size, np.nan, np.nan, nothing, nothing, nothing
        )
    grid = Grid.of(loads, days, observed)
    constants = _refined(grid, loads, days, observed)
    fitted = impulse_response_of(loads, *constants)[days]
    sse = float(((observed - fitted) ** 2).sum())
    identifiable, why = grid.verdict()
    predicted, spread = grid.prediction(loads)
    return ImpulseFit(
        "identifiable" if identifiable else "not identifiable",
        why,
        constants,
        observed.size,
        float(np.sqrt(sse / observed.size)),
        float(np.corrcoef(observed, fitted)[0, 1] ** 2) if np.ptp(fitted) > 0 else np.nan,
        predicted,
        predicted - spread,
        predicted + spread,
    )


def _refined(
    grid: Grid, loads: Array, days: npt.NDArray[np.int_], observed: Array
) -> tuple[float, float, float, float, float]:
    """Look closer and closer around the best pair of time constants.

    Start and gains follow from them, so the search has two dimensions only; a window whose best
    pair lies on its rim is moved there before it is made smaller, as the valley may be long.
    """
    reach = np.log(FITNESS_DAYS[1] / FITNESS_DAYS[0]), np.log(FATIGUE_DAYS[1] / FATIGUE_DAYS[0])
    best, window, scale = grid, _WINDOW, 1.0
    for _ in range(_MOST_LOOKS):
        slow, fast = best.taus[best.best]
        near = Grid.of(
            loads,
            days,
            observed,
            np.clip(slow * np.exp(scale * reach[0] * window), FITNESS_DAYS[0], FITNESS_DAYS[-1]),
            np.clip(fast * np.exp(scale * reach[1] * window), FATIGUE_DAYS[0], FATIGUE_DAYS[-1]),
        )
        moved = np.abs(np.log(near.taus[near.best] / (slow, fast))) / scale / reach
        if near.sse.min() < best.sse.min():
            best = near
        if moved.max() < 1 - 1e-9 or near is not best:
            scale /= _CLOSER
        if scale < _CLOSE_ENOUGH:
            break
    p0, k1, k2 = (float(value) for value in best.coefficients[best.best])
    tau1, tau2 = (float(value) for value in best.taus[best.best])
    return p0, k1, k2, tau1, tau2
