"""Two-stage pooling: random-effects regression of many small estimates, in closed form.

Stage one gives every block a rate and its standard error (`outcome`). Stage two is a
random-effects meta-regression: weights 1/(se^2 + tau^2), tau^2 by Paule and Mandel (1982, J Res
Natl Bur Stand 87:377-385) or by DerSimonian and Laird (1986, Control Clin Trials 7:177-188), and
a covariance that is robust to whatever goes on within a cluster (Liang and Zeger 1986, Biometrika
73:13-22), with t quantiles on the number of clusters. Fixed effects of groups are swept out by
weighted demeaning, so a million lifters cost a few passes over the rows.

Where it misleads: with fewer than about ten clusters any robust covariance is a rough guess;
`Pooled.clusters` says how many there were.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

__all__ = ["Combined", "Pooled", "combine", "pool"]

MAX_TAU_SPREADS = 10.0
MANY_CLUSTERS = 1000
"""Up to so many clusters the covariance is the leave-one-out jackknife's (CV3: MacKinnon, Nielsen
and Webb 2023, J Econometrics 232:272-299), which is right where the plain one is too narrow;
with more the two agree."""


@dataclass(frozen=True)
class Pooled:
    """A random-effects regression.

    Attributes
    ----------
    effect, covariance
        Coefficients and their robust covariance.
    tau
        Standard deviation of the true values around the regression.
    i2
        Share of the scatter that is not estimation error (Higgins and Thompson 2002).
    degrees
        Degrees of freedom of the t quantiles.
    """

    effect: np.ndarray
    covariance: np.ndarray
    tau: float
    i2: float
    degrees: float
    n: int
    clusters: int

    def contrast(self, vector: np.ndarray) -> tuple[float, float, float, float]:
        """Return effect, 95 % interval and p of a linear combination of the coefficients."""
        from scipy.stats import t as student

        vector = np.asarray(vector, float)
        effect = float(vector @ self.effect)
        error = float(np.sqrt(max(vector @ self.covariance @ vector, 0.0)))
        if not error > 0:
            return effect, float("nan"), float("nan"), float("nan")
        half = float(student.ppf(0.975, self.degrees)) * error
        p = 2 * student.sf(abs(effect) / error, self.degrees)
        return effect, effect - half, effect + half, float(p)


@dataclass(frozen=True)
class Combined:
    """A random-effects mean of estimates, with its prediction interval for one more."""

    effect: float
    low: float
    high: float
    p: float
    tau: float
    i2: float
    predict_low: float
    predict_high: float
    n: int


def pool(
    y: np.ndarray,
    se: np.ndarray,
    design: np.ndarray,
    cluster: np.ndarray,
    groups: np.ndarray | None = None,
    method: str = "paule-mandel",
    instrument: np.ndarray | None = None,
) -> Pooled:
    """Regress estimates on a design.

    Parameters
    ----------
    y, se
        Estimates and their standard errors, both of length n.
    design
        n x p; without a constant where `groups` is given.
    cluster
        Whole numbers from 0: rows of one cluster may depend on each other.
    groups
        Whole numbers from 0: a constant of its own for each group, swept out.
    method
        `paule-mandel` or `dersimonian-laird`.
    instrument
        n x p: stands in for the design where that depends on the outcome (two-stage least
        squares; columns that need no instrument are the same in both).
    """
    y, design = np.asarray(y, float), np.asarray(design, float)
    var = np.asarray(se, float) ** 2
    absorbed = 0 if groups is None else len(np.unique(groups))
    swept = _swept(design, 1 / var, groups)
    # of the cross product: a singular value decomposition of all rows would cost more than the fit
    rank = np.linalg.matrix_rank(swept.T @ swept, hermitian=True)
    spare = len(y) - rank - absorbed
    tau2 = _tau2(y, var, design, groups, max(spare, 1), method, instrument)
    weight = 1 / (var + tau2)
    effect, x, left, bread = _fit(y, weight, design, groups, instrument)
    labels, where = np.unique(cluster, return_inverse=True)
    count = len(labels)
    if count <= MANY_CLUSTERS:
        scores = _left_out_scores(x, weight, left, bread, where)
        small = (count - 1) / count
    else:
        own = (weight * left) * x.T
        scores = np.stack([np.bincount(where, column, count) for column in own], axis=1)
        small = count / (count - 1)
    covariance = bread @ (scores.T @ scores) @ bread * small
    typical = 1 / np.mean(1 / var)
    return Pooled(
        effect=effect,
        covariance=covariance,
        tau=float(np.sqrt(tau2)),
        i2=float(tau2 / (tau2 + typical)),
        degrees=float(max(count - 1, 1)),
        n=len(y),
        clusters=count,
    )


def _fit(y, weight, design, groups, instrument=None):
    """Coefficients, swept (and projected) design, residuals, inverse weighted cross product."""
    raw = _swept(design, weight, groups)
    swept = _swept(y[:, None], weight, groups)[:, 0]
    x = raw
    if instrument is not None:
        z = _swept(instrument, weight, groups)
        x = z @ (np.linalg.pinv(z.T @ (z * weight[:, None])) @ (z.T @ (raw * weight[:, None])))
    bread = np.linalg.pinv(x.T @ (x * weight[:, None]))
    effect = bread @ (x.T @ (weight * swept))
    return effect, x, swept - raw @ effect, bread


def _left_out_scores(x, weight, left, bread, where) -> np.ndarray:
    """Scores of each cluster with the residuals that it has when it is left out of the fit.

    Clusters of as many rows are taken together: a loop over a thousand lifters costs more than
    all the rest of the regression.
    """
    order = np.argsort(where, kind="stable")
    sizes = np.bincount(where)
    starts = np.cumsum(sizes) - sizes
    scores = np.empty((len(sizes), x.shape[1]))
    for size in np.unique(sizes):
        alike = np.flatnonzero(sizes == size)
        rows = order[starts[alike][:, None] + np.arange(size)]
        own, w = x[rows], weight[rows]
        hat = own @ bread @ (own * w[:, :, None]).swapaxes(1, 2)
        # a cluster that settles a coefficient alone has no fit without it: keep it finite
        outside = np.linalg.pinv(np.eye(size) - hat, rcond=1e-8) @ left[rows][:, :, None]
        scores[alike] = (own * (w[:, :, None] * outside)).sum(axis=1)
    return scores


def _swept(matrix: np.ndarray, weight: np.ndarray, groups: np.ndarray | None) -> np.ndarray:
    """Take the weighted mean of its group from every row."""
    if groups is None:
        return matrix
    total = np.bincount(groups, weight)
    means = np.stack(
        [np.bincount(groups, weight * column) / total for column in matrix.T], axis=1
    )  # fmt: skip
    return matrix - means[groups]


def _tau2(y, var, design, groups, spare: int, method: str, instrument=None) -> float:
    """Variance of the true values: 0 where the scatter is no more than the errors explain."""

    def excess(tau2: float) -> float:
        weight = 1 / (var + tau2)
        _, _, left, _ = _fit(y, weight, design, groups, instrument)
        return float(weight @ left**2) - spare

    at_zero = excess(0.0)
    if at_zero <= 0:
        return 0.0
    if method == "dersimonian-laird":
        weight = 1 / var
        _, x, _, bread = _fit(y, weight, design, groups, instrument)
        lost = np.trace(bread @ (x.T @ (x * (weight**2)[:, None])))
        if groups is not None:
            lost += (np.bincount(groups, weight**2) / np.bincount(groups, weight)).sum()
        return float(at_zero / (weight.sum() - lost))
    from scipy.optimize import brentq

    high = MAX_TAU_SPREADS * float(np.var(y)) + 1e-12
    if excess(high) > 0:
        return high
    return float(np.asarray(brentq(excess, 0.0, high, xtol=1e-7)))


def combine(y: np.ndarray, se: np.ndarray, method: str = "paule-mandel") -> Combined:
    """Combine estimates of one effect from different people (or studies).

    The interval is that of Hartung and Knapp (2001, Stat Med 20:3875-3889), never narrower
    than the plain one; the prediction interval for one more person is that of Higgins, Thompson
    and Spiegelhalter (2009, J R Stat Soc A 172:137-159), on n - 2 degrees of freedom.
    """
    from scipy.stats import t as student

    y, se = np.asarray(y, float), np.asarray(se, float)
    n = len(y)
    if n < 2:
        nan = float("nan")
        only = float(y[0]) if n else nan
        return Combined(only, nan, nan, nan, nan, nan, nan, nan, n)
    ones = np.ones((n, 1))
    tau2 = _tau2(y, se**2, ones, None, n - 1, method)
    weight = 1 / (se**2 + tau2)
    mean = float(weight @ y / weight.sum())
    scale = max(1.0, float(weight @ (y - mean) ** 2 / (n - 1)))
    error = np.sqrt(scale / weight.sum())
    half = student.ppf(0.975, n - 1) * error
    wide = student.ppf(0.975, max(n - 2, 1)) * np.sqrt(tau2 + error**2)
    typical = (n - 1) * (1 / se**2).sum() / ((1 / se**2).sum() ** 2 - (1 / se**4).sum())
    return Combined(
        mean, float(mean - half), float(mean + half),
        float(2 * student.sf(abs(mean) / error, n - 1)), float(np.sqrt(tau2)),
        float(tau2 / (tau2 + typical)), float(mean - wide), float(mean + wide), n,
    )  # fmt: skip
