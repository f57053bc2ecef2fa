"""What lifts have in common, learned from a log or taken from the prior."""

from __future__ import annotations

import numpy as np
import polars as pl
import pytest

from plateline.strength.door import sets_frame
from plateline.trend.fit import fit_lifts
from plateline.trend.pooled import DECLINING, FLAT, PRIOR, PROGRESSING

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
