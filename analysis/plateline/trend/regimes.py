"""The regimes of a lift: straight pieces with unknown corners, for all lifts at once.

Strength follows a level with a slope. In any week the regime may change: the level goes on
from where it is and a new slope is drawn from one of three classes (declining, flat,
progressing). For every possible start of the current regime and every class a Kalman filter
runs over (level, slope). A regime that starts takes its level from all hypotheses before it,
matched in mean and variance. That collapse is the only approximation; it makes the work
quadratic in weeks instead of exponential. The hypotheses are weighed by Bayes' rule.

References
----------
Adams & MacKay 2007, Bayesian online changepoint detection (arXiv:0710.3742), for the run of
hypotheses; Barry & Hartigan 1993, J Am Stat Assoc 88:309-319, for product partitions; Blom &
Bar-Shalom 1988, IEEE Trans Automat Control 33:780-783, for matching moments of a mixture.
"""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from plateline.trend.assumptions import FIRST_LEVEL_PCT, SETTLED_WEEKS, WOBBLE_PCT
from plateline.trend.pooled import Pooled
from plateline.trend.weeks import Weeks

__all__ = ["Path", "Posterior", "run_regimes"]

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]

CLASSES = 3
CHUNK = 256
"""Lifts worked on together: their hypotheses then stay in a processor's cache. Results do
not depend on it."""
THREADS = 2

UNSEEN_VAR = 1e12
"""Variance of a week without evidence: it says nothing, and needs no branch."""

# Entries of a covariance of (level, slope).
LL, LS, SS = range(3)

SINCE_QUANTILES = (0.05, 0.5, 0.95)
SINCE_BEGINNING = 0.7
"""A regime is said to reach back to the beginning of the log when that is this probable; else
the median of the later starts is given. At 0.5 real changes are missed more often than steady
lifts are given a change; at 0.7 the two are about even in the validation."""


@dataclass(frozen=True)
class Path:
    """What was expected of each week (axis -2) before it was seen, and known after it.

    Attributes
    ----------
    mean, cov
        Of level and slope before the week's evidence (axis 0: entry).
    level, level_var
        After it.
    """

    mean: Floats
    cov: Floats
    level: Floats
    level_var: Floats


@dataclass(frozen=True)
class Posterior:
    """What is known of each lift (last axis) in its last week.

    Attributes
    ----------
    weight
        Probability of each class.
    mean, cov
        Of (level, slope) within each class; axes entry, class, lift. The level is that
        of the middle of the week, in %.
    since
        Row of the regime's first week for each class: axes 5 %, middle, 95 %; class; lift.
    from_start
        Probability of each class together with: it has lasted since the lift's first week.
    changes
        Probability of each last change, from class, to class.
    log_evidence
        Of the lift's weeks under the model.
    path
        Only when asked for.
    """

    weight: Floats
    mean: Floats
    cov: Floats
    since: Whole
    from_start: Floats
    changes: Floats
    log_evidence: Floats
    path: Path | None = None


def run_regimes(weeks: Weeks, pooled: Pooled, *, path: bool = False) -> Posterior:
    """Weigh all regimes of all lifts.

    Parameters
    ----------
    weeks
        Weeks by lifts.
    pooled
        What lifts have in common.
    path
        Keep what was expected and known in every week (for charts and backtests).
    """
    count = weeks.y.shape[1]
    bounds = range(0, max(count, 1), CHUNK)

    def work(low: int) -> Posterior:
        return _run_chunk(weeks, np.arange(low, min(low + CHUNK, count)), pooled, path)

    if len(bounds) == 1:
        return work(0)
    with ThreadPoolExecutor(THREADS) as pool:
        parts = list(pool.map(work, bounds))
    return _joined(parts)


def _joined(parts: list[Posterior]) -> Posterior:
    """Put chunks side by side along the last axis."""
    trails = [part.path for part in parts if part.path is not None]
    names = [f.name for f in fields(Posterior) if f.name != "path"]
    return Posterior(
        **{name: np.concatenate([getattr(p, name) for p in parts], axis=-1) for name in names},
        path=Path(
            **{
                f.name: np.concatenate([getattr(trail, f.name) for trail in trails], axis=-1)
                for f in fields(Path)
            }
        )
        if trails
        else None,
    )


