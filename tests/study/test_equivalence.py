"""Two one-sided tests against published values."""

from __future__ import annotations

import numpy as np
import pytest

from plateline.study.equivalence import two_one_sided_tests

# Values printed by the tests of an open-source R package, the first two of them the worked
# example of Lakens 2017 (Soc Psychol Personal Sci 8:355-362): low, high, t and p against the
# lower bound, t and p against the upper one, degrees of freedom, and the 90 % interval.
CASES = [
    (-0.3835687, 0.3835687, 3.14973, 0.0009560083, -2.692771, 0.003875522, 181.1344, -0.1870843, 0.2470843),
    (-0.384, 0.384, 3.153015, 0.0009458745, -2.696056, 0.003838994, 181.1344, -0.1870843, 0.2470843),
    (-0.36, 0.36, 3.333333, 0.0006040021, -2.666667, 0.004474619, 99.0, -0.1592469, 0.2392469),
    (-0.1, 0.1, 4.156922, 2.108451e-05, -2.771281, 0.002966762, 299.0, -0.02763041, 0.06763041),
    (-0.350782, 0.350782, 3.960381, 9.531728e-05, -2.489426, 0.00770235, 64.0, -0.1015433, 0.2615433),
]  # fmt: skip


@pytest.mark.parametrize("case", CASES)
def test_the_printed_values(case: tuple[float, ...]) -> None:
    from scipy.stats import t as student

    low, high, t_low, p_low, t_high, p_high, freedom, ci_low, ci_high = case
    estimate = (ci_low + ci_high) / 2
    error = (ci_high - ci_low) / 2 / student.ppf(0.95, freedom)
    found = two_one_sided_tests(estimate, error, freedom, low, high)
    assert found.t_low == pytest.approx(t_low, abs=2e-6)
    assert found.t_high == pytest.approx(t_high, abs=2e-6)
    assert found.p_low == pytest.approx(p_low, rel=1e-5)
    assert found.p_high == pytest.approx(p_high, rel=1e-5)
    assert found.p == found.p_high


def test_equivalence_is_a_90_percent_interval_inside_the_bounds() -> None:
    from scipy.stats import t as student

    rng = np.random.default_rng(1)
    estimate, error, freedom = rng.normal(0, 1, 300), rng.gamma(2, 0.3, 300), 12
    half = student.ppf(0.95, freedom) * error
    inside = (estimate - half > -1) & (estimate + half < 1)
    assert np.array_equal(two_one_sided_tests(estimate, error, freedom, -1, 1).p < 0.05, inside)


def test_what_is_not_known_is_not_shown() -> None:
    assert not two_one_sided_tests([np.nan], [0.1], 3, -1, 1).p[0] < 0.05
