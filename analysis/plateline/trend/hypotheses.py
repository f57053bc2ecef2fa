"""The hypotheses about each lift: when its regime began, of which class, and what follows.

Row ``3 week + class`` is a regime that began in that week; a Kalman filter over (level, slope)
runs in every row.
"""

from __future__ import annotations

import numpy as np

from plateline.strength.arrays import Floats, Whole
from plateline.trend.assumptions import FIRST_LEVEL_PCT, WOBBLE_PCT
from plateline.trend.pooled import Pooled

__all__ = ["CLASSES", "LL", "SS", "Hypotheses", "matched"]


CLASSES = 3

# Entries of a covariance of (level, slope).
LL, LS, SS = range(3)


class Hypotheses:
    """Weights, means and covariances, rows by lifts."""

    def __init__(self, weeks: int, lifts: int) -> None:
        rows = CLASSES * weeks
        self.weight = np.zeros((rows, lifts))
        self.mean = np.zeros((2, rows, lifts))
        self.cov = np.zeros((3, rows, lifts))
        self.came_from = np.zeros((CLASSES, rows, lifts))
        self.work = np.empty((4, rows, lifts))

    def step(self, rows: int, shock: Floats) -> None:
        """Let a week go by for the first `rows` hypotheses."""
        mean, cov = self.mean[:, :rows], self.cov[:, :rows]
        mean[0] += mean[1]
        cov[LL] += cov[LS]
        cov[LS] += cov[SS]
        cov[LL] += cov[LS]
        cov[LL] += shock + WOBBLE_PCT**2

    def change(self, week: int, pooled: Pooled) -> None:
        """Let regimes end: new ones start in this week, of each class, from the level they left."""
        rows = CLASSES * week
        shape = (week, CLASSES, -1)
        w, level, part = self.weight[:rows], self.mean[0, :rows], self.work[0, :rows]
        np.multiply(w, level, out=part)
        by_week = [each.reshape(shape) for each in (w, part, level, self.cov[LL, :rows])]
        left = np.empty((3, CLASSES, w.shape[1]))
        weight, first, second = left
        by_week[0].sum(0, out=weight)
        by_week[1].sum(0, out=first)
        np.einsum("rcl,rcl->cl", by_week[1], by_week[2], out=second)
        second += np.einsum("rcl,rcl->cl", by_week[0], by_week[3])
        move = pooled.change * pooled.hazard[:, None]
        total, first, second = np.einsum("cd,qcl->qdl", move, left)
        safe = np.where(total > 0, total, 1.0)
        np.divide(first, safe, out=first)
        second /= safe
        second -= first * first
        new = slice(rows, rows + CLASSES)
        self.weight[new] = total
        self.came_from[:, new] = move[:, :, None] * (weight[:, None] / safe)
        self.mean[0, new] = first
        self.mean[1, new] = pooled.slope_mean[:, None]
        self.cov[LL, new] = np.maximum(second, 0.0)
        self.cov[SS, new] = pooled.slope_sd[:, None] ** 2
        by_week[0] *= (1 - pooled.hazard)[:, None]

    def begin(self, week: int, lifts: Whole, pooled: Pooled) -> None:
        """Start the lifts whose first evidence is in this week, at what that week says."""
        rows = np.arange(CLASSES * week, CLASSES * (week + 1))[:, None]
        self.weight[rows, lifts] = pooled.start[:, None]
        self.mean[0, rows, lifts] = 0.0
        self.mean[1, rows, lifts] = pooled.slope_mean[:, None]
        self.cov[:, rows, lifts] = 0.0
        self.cov[LL, rows, lifts] = FIRST_LEVEL_PCT**2
        self.cov[SS, rows, lifts] = pooled.slope_sd[:, None] ** 2

    def observe(self, rows: int, y: Floats, var: Floats) -> Floats:
        """Weigh the hypotheses by a week's evidence; return its log density (less log 2 pi)."""
        (level, slope), weight = self.mean[:, :rows], self.weight[:rows]
        ll, ls, ss = self.cov[:, :rows]
        inverse, error, fit, gain = self.work[:, :rows]
        np.add(ll, var, out=inverse)
        np.divide(1.0, inverse, out=inverse)
        np.subtract(y, level, out=error)
        np.multiply(error, inverse, out=fit)
        np.multiply(ll, fit, out=gain)
        level += gain
        fit *= error
        np.multiply(ls, inverse, out=gain)
        error *= gain
        slope += error
        gain *= ls
        ss -= gain
        least = fit.min(0)
        np.subtract(least, fit, out=fit)
        np.exp(fit, out=fit)
        fit *= inverse
        np.sqrt(fit, out=fit)
        weight *= fit
        density = weight.sum(0)
        safe = np.where(density > 0, density, 1.0)
        weight /= safe
        inverse *= var
        ls *= inverse
        ll *= inverse
        return np.log(safe) - 0.5 * least


def matched(weight: Floats, mean: Floats, cov: Floats) -> tuple[Floats, Floats, Floats]:
    """Match a mixture in mean and covariance.

    Parameters
    ----------
    weight
        Components on axis 0.
    mean, cov
        Entries of (level, slope) on axis 0, components on axis 1.

    Returns
    -------
    weight, mean, cov
        Of the sum, without the axis of the components.
    """
    total = weight.sum(0)
    share = weight / np.where(total > 0, total, 1.0)
    centre = (share * mean).sum(1)
    away = mean - centre[:, None]
    pairs = ((0, 0), (0, 1), (1, 1))
    spread = [(share * (cov[k] + away[i] * away[j])).sum(0) for k, (i, j) in enumerate(pairs)]
    return total, centre, np.stack(spread)
