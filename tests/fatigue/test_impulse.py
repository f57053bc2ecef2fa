"""The impulse-response model: published example, closed forms, recovery, and the verdict."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import polars as pl
import pytest

from plateline.fatigue.impulse import (
    fit_impulse_response,
    impulse_response_of,
    peak_and_return_days,
)

CYCLIST = pl.read_csv(Path(__file__).with_name("load_and_tests_of_a_cyclist.csv"))
"""165 days of load and nine tests: the worked spreadsheet of Clarke & Skiba 2013 (Adv Physiol
Educ 37:134-152), from a public copy of its data (MIT licence)."""

LOAD = CYCLIST["load"].to_numpy().astype(float)
TESTS = CYCLIST.drop_nulls("Test_5min_Power")
DAYS = TESTS["Day"].to_numpy() - 1
POWER = TESTS["Test_5min_Power"].to_numpy().astype(float)


class TestPublishedExample:
    def test_printed_constants_give_the_printed_misfit_to_eight_digits(self):
        constants = (266.0204779, 0.3020749, 0.3514750, 33.6433797, 24.6056388)
        fitted = impulse_response_of(LOAD, *constants)[DAYS]
        assert np.sqrt(np.mean((POWER - fitted) ** 2)) == pytest.approx(1.48118212, abs=1e-7)
        assert np.corrcoef(POWER, fitted)[0, 1] ** 2 == pytest.approx(0.97975692, abs=1e-7)

    def test_rounded_constants_of_the_paper(self):
        """p0 262, k1 0.18, k2 0.23, tau1 36, tau2 21; printed SSE 20.25, R2 0.979."""
        fitted = impulse_response_of(LOAD, 262, 0.18, 0.23, 36, 21)[DAYS]
        assert ((POWER - fitted) ** 2).sum() == pytest.approx(21.2601, abs=1e-3)
        assert np.corrcoef(POWER, fitted)[0, 1] ** 2 == pytest.approx(0.979, abs=5e-4)

    def test_counting_only_up_to_the_day_before_does_not_reproduce_it(self):
        fitted = impulse_response_of(LOAD, 262, 0.18, 0.23, 36, 21) - (0.18 - 0.23) * LOAD
        assert ((POWER - fitted[DAYS]) ** 2).sum() == pytest.approx(193.44, abs=0.01)

    def test_its_constants_are_not_identifiable(self):
        fit = fit_impulse_response(LOAD, DAYS, POWER)
        assert fit.verdict == "not identifiable"
        assert fit.reason is not None
        # the fit itself is at least as good as the published one, so this is no failed search
        assert fit.rmse <= 1.4812
        assert fit.r_squared >= 0.979

    def test_its_prediction_is_sound_all_the_same(self):
        fit = fit_impulse_response(LOAD, DAYS, POWER)
        inside = (fit.low[DAYS] <= POWER) & (fit.high[DAYS] >= POWER)
        assert inside.mean() >= 8 / 9
        assert np.isfinite(fit.predicted).all()


class TestSingleImpulse:
    @pytest.mark.parametrize(
        ("tau1", "tau2", "peak", "back"),
        [(45, 15, 40.3146, 15.5958), (42, 7, 20.8732, 5.8224)],
    )
    def test_times_of_peak_and_return(self, tau1, tau2, peak, back):
        """Closed forms for k2 = 2 k1; the often quoted 16 and 40 days are the first pair."""
        assert peak_and_return_days(1, 2, tau1, tau2) == pytest.approx((peak, back), abs=1e-4)

    def test_the_curve_agrees_with_the_closed_forms(self):
        load = np.zeros(200)
        load[0] = 100
        curve = impulse_response_of(load, 0, 1, 2, 45, 15)
        peak, back = peak_and_return_days(1, 2, 45, 15)
        assert abs(int(np.argmax(curve)) - peak) <= 0.5
        assert curve[int(back)] < 0 < curve[int(back) + 1]


def simulated(noise: float, seed: int, every: int = 3) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    chance = np.random.default_rng(seed)
    days = np.arange(300)
    load = chance.gamma(2, 30, 300) * (chance.random(300) < 0.6) * (1 + days // 35 % 2 * 1.5)
    tests = days[every::every]
    truth = impulse_response_of(load, 100, 0.05, 0.12, 50, 8)
    return load, tests, truth[tests] + chance.normal(0, noise, tests.size)


class TestRecovery:
    def test_rich_data_are_identifiable_and_give_the_truth_back(self):
        fit = fit_impulse_response(*simulated(0.5, seed=1))
        assert fit.verdict == "identifiable"
        assert fit.reason is None
        assert fit.constants == pytest.approx((100, 0.05, 0.12, 50, 8), rel=0.05)

    def test_noise_takes_the_verdict_away(self):
        assert fit_impulse_response(*simulated(60.0, seed=1)).verdict == "not identifiable"

    def test_intervals_hold_nine_in_ten_new_tests(self):
        held = []
        for seed in range(20):
            load, tests, seen = simulated(5.0, seed=seed, every=10)
            fit = fit_impulse_response(load, tests, seen)
            truth = impulse_response_of(load, 100, 0.05, 0.12, 50, 8)
            new = truth + np.random.default_rng(100 + seed).normal(0, 5.0, load.size)
            held.append(((fit.low <= new) & (new <= fit.high)).mean())
        assert 0.85 <= np.mean(held) <= 0.95


class TestRefusals:
    def test_seven_tests_are_too_few(self):
        fit = fit_impulse_response(LOAD, DAYS[:7], POWER[:7])
        assert fit.verdict == "too few tests"
        assert fit.constants is None
        assert np.isnan(fit.predicted).all()

    @pytest.mark.parametrize("flat", [True, False])
    def test_nothing_to_explain(self, flat):
        load = LOAD if flat else np.zeros_like(LOAD)
        power = np.full(9, 280.0) if flat else POWER
        assert fit_impulse_response(load, DAYS, power).verdict == "too few tests"
