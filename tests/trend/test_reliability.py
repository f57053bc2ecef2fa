"""Typical error and detectable change against the worked example of Weir 2005."""

from __future__ import annotations

import pytest

from plateline.trend.assumptions import THRESHOLD_PCT_WEEK
from plateline.trend.reliability import (
    detectable_change,
    smallest_worthwhile_change,
    typical_error,
)

# Weir 2005, J Strength Cond Res 19:231-240, data set A: eight people, two trials.
FIRST = [146, 148, 170, 90, 157, 156, 176, 205]
SECOND = [140, 152, 152, 99, 145, 153, 167, 218]


def test_typical_error_is_the_printed_one():
    assert typical_error(FIRST, SECOND) == pytest.approx(7.6, abs=0.05)  # p. 236
    assert typical_error(FIRST, SECOND) == pytest.approx(57.1071**0.5, abs=1e-4)  # sqrt(MS_error)


def test_detectable_change_follows_from_it():
    assert detectable_change(typical_error(FIRST, SECOND)) == pytest.approx(20.9467, abs=1e-3)


def test_the_threshold_is_the_smallest_worthwhile_change_in_six_weeks():
    # 0.3 of 2.1 % (Banyard et al. 2017, measured squat) over six weeks
    assert smallest_worthwhile_change(2.1) == pytest.approx(0.63)
    assert pytest.approx(0.105) == THRESHOLD_PCT_WEEK
