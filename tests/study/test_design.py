from __future__ import annotations

import numpy as np
import pytest

from plateline.study.design import spline_basis
from plateline.study.power import power_table

from . import groups


def test_the_spline_is_a_natural_cubic_spline() -> None:
    """Against scipy's natural interpolating spline through the same four knots."""
    from scipy.interpolate import CubicSpline

    rng = np.random.default_rng(1)
    sample = rng.uniform(0, 10, 500)
    knots = np.quantile(sample, (0.05, 0.35, 0.65, 0.95))
    heights = np.array([1.0, -0.5, 2.0, 0.3])
    natural = CubicSpline(knots, heights, bc_type="natural")
    x = np.linspace(knots[0], knots[-1], 60)
    design = np.column_stack([np.ones(60), spline_basis(x, sample)])
    assert design.shape[1] == 4
    fitted = design @ np.linalg.lstsq(design, natural(x), rcond=None)[0]
    assert fitted == pytest.approx(natural(x), abs=1e-8)


def test_the_spline_is_straight_outside_its_knots() -> None:
    sample = np.linspace(0, 1, 101)
    for x in (np.array([-3.0, -2.0, -1.0]), np.array([2.0, 3.0, 4.0])):
        assert np.diff(spline_basis(x, sample), 2, axis=0) == pytest.approx(0, abs=1e-9)


def test_equal_values_give_a_line() -> None:
    assert spline_basis(np.ones(5), np.ones(5)).shape == (5, 1)


@pytest.fixture(scope="module")
def blocks():
    return groups.studied().blocks


def test_power_grows_with_lifters_and_weeks(blocks) -> None:
    table = power_table(blocks, replicates=500)
    for weeks in (8, 12, 26):
        power = table.filter(weeks=weeks)["power"].to_numpy()
        assert (np.diff(power) > -0.05).all()
    by_weeks = table.filter(lifters=80).sort("weeks")["power"].to_list()
    assert by_weeks == sorted(by_weeks)
    assert table["power"].is_between(0, 1).all()


def test_without_a_difference_power_is_the_level(blocks) -> None:
    table = power_table(blocks, difference=0.0, replicates=1000)
    large = table.filter(table["lifters"] >= 40)["power"].to_numpy()
    assert large == pytest.approx(0.05, abs=0.03)
