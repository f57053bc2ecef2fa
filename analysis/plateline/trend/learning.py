"""What lifts have in common, learned from their log.

The values are learned from the log that is given (empirical Bayes): a log with many lifts
speaks for itself, a log with few falls back on `PRIOR`. All lifts of the log count alike,
whoever's they are, so the state of one client's lift depends a little on the other clients
in the same log: with a hundred lifts beside it, dropping a client moves a probability by
0.002 on average and by 0.02 at most. Nothing else crosses from client to client. A report on
one client and a batch over all of them read the same log and so agree to the last digit.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from plateline.strength.arrays import Floats
from plateline.trend.pooled import DECLINING, PRIOR, PROGRESSING, Pooled
from plateline.trend.regimes import run_regimes
from plateline.trend.weeks import Weeks

__all__ = ["learn_pooled"]

PRIOR_LIFTS = 30.0
"""How many lifts the prior counts for, against those of the log (shares and changes)."""
PRIOR_SLOPES = 15.0
"""The same for the slopes of a class."""
ROUNDS = 3
"""Rounds of learning, before and after the rate of turns is learned; the shares settle to 0.01
in three to five."""
TURN_RATES = (0.5, 1.0, 2.0)
"""Multiples of the prior's hazard that a log is tried with."""
TURN_RATE_SD = 0.5
"""Of the logarithm of that multiple between logs. From 0.35 to 0.8 nothing of the validation
moves."""
SEEMING_TURNS = 1.5
"""Errors that last a few sessions and turns that take weeks look like more turns than there
were: a log's evidence is best at 1.5 to 1.8 times the turns that the simulator made, in every
scenario and however often its lifts turn. From 1.2 to 1.7 the Brier score moves by 0.0007."""
SAMPLE = 512
"""Lifts that are learned from, evenly spread over the log's."""


def learn_pooled(weeks: Weeks, prior: Pooled = PRIOR) -> Pooled:
    """Learn the shares, changes and slopes from a log by averaging over its lifts.

    Each round states what the lifts' own probabilities say on average and takes that, mixed
    with the prior, as the next round's assumption: the estimating equation "what is expected
    of a lift before its data is what is found on average after them". How often regimes end
    is the multiple of the prior's hazard under which the log is the most probable.
    """
    count = weeks.y.shape[1]
    if count == 0:
        return prior
    chosen = np.unique(np.linspace(0, count - 1, min(count, SAMPLE)).round().astype(np.int64))
    sample = weeks.take(chosen)
    pooled = _learned(sample, prior, prior)
    hazard = prior.hazard * _turn_rate(sample, pooled)
    return _learned(sample, replace(prior, hazard=hazard), replace(pooled, hazard=hazard))


def _learned(sample: Weeks, prior: Pooled, pooled: Pooled) -> Pooled:
    """Go through the rounds, beginning with `pooled`."""
    for _ in range(ROUNDS):
        found = run_regimes(sample, pooled)
        pooled = _next_round(prior, found.from_start, found.changes, found.weight, found.mean[1],
                             found.cov[2])  # fmt: skip
    return pooled


def _turn_rate(sample: Weeks, pooled: Pooled) -> float:
    """Return the multiple of the hazard that fits the log best, less the turns that only seem.

    The top of the parabola through the three that were tried, on the logarithmic scale.
    """
    away = np.log(TURN_RATES)
    fits = [
        run_regimes(
            sample, replace(pooled, hazard=pooled.hazard * rate * SEEMING_TURNS)
        ).log_evidence.sum()
        for rate in TURN_RATES
    ]
    before, here, after = fits - 0.5 * (away / TURN_RATE_SD) ** 2
    bend = before - 2 * here + after
    top = 0.5 * (before - after) / bend if bend < 0 else 0.0
    return float(np.exp(away[-1] * np.clip(top, -1.0, 1.0)))


def _next_round(
    prior: Pooled, from_start: Floats, changes: Floats, weight: Floats, slope: Floats, var: Floats
) -> Pooled:
    """Mix what was found with the prior."""
    start = from_start.sum(-1) + PRIOR_LIFTS * prior.start
    change = changes.sum(-1) + PRIOR_LIFTS / 2 * prior.change
    mean, sd = prior.slope_mean.copy(), prior.slope_sd.copy()
    for c in (DECLINING, PROGRESSING):
        w = weight[c]
        total = w.sum() + PRIOR_SLOPES
        mean[c] = ((w * slope[c]).sum() + PRIOR_SLOPES * prior.slope_mean[c]) / total
        squares = (w * (var[c] + (slope[c] - mean[c]) ** 2)).sum()
        sd[c] = np.sqrt((squares + PRIOR_SLOPES * prior.slope_sd[c] ** 2) / total)
    return replace(
        prior,
        start=start / start.sum(),
        change=change / change.sum(1, keepdims=True),
        slope_mean=mean,
        slope_sd=sd,
    )
