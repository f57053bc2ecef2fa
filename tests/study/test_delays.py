from __future__ import annotations

import numpy as np
import pytest

from plateline.study.delays import FIRST_WEEK, alarm_figures
from plateline.study.scenarios import SCENARIOS
from plateline.study.simulate import Simulation, simulation


def doctored(onset: int) -> Simulation:
    """Return one lift that gains 0.5 % a week up to a day and nothing after it."""
    made = simulation(SCENARIOS["base"], 1, 26, lifts_each=(1, 1), seed=1)
    days = made.paths.trend.shape[1]
    made.paths.rate_pct_week[0] = np.where(np.arange(days) < onset, 0.5, 0.0)
    made.paths.onset_day[0] = onset
    return made


def test_delay_is_counted_from_the_true_change() -> None:
    made = doctored(onset=7 * 12)
    alarms = np.zeros((1, 26), bool)
    alarms[0, 14:] = True  # first seen at the end of week 15, day 104
    figures = alarm_figures(made, alarms)
    assert figures["delay_weeks"] == pytest.approx((7 * 15 - 1 - 84) / 7)
    assert figures["detected_share"] == 1.0
    assert figures["false_alarms_lift_year"] == 0.0


def test_an_alarm_while_the_lift_gains_is_false() -> None:
    made = doctored(onset=7 * 17)
    alarms = np.zeros((1, 26), bool)
    alarms[0, [9, 10, 13]] = True  # two alarms begin, in weeks 10 and 14
    figures = alarm_figures(made, alarms)
    rising_weeks = 17 - FIRST_WEEK + 1 + 1  # the fortnight's mean still rises a week after
    assert figures["false_alarms_lift_year"] == pytest.approx(2 / (rising_weeks * 7 / 365.25))
    assert figures["detected_share"] == 0.0
    assert figures["delay_weeks"] == np.inf


def test_frames_and_arrays_are_in_the_same_order() -> None:
    from plateline.study.delays import _truth_order

    made = simulation(SCENARIOS["base"], 20, 8, seed=2)
    _, truth = made.frames()
    order = _truth_order(made)
    assert truth["curve_k"].to_numpy() == pytest.approx(made.group.curve_k[order])
