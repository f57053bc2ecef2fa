"""The normal distribution against a general-purpose library."""

from __future__ import annotations

import numpy as np
import pytest

from plateline.trend.normal import Z80, Z90, cumulative, mixture_quantiles


def test_the_distribution_function_to_its_stated_error():
    from scipy.special import ndtr

    z = np.linspace(-9, 9, 4001)
    assert np.abs(cumulative(z) - ndtr(z)).max() < 7.5e-8  # Abramowitz & Stegun 26.2.17


def test_interval_half_widths():
    from scipy import stats

    assert pytest.approx(stats.norm.ppf(0.9), abs=1e-12) == Z80
    assert pytest.approx(stats.norm.ppf(0.95), abs=1e-12) == Z90


def test_quantiles_of_one_normal_and_of_a_mixture():
    from scipy import stats

    one = mixture_quantiles(np.ones((1, 1)), np.full((1, 1), 2.0), np.full((1, 1), 3.0), 0.05)
    assert one.item() == pytest.approx(stats.norm.ppf(0.05, 2, 3), abs=1e-5)
    weight, mean, sd = np.array([[0.3], [0.7]]), np.array([[-1.0], [2.0]]), np.array([[0.1], [0.5]])
    q = mixture_quantiles(weight, mean, sd, 0.4).item()
    below = 0.3 * stats.norm.cdf(q, -1, 0.1) + 0.7 * stats.norm.cdf(q, 2, 0.5)
    assert below == pytest.approx(0.4, abs=1e-6)
