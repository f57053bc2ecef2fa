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

from plateline.strength.arrays import Floats, Whole
from plateline.trend.assumptions import SETTLED_WEEKS
from plateline.trend.dating import since_rows
from plateline.trend.hypotheses import CLASSES, SS, Hypotheses, matched
from plateline.trend.paths import Path, Trail
from plateline.trend.pooled import Pooled
from plateline.trend.weeks import Weeks

__all__ = ["Posterior", "run_regimes"]


CHUNK = 1024
"""Lifts worked on together: enough that the threads seldom wait for each other between two
steps (with a quarter of it, two threads are slower than one), few enough for a processor's
cache. Results do not depend on it."""
THREADS = 2

UNSEEN_VAR = 1e12
"""Variance of a week without evidence: it says nothing, and needs no branch."""


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
        Row of the regime's first week: axes 5 %, best guess, 95 %; class, with any class last;
        lift.
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


def _run_chunk(all_weeks: Weeks, lifts: Whole, pooled: Pooled, path: bool) -> Posterior:
    """Run the lifts of one chunk, centred on their first week and padded to whole vectors."""
    width = len(lifts)
    padded = np.r_[lifts, np.repeat(lifts[-1:], -width % 8)] if width else lifts
    weeks = all_weeks.take(padded)
    count = weeks.y.shape[0]
    first = weeks.y[weeks.start, np.arange(len(padded))]
    hypotheses = Hypotheses(count, len(padded))
    log_evidence = np.zeros(len(padded))
    seen = weeks.precision > 0
    var = np.where(seen, 1 / np.where(seen, weeks.precision, 1.0), UNSEEN_VAR)
    y = np.where(seen, weeks.y - first, 0.0)
    trail = Trail(count, len(padded)) if path else None
    starting = {t: np.flatnonzero(weeks.start == t) for t in np.unique(weeks.start)}
    rows = 0
    for t in range(count):
        changes = 0 < t < count - SETTLED_WEEKS
        hypotheses.step(rows, weeks.shock[t])
        if changes:
            hypotheses.change(t, pooled)
        if t in starting:
            hypotheses.begin(t, starting[t], pooled)
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


def _posterior(
    hypotheses: Hypotheses, weeks: Weeks, first: Floats, log_evidence: Floats,
    trail: Trail | None, width: int,
) -> Posterior:  # fmt: skip
    """Sum the hypotheses up by class."""
    count, padded = weeks.y.shape
    by_class = (count, CLASSES, padded)
    weight = hypotheses.weight.reshape(by_class)
    total, mean, cov = matched(
        weight, hypotheses.mean.reshape(2, *by_class), hypotheses.cov.reshape(3, *by_class)
    )
    mean[0] += first
    cov[SS] = np.where(total > 0, cov[SS], 1.0)  # a class that is ruled out has no spread at all
    beginning = np.arange(count)[:, None] == weeks.start
    from_start = (weight * beginning[:, None]).sum(0)
    later = np.where(beginning[:, None], 0.0, weight)
    came_from = hypotheses.came_from.reshape(CLASSES, *by_class)
    changes = (came_from * later).sum(1)
    # A regime that follows one of its own class is no new state.
    new_state = weight * (1 - np.einsum("ctcl->tcl", came_from))
    return Posterior(
        weight=total[:, :width],
        mean=mean[..., :width],
        cov=cov[..., :width],
        since=since_rows(new_state, weeks.start)[..., :width],
        from_start=from_start[:, :width],
        changes=changes[..., :width],
        log_evidence=log_evidence[:width],
        path=trail.path(first, width) if trail is not None else None,
    )
