"""Least squares of the fitness-fatigue model at every pair of time constants of a grid."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

import numpy as np
import numpy.typing as npt

__all__ = ["FATIGUE_DAYS", "FITNESS_DAYS", "GAIN_BOUND", "Array", "Grid", "decayed"]

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

REGION_LEVEL = 0.9
IDENTIFIABLE_FACTOR = 2.0
"""Constants are called identifiable when all of them lie within a factor of two over the whole
90 % region, and the region does not end at the edge of what was tried."""


def decayed(load: Array, taus: npt.ArrayLike) -> Array:
    """Return exponentially decayed sums of load, one column per time constant."""
    distinct, place = np.unique(np.asarray(taus, dtype=float), return_inverse=True)
    kept_a_day = np.exp(-1.0 / distinct)
    sums = np.empty((load.size, distinct.size))
    level = np.zeros(distinct.size)
    for day, amount in enumerate(load):
        level = level * kept_a_day + amount
        sums[day] = level
    return sums[:, place.ravel()]


@dataclass(frozen=True)
class Grid:
    """Least squares at every pair of time constants."""

    taus: Array  # pairs x 2
    coefficients: Array  # pairs x 3: p0, k1, k2
    covariances: Array  # pairs x 3 x 3, without the error variance
    sse: Array
    tests: int
    edges: tuple[float, float, float, float]

    @classmethod
    def of(
        cls,
        loads: Array,
        days: npt.NDArray[np.int_],
        observed: Array,
        fitness_days: Array = FITNESS_DAYS,
        fatigue_days: Array = FATIGUE_DAYS,
    ) -> Grid:
        """Solve at every pair of time constants that lie apart."""
        slow, fast = np.meshgrid(fitness_days, fatigue_days, indexing="ij")
        apart = slow >= LEAST_SPREAD * fast
        taus = np.column_stack([slow[apart], fast[apart]])
        fitness = decayed(loads, taus[:, 0])[days].T
        fatigue = decayed(loads, taus[:, 1])[days].T
        design = np.stack([np.ones_like(fitness), fitness, -fatigue], axis=2)
        bounds = gain_bounds(loads, observed, taus)
        coefficients, covariances, sse = _bounded(design, observed, bounds)
        edges = (fitness_days[0], fitness_days[-1], fatigue_days[0], fatigue_days[-1])
        return cls(taus, coefficients, covariances, sse, observed.size, edges)

    @property
    def best(self) -> int:
        """Return the place of the pair that fits best."""
        return int(np.argmin(self.sse))

    def verdict(self) -> tuple[bool, str | None]:
        """Say whether all constants lie within `IDENTIFIABLE_FACTOR` over the 90 % region."""
        from scipy.special import fdtri

        constants = 5
        degrees = self.tests - constants
        limit = self.sse.min() * (
            1 + constants / degrees * float(fdtri(constants, degrees, REGION_LEVEL))
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
        from scipy.special import stdtrit

        degrees = self.tests - 3
        weight = (self.sse / self.sse.min()) ** (-degrees / 2)
        weight /= weight.sum()
        error = self.sse / degrees
        likely = weight > 1e-6 * weight.max()
        weight = weight[likely] / weight[likely].sum()
        fitness = decayed(loads, self.taus[likely, 0])
        fatigue = decayed(loads, self.taus[likely, 1])
        rows = np.stack([np.ones_like(fitness), fitness, -fatigue], axis=2)
        means = np.einsum("dgk,gk->dg", rows, self.coefficients[likely])
        variances = error[likely] * (
            1 + np.einsum("dgk,gkl,dgl->dg", rows, self.covariances[likely], rows)
        )
        mean = means @ weight
        variance = variances @ weight + (means**2) @ weight - mean**2
        half = float(stdtrit(degrees, 0.95)) * np.sqrt(np.maximum(variance, 0.0))
        return mean, half


def gain_bounds(loads: Array, observed: Array, taus: Array) -> Array:
    """Return the largest gain allowed for each time constant (pairs x 2)."""
    steady = loads.mean() * taus
    return GAIN_BOUND * float(np.ptp(observed)) / steady


def _bounded(design: Array, observed: Array, bounds: Array) -> tuple[Array, Array, Array]:
    """Solve least squares at each grid point with both gains between 0 and their bounds.

    With two bounded coefficients there are nine ways to hold each at a bound or leave it free;
    the best feasible of them is the solution. Where both are free and feasible it is the best.
    """
    pairs = design.shape[0]
    best = np.full(pairs, np.inf)
    coefficients = np.zeros((pairs, 3))
    covariances = np.zeros((pairs, 3, 3))
    open_pairs = np.arange(pairs)
    for held in product((None, 0.0, 1.0), repeat=2):
        free = [0, *(i for i, share in enumerate(held, start=1) if share is None)]
        some, limits = design[open_pairs], bounds[open_pairs]
        found = np.zeros((len(open_pairs), 3))
        for i, share in enumerate(held, start=1):
            if share is not None:
                found[:, i] = share * limits[:, i - 1]
        rest = observed - np.einsum("gnk,gk->gn", some, found)
        part = some[:, :, free]
        normal = np.einsum("gnk,gnl->gkl", part, part)
        inverse = np.linalg.pinv(normal, hermitian=True)
        found[:, free] = np.einsum("gkl,gnl,gn->gk", inverse, part, rest)
        gains = found[:, 1:]
        feasible = ((gains >= 0) & (gains <= limits * (1 + 1e-12))).all(axis=1)
        sse = ((observed - np.einsum("gnk,gk->gn", some, found)) ** 2).sum(axis=1)
        better = feasible & (sse < best[open_pairs])
        at = open_pairs[better]
        best[at] = sse[better]
        coefficients[at] = found[better]
        covariances[at] = 0.0
        covariances[np.ix_(at, free, free)] = inverse[better]
        if held == (None, None):
            open_pairs = open_pairs[~feasible]
        if not len(open_pairs):
            break
    return coefficients, covariances, best