class _Hypotheses:
    """Weights, means and covariances; row ``3 week + class`` is a regime's start and class."""

    def __init__(self, weeks: int, lifts: int) -> None:
        rows = CLASSES * weeks
        self.weight = np.zeros((rows, lifts))
        self.mean = np.zeros((2, rows, lifts))
        self.cov = np.zeros((3, rows, lifts))
        self.came_from = np.zeros((CLASSES, rows, lifts))

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
        w, level = self.weight[:rows], self.mean[0, :rows]
        part = w * level
        weight = w.reshape(shape).sum(0)
        first = part.reshape(shape).sum(0)
        part *= level
        part += w * self.cov[LL, :rows]
        second = part.reshape(shape).sum(0)
        ends = pooled.hazard[:, None]
        move = pooled.change[:, :, None] * ends[:, None]
        total, first, second = ((move * m[:, None]).sum(0) for m in (weight, first, second))
        safe = np.where(total > 0, total, 1.0)
        level = first / safe
        new = slice(rows, rows + CLASSES)
        self.weight[new] = total
        self.came_from[:, new] = move * weight[:, None] / safe
        self.mean[0, new] = level
        self.mean[1, new] = pooled.slope_mean[:, None]
        self.cov[LL, new] = np.maximum(second / safe - level * level, 0.0)
        self.cov[SS, new] = pooled.slope_sd[:, None] ** 2
        self.weight[:rows] *= 1 - np.tile(pooled.hazard, week)[:, None]

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
        mean, cov, weight = self.mean[:, :rows], self.cov[:, :rows], self.weight[:rows]
        inverse = cov[LL] + var
        np.reciprocal(inverse, out=inverse)
        error = y - mean[0]
        gain = error * inverse
        mean[0] += cov[LL] * gain
        mean[1] += cov[LS] * gain
        error *= gain
        least = error.min(0)
        error -= least
        error *= -0.5
        np.exp(error, out=error)
        error *= np.sqrt(inverse)
        weight *= error
        density = weight.sum(0)
        safe = np.where(density > 0, density, 1.0)
        weight /= safe
        np.multiply(cov[LS], inverse, out=gain)
        gain *= cov[LS]
        cov[SS] -= gain
        inverse *= var
        cov[LS] *= inverse
        cov[LL] *= inverse
        return np.log(safe) - 0.5 * least


def _run_chunk(all_weeks: Weeks, lifts: Whole, pooled: Pooled, path: bool) -> Posterior:
    """Run the lifts of one chunk, centred on their first week and padded to whole vectors."""
    width = len(lifts)
    padded = np.r_[lifts, np.repeat(lifts[-1:], -width % 8)] if width else lifts
    weeks = all_weeks.take(padded)
    count = weeks.y.shape[0]
    first = weeks.y[weeks.start, np.arange(len(padded))]
    hypotheses = _Hypotheses(count, len(padded))
    log_evidence = np.zeros(len(padded))
    seen = weeks.precision > 0
    var = np.where(seen, 1 / np.where(seen, weeks.precision, 1.0), UNSEEN_VAR)
    y = np.where(seen, weeks.y - first, 0.0)
    trail = _Trail(count, len(padded)) if path else None
    rows = 0
    for t in range(count):
        changes = 0 < t < count - SETTLED_WEEKS
        hypotheses.step(rows, weeks.shock[t])
        starting = np.flatnonzero(weeks.start == t)
        if changes:
            hypotheses.change(t, pooled)
        if len(starting):
            hypotheses.begin(t, starting, pooled)
        # Also where none of these lifts starts: what a lift gets must not depend on the others
        # that happen to be in its chunk.
        rows = CLASSES * (t + 1)
        if trail is not None:
            trail.before(t, hypotheses, rows)
        density = hypotheses.observe(rows, y[t], var[t])
        log_evidence += np.where(seen[t], density, 0.0)
        if trail is not None:
            trail.after(t, hypotheses, rows)
    return _posterior(hypotheses, weeks, first, log_evidence, trail, width)


