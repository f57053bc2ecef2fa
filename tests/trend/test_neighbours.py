"""Sessions against their neighbours: noise, odd days, layoffs, a shared day."""

from __future__ import annotations

import numpy as np
import pytest

from plateline.trend.neighbours import (
    local_fit,
    local_median,
    noise_scale,
    shared_day,
    windows,
)


def series(lifts=40, sessions=40, seed=1):
    """Lift numbers and days of lifts that are trained every three days."""
    lift = np.repeat(np.arange(lifts), sessions)
    day = np.tile(3.0 * np.arange(sessions), lifts)
    return lift, day, np.random.default_rng(seed)


def test_windows_stay_within_a_lift_and_shift_inwards_at_its_ends():
    near = windows(np.array([0, 0, 0, 0, 1, 1]), 1)
    assert near.index[:4].tolist() == [[0, 1, 2], [0, 1, 2], [1, 2, 3], [1, 2, 3]]
    assert near.index[4:][near.inside[4:]].tolist() == [4, 5, 4, 5]


def test_medians_of_windows():
    near = windows(np.zeros(5, int), 1)
    y = np.array([1.0, 9.0, 2.0, 3.0, 4.0])
    assert local_median(near, y).tolist() == [2.0, 2.0, 3.0, 3.0, 3.0]
    even = windows(np.array([0, 0]), 3)
    assert local_median(even, np.array([1.0, 4.0])).tolist() == [2.5, 2.5]


@pytest.mark.parametrize("noise", [1.0, 2.0, 3.0])
def test_noise_is_measured_whatever_the_trend(noise):
    lift, day, rng = series()
    y = 450 + 0.1 * day + 2 * np.sin(day / 20) + rng.normal(0, noise, lift.size)
    scale, mean = noise_scale(lift, day, y, np.full(lift.size, 4.0), np.zeros(lift.size, bool), 40)
    assert np.sqrt(4.0 * mean) == pytest.approx(noise, rel=0.12)
    assert np.sqrt(4.0 * scale).mean() == pytest.approx(noise, rel=0.12)


def test_a_lifts_noise_is_shrunk_towards_the_logs_and_known_means_are_used():
    lift, day, rng = series()
    sd = np.where(lift < 20, 1.0, 3.0)
    y = 450 + sd * rng.standard_normal(lift.size)
    usable = np.zeros(lift.size, bool)
    scale, mean = noise_scale(lift, day, y, np.ones(lift.size), usable, 40)
    assert scale[:20].max() < mean < scale[20:].min()
    again, same = noise_scale(lift, day, y, np.ones(lift.size), usable, 40, mean)
    assert same == mean
    assert np.array_equal(again, scale)


def test_gross_errors_are_not_noise():
    lift, day, rng = series(lifts=5)
    y = 450 + rng.normal(0, 1.0, lift.size)
    gross = np.zeros(lift.size, bool)
    gross[::13] = True
    y = y + np.where(gross, 230.0, 0.0)
    scale, _ = noise_scale(lift, day, y, np.ones(lift.size), gross, 5)
    assert scale.max() < 2.0


def test_a_left_out_residual_is_that_of_the_fit_without_the_session():
    lift, day, rng = series(lifts=1, sessions=9)
    y = 450 + 0.2 * day + rng.normal(0, 0.2, 9)
    var = np.full(9, 1.0)
    near = windows(lift, 3)
    fit = local_fit(near, day, y, var)
    middle = 4
    kept = [i for i in near.index[middle] if i != middle]
    t = (day[kept] - day[middle]) / 7
    # the slope is held back by a ridge of two square weeks a session, those left out included
    A = np.array([[len(kept), t.sum()], [t.sum(), (t * t).sum() + 2.0 * 7]])
    b = np.array([(y[kept] - fit.median[middle]).sum(), (t * (y[kept] - fit.median[middle])).sum()])
    level = fit.median[middle] + np.linalg.solve(A, b)[0]
    assert fit.left_out[middle] == pytest.approx(y[middle] - level, abs=1e-9)


def test_a_good_day_is_seen_in_the_other_lifts_of_the_client():
    lifts, sessions = 60, 40
    lift, day, rng = series(lifts, sessions)
    client = lift // 4
    readiness = rng.normal(0, 1.2, (lifts // 4, sessions))[client, (day / 3).astype(int)]
    y = 450 + readiness + rng.normal(0, 1.0, lift.size)
    var = np.full(lift.size, 2.4)
    fit = local_fit(windows(lift, 3), day, y, var)
    shift, known, covariance = shared_day(client, day, fit, var, np.ones(lift.size, bool))
    assert covariance == pytest.approx(1.44, rel=0.3)
    assert np.corrcoef(shift, readiness)[0, 1] > 0.6
    assert (y - shift).std() < y.std()
    assert (known > 0).all()


def test_a_lift_alone_on_its_day_is_left_as_it_is():
    lift, day, rng = series(lifts=3)
    y = 450 + rng.normal(0, 1, lift.size)
    fit = local_fit(windows(lift, 3), day, y, np.ones(lift.size))
    shift, known, _ = shared_day(lift, day, fit, np.ones(lift.size), np.ones(lift.size, bool))
    assert not shift.any()
    assert not known.any()
