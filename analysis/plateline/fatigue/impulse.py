"""The fitness-fatigue (impulse-response) model: fit, prediction with interval, and a verdict.

    p(t) = p0 + k1 sum_{s<=t} w_s exp(-(t-s)/tau1) - k2 sum_{s<=t} w_s exp(-(t-s)/tau2)

Load of the same day counts: the published worked example (Clarke & Skiba 2013, Adv Physiol Educ
37:134-152) is only reproduced so.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

__all__ = [
    "GAIN_BOUND",
    "LEAST_TESTS",
    "ImpulseFit",
    "fit_impulse_response",
    "impulse_response_of",
    "peak_and_return_days",
]

Array = npt.NDArray[np.float64]

FITNESS_DAYS = np.geomspace(10.0, 80.0, 15)
FATIGUE_DAYS = np.geomspace(2.0, 40.0, 15)
"""Time constants that are tried. Published ones lie at 4 to 74 days (review in Int J Sports
Physiol Perform 17(5):810); fitness must last longer than fatigue."""

LEAST_SPREAD = 1.2
"""Fitness lasts at least this many times as long as fatigue: nearer than that the two are one."""

GAIN_BOUND = 10.0
"""Gains are bounded to 0 and ten times what moves performance by its own range in a steady state
of average load."""

LEAST_TESTS = 8
"""Five constants need more tests than five; under eight nothing is fitted."""

REGION_LEVEL = 0.9
IDENTIFIABLE_FACTOR = 2.0
"""Constants are called identifiable when all of them lie within a factor of two over the whole
90 % region, and the region does not end at the edge of what was tried."""


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
    return p0 + k1 * _decayed(days, tau1)[:, 0] - k2 * _decayed(days, tau2)[:, 0]


def peak_and_return_days(k1: float, k2: float, tau1: float, tau2: float) -> tuple[float, float]:
    """Return days after a single load until performance peaks, and until it is back where it was.

    ``t_n = tau1 tau2 / (tau1 - tau2) ln(k2 / k1)`` and ``t_g = tau1 tau2 / (tau1 - tau2)
    ln(k2 tau1 / (k1 tau2))``; the peak is returned first. With 45, 15, 1, 2 days: 40.3 and 15.6.
    """
    scale = tau1 * tau2 / (tau1 - tau2)
    return scale * float(np.log(k2 * tau1 / (k1 * tau2))), scale * float(np.log(k2 / k1))


def _decayed(load: Array, taus: npt.ArrayLike) -> Array:
    """Return exponentially decayed sums of load, one column per time constant."""
    from scipy.signal import lfilter

    distinct, place = np.unique(np.asarray(taus, dtype=float), return_inverse=True)
    columns = [lfilter([1.0], [1.0, -np.exp(-1.0 / tau)], load) for tau in distinct]
    return np.column_stack(columns)[:, place.ravel()]


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
    least squares (gains from 0 to `GAIN_BOUND`). The best is refined by bounded non-linear least
    squares. The prediction averages over the grid with the likelihood as weight, so it does not
    need the constants to be known. Constants of a fit that is not identifiable must not be
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
    grid = _Grid.of(loads, days, observed)
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


@dataclass(frozen=True)
class _Grid:
    """Least squares at every pair of time constants."""

    taus: Array  # pairs x 2
    coefficients: Array  # pairs x 3: p0, k1, k2
    covariances: Array  # pairs x 3 x 3, without the error variance
    sse: Array
    tests: int
    edges: tuple[float, float, float, float]

    @classmethod
    def of(cls, loads: Array, days: npt.NDArray[np.int_], observed: Array) -> _Grid:
        slow, fast = np.meshgrid(FITNESS_DAYS, FATIGUE_DAYS, indexing="ij")
        apart = slow >= LEAST_SPREAD * fast
        taus = np.column_stack([slow[apart], fast[apart]])
        fitness = _decayed(loads, taus[:, 0])[days].T
        fatigue = _decayed(loads, taus[:, 1])[days].T
        design = np.stack([np.ones_like(fitness), fitness, -fatigue], axis=2)
        bounds = _gain_bounds(loads, observed, taus)
        coefficients, covariances, sse = _bounded(design, observed, bounds)
        edges = (FITNESS_DAYS[0], FITNESS_DAYS[-1], FATIGUE_DAYS[0], FATIGUE_DAYS[-1])
        return cls(taus, coefficients, covariances, sse, observed.size, edges)

    @property
    def best(self) -> int:
        return int(np.argmin(self.sse))

    def verdict(self) -> tuple[bool, str | None]:
        """Say whether all constants lie within `IDENTIFIABLE_FACTOR` over the 90 % region."""
        from scipy.stats import f

        constants = 5
        degrees = self.tests - constants
        limit = self.sse.min() * (
            1 + constants / degrees * float(f.ppf(REGION_LEVEL, constants, degrees))
        )
        inside = self.sse <= limit
        slow, fast = self.taus[inside].T
        gains = self.coefficients[inside][:, 1:]
        first, last, first_fast, last_fast = self.edges
        if (
            slow.min() <= first
            or slow.max() >= last
            or fast.min() <= first_fast
            or (fast.max() >= last_fast)
        ):
            return False, "time constants at the edge of the plausible range fit as well"
        ranges = {
            "fitness time constants": slow,
            "fatigue time constants": fast,
            "fitness gains": gains[:, 0],
            "fatigue gains": gains[:, 1],
        }
        for name, values in ranges.items():
            if values.min() <= 0 or values.max() > IDENTIFIABLE_FACTOR * values.min():
                return False, (
                    f"{name} from {values.min():.3g} to {values.max():.3g} fit about equally well"
                )
        return True, None

    def prediction(self, loads: Array) -> tuple[Array, Array]:
        """Return the averaged prediction of every day and the half-width of its 90 % interval."""
        from scipy.stats import t

        degrees = self.tests - 3
        weight = (self.sse / self.sse.min()) ** (-degrees / 2)
        weight /= weight.sum()
        error = self.sse / degrees
        likely = weight > 1e-6 * weight.max()
        weight = weight[likely] / weight[likely].sum()
        fitness = _decayed(loads, self.taus[likely, 0])
        fatigue = _decayed(loads, self.taus[likely, 1])
        rows = np.stack([np.ones_like(fitness), fitness, -fatigue], axis=2)
        means = np.einsum("dgk,gk->dg", rows, self.coefficients[likely])
        variances = error[likely] * (
            1 + np.einsum("dgk,gkl,dgl->dg", rows, self.covariances[likely], rows)
        )
        mean = means @ weight
        variance = variances @ weight + (means**2) @ weight - mean**2
        half = float(t.ppf(0.95, degrees)) * np.sqrt(np.maximum(variance, 0.0))
        return mean, half


def _gain_bounds(loads: Array, observed: Array, taus: Array) -> Array:
    """Return the largest gain allowed for each time constant (pairs x 2)."""
    steady = loads.mean() * taus
    return GAIN_BOUND * float(np.ptp(observed)) / steady


def _bounded(design: Array, observed: Array, bounds: Array) -> tuple[Array, Array, Array]:
    """Solve least squares at each grid point with both gains between 0 and their bounds.

    With two bounded coefficients there are nine ways to hold each at a bound or leave it free;
    the best feasible of them is the solution.
    """
    pairs = design.shape[0]
    best = np.full(pairs, np.inf)
    coefficients = np.zeros((pairs, 3))
    covariances = np.zeros((pairs, 3, 3))
    for held_fitness in (None, 0.0, 1.0):
        for held_fatigue in (None, 0.0, 1.0):
            free, fixed = [0], np.zeros((pairs, 3))
            for i, share in ((1, held_fitness), (2, held_fatigue)):
                if share is None:
                    free.append(i)
                else:
                    fixed[:, i] = share * bounds[:, i - 1]
            rest = observed - np.einsum("gnk,gk->gn", design, fixed)
            part = design[:, :, free]
            normal = np.einsum("gnk,gnl->gkl", part, part)
            inverse = np.linalg.pinv(normal, hermitian=True)
            solved = np.einsum("gkl,gnl,gn->gk", inverse, part, rest)
            found = fixed.copy()
            found[:, free] = solved
            gains = found[:, 1:]
            feasible = ((gains >= 0) & (gains <= bounds * (1 + 1e-12))).all(axis=1)
            sse = ((observed - np.einsum("gnk,gk->gn", design, found)) ** 2).sum(axis=1)
            better = feasible & (sse < best)
            best[better] = sse[better]
            coefficients[better] = found[better]
            spread = np.zeros((pairs, 3, 3))
            spread[np.ix_(range(pairs), free, free)] = inverse
            covariances[better] = spread[better]
    return coefficients, covariances, best


def _refined(
    grid: _Grid, loads: Array, days: npt.NDArray[np.int_], observed: Array
) -> tuple[float, float, float, float, float]:
    """Refine the best grid point by bounded non-linear least squares."""
    from scipy.optimize import least_squares

    at = grid.best
    start = np.concatenate([grid.coefficients[at], grid.taus[at]])
    top = _gain_bounds(loads, observed, grid.taus[at : at + 1])[0]
    low = np.array([-np.inf, 0.0, 0.0, FITNESS_DAYS[0], FATIGUE_DAYS[0]])
    high = np.array([np.inf, top[0], top[1], FITNESS_DAYS[-1], FATIGUE_DAYS[-1]])

    def misfit(constants: Array) -> Array:
        return impulse_response_of(loads, *constants)[days] - observed

    inside = np.clip(start, low + 1e-9, high - 1e-9)
    found = least_squares(misfit, inside, bounds=(low, high), x_scale="jac")
    chosen = found.x if (found.fun**2).sum() <= grid.sse[at] else start
    p0, k1, k2, tau1, tau2 = (float(value) for value in chosen)
    return p0, k1, k2, tau1, tau2
