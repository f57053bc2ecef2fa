"""What lifts have in common: how often regimes change, and how fast strength moves in each.

The values are learned from the log that is given (empirical Bayes): a log with many lifts
speaks for itself, a log with few falls back on `PRIOR`. All lifts of the log count alike,
whoever's they are, so the state of one client's lift depends a little on the other clients
in the same log: with a hundred lifts beside it, dropping a client moves a probability by
0.002 on average and by 0.02 at most. Nothing else crosses from client to client. A report on
one client and a batch over all of them read the same log and so agree to the last digit.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from plateline.trend.weeks import Weeks

__all__ = ["DECLINING", "FLAT", "PRIOR", "PROGRESSING", "Common", "Pooled", "learn_pooled"]

Floats = NDArray[np.float64]

DECLINING, FLAT, PROGRESSING = 0, 1, 2
"""The classes of regimes, in the order of every class axis."""

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


@dataclass(frozen=True)
class Pooled:
    """What lifts have in common; class axes in the order declining, flat, progressing.

    Attributes
    ----------
    start
        Share of each class among regimes that are under way when a log begins.
    hazard
        Probability that a regime of a class ends, a week.
    change
        From a class (row) to a class (column), when it ends.
    slope_mean, slope_sd
        Of the slopes of a class, % a week.
    """

    start: Floats
    hazard: Floats
    change: Floats
    slope_mean: Floats
    slope_sd: Floats


@dataclass(frozen=True)
class Common:
    """Everything that lifts learn from each other; the rest of a fit is a lift's or client's own.

    Given to the functions of this room, it lets the clients of a log be worked on apart, in
    parts of any size, with the results of the whole log.

    Attributes
    ----------
    noise
        The log's noise variance, as a multiple of the ordinary one.
    day_covariance
        Of two lifts of a client on one day, squared %.
    pooled
        How regimes change, and how fast strength moves in each.
    first_day
        The log's first day, in days from 1 January 1970: how far back every lift is looked at.
    """

    noise: float
    day_covariance: float
    pooled: Pooled
    first_day: int


PRIOR = Pooled(
    start=np.array([0.12, 0.35, 0.53]),
    hazard=np.array([0.040, 0.031, 0.040]),
    change=np.array([[0.05, 0.60, 0.35], [0.30, 0.00, 0.70], [0.25, 0.65, 0.10]]),
    slope_mean=np.array([-0.45, 0.0, 0.55]),
    slope_sd=np.array([0.25, 0.03, 0.30]),
)
"""Where a log is silent. A regime lasts 25 (moving) or 32 weeks (flat) on average; progress of
0.55 % a week is 15 % in half a year, between the 20 % and 10 % that trained and advanced
people gain in studies of four weeks to two years (ACSM 2009, Med Sci Sports Exerc 41:687-708).
Of the hazard only the level is learned, not how it differs from class to class. A third more
or less moves the Brier score by 0.003."""


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
    from plateline.trend.regimes import run_regimes

    for _ in range(ROUNDS):
        found = run_regimes(sample, pooled)
        pooled = _next_round(prior, found.from_start, found.changes, found.weight, found.mean[1],
                             found.cov[2])  # fmt: skip
    return pooled


def _turn_rate(sample: Weeks, pooled: Pooled) -> float:
    """Return the multiple of the hazard that fits the log best, less the turns that only seem.

    The top of the parabola through the three that were tried, on the logarithmic scale.
    """
    from plateline.trend.regimes import run_regimes

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
