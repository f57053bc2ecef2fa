"""What lifts have in common, learned from a log or taken from the prior."""

from __future__ import annotations

import numpy as np
import polars as pl
import pytest

from plateline.strength.door import sets_frame
from plateline.trend.fitting import fit_lifts
from plateline.trend.learning import learn_pooled
from plateline.trend.pooled import DECLINING, FLAT, PRIOR, PROGRESSING
from plateline.trend.weeks import Weeks

from .lifters import AS_OF, lifter, steady


def learned(slopes):
    log = pl.concat(
        [lifter(steady(s), client=f"c{n:03d}", seed=n, noise_pct=1.0) for n, s in enumerate(slopes)]
    )
    fit = fit_lifts(sets_frame(log), AS_OF)
    assert fit is not None
    return fit.pooled


def test_the_prior_is_a_probability_table():
    assert PRIOR.start.sum() == pytest.approx(1)
    assert PRIOR.change.sum(1) == pytest.approx(np.ones(3))
    assert PRIOR.change[FLAT, FLAT] == 0.0


def test_a_log_of_fast_progress_teaches_fast_progress():
    slow = learned([0.3] * 60)
    fast = learned([1.1] * 60)
    assert (
        slow.slope_mean[PROGRESSING] < PRIOR.slope_mean[PROGRESSING] < fast.slope_mean[PROGRESSING]
    )
    assert fast.start[PROGRESSING] > 0.7


def test_a_log_of_plateaus_teaches_plateaus():
    still = learned([0.0] * 60)
    assert still.start[FLAT] > 0.6 > PRIOR.start[FLAT]
    assert still.start.sum() == pytest.approx(1)


def test_a_log_of_few_lifts_stays_with_the_prior():
    one = learned([-0.9])
    assert one.start == pytest.approx(PRIOR.start, abs=0.05)
    assert one.slope_mean[DECLINING] == pytest.approx(PRIOR.slope_mean[DECLINING], abs=0.05)


def weekly(turns, lifts=300, noise=0.7, seed=4):
    """Return weeks of lifts that turn so many times, between progress and none."""
    rng = np.random.default_rng(seed)
    t = np.arange(26.0)[:, None]
    y = 450 + 0.6 * t
    for turn in range(turns):
        at = 26 * (turn + rng.uniform(0.3, 0.9, lifts)) / turns
        y = y + (-1) ** (turn + 1) * 0.6 * np.maximum(t - at, 0)
    y = np.broadcast_to(y, (26, lifts)) + rng.normal(0, noise, (26, lifts))
    var = np.full(y.shape, noise**2)
    return Weeks(y=y, precision=1 / var, shock=np.zeros(y.shape), start=np.zeros(lifts, int))


def test_a_log_of_many_turns_teaches_many_turns():
    never, once, twice = (learn_pooled(weekly(turns)).hazard for turns in (0, 1, 2))
    assert (never < 0.6 * PRIOR.hazard).all()
    assert (never < once).all()
    assert (once < twice).all()
    ratio = never / PRIOR.hazard
    assert ratio == pytest.approx(np.full(3, ratio[0]))


def test_a_lift_alone_teaches_no_rate_of_turns():
    ratio = learn_pooled(weekly(1, lifts=1)).hazard / PRIOR.hazard
    assert ratio == pytest.approx(np.ones(3), abs=0.15)