class _Trail:
    """Collects what was expected before each week and known after it."""

    def __init__(self, weeks: int, lifts: int) -> None:
        self.mean = np.zeros((2, weeks, lifts))
        self.cov = np.zeros((3, weeks, lifts))
        self.level = np.zeros((weeks, lifts))
        self.level_var = np.zeros((weeks, lifts))

    def before(self, t: int, hypotheses: _Hypotheses, rows: int) -> None:
        weight, mean, cov = _matched(
            hypotheses.weight[:rows, None], hypotheses.mean[:, :rows, None],
            hypotheses.cov[:, :rows, None],
        )  # fmt: skip
        del weight
        self.mean[:, t], self.cov[:, t] = mean[:, 0], cov[:, 0]

    def after(self, t: int, hypotheses: _Hypotheses, rows: int) -> None:
        w, level = hypotheses.weight[:rows], hypotheses.mean[0, :rows]
        self.level[t] = (w * level).sum(0)
        spread = hypotheses.cov[LL, :rows] + (level - self.level[t]) ** 2
        self.level_var[t] = (w * spread).sum(0)

    def path(self, first: Floats, width: int) -> Path:
        self.mean[0] += first
        return Path(
            self.mean[..., :width], self.cov[..., :width],
            (self.level + first)[:, :width], self.level_var[:, :width],
        )  # fmt: skip


def _matched(weight: Floats, mean: Floats, cov: Floats) -> tuple[Floats, Floats, Floats]:
    """Match a mixture over axis 0 of `weight` (axis 1 of the others) in mean and covariance."""
    total = weight.sum(0)
    share = weight / np.where(total > 0, total, 1.0)
    centre = (share * mean).sum(1)
    away = mean - centre[:, None]
    pairs = ((0, 0), (0, 1), (1, 1))
    spread = [(share * (cov[k] + away[i] * away[j])).sum(0) for k, (i, j) in enumerate(pairs)]
    return total, centre, np.stack(spread)


def _posterior(
    hypotheses: _Hypotheses, weeks: Weeks, first: Floats, log_evidence: Floats,
    trail: _Trail | None, width: int,
) -> Posterior:  # fmt: skip
    """Sum the hypotheses up by class."""
    count, padded = weeks.y.shape
    by_class = (count, CLASSES, padded)
    weight = hypotheses.weight.reshape(by_class)
    total, mean, cov = _matched(
        weight, hypotheses.mean.reshape(2, *by_class), hypotheses.cov.reshape(3, *by_class)
    )
    mean[0] += first
    cov[SS] = np.where(total > 0, cov[SS], 1.0)  # a class that is ruled out has no spread at all
    beginning = np.arange(count)[:, None] == weeks.start
    from_start = (weight * beginning[:, None]).sum(0)
    later = np.where(beginning[:, None], 0.0, weight)
    came_from = hypotheses.came_from.reshape(CLASSES, *by_class)
    changes = (came_from * later).sum(1)
    return Posterior(
        weight=total[:, :width],
        mean=mean[..., :width],
        cov=cov[..., :width],
        since=_since(weight, later, from_start, total, weeks.start)[..., :width],
        from_start=from_start[:, :width],
        changes=changes[..., :width],
        log_evidence=log_evidence[:width],
        path=trail.path(first, width) if trail is not None else None,
    )


def _since(weight: Floats, later: Floats, from_start: Floats, total: Floats, start: Whole) -> Whole:
    """Return the row in which each class's regime began: 5 %, middle and 95 % (axis 0)."""
    whole = np.cumsum(weight, axis=0)
    low, _, high = ((whole < q * total).sum(0) for q in SINCE_QUANTILES)
    change = np.cumsum(later, axis=0)
    middle = (change < 0.5 * change[-1]).sum(0)
    middle = np.where(from_start > SINCE_BEGINNING * total, start, middle)
    last = len(weight) - 1
    middle = np.clip(middle, start, last)
    low = np.clip(np.minimum(low, middle), start, last)
    return np.stack([low, middle, np.clip(np.maximum(high, middle), start, last)])
