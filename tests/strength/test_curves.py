"""Rep curves against published points and the training load chart."""

from __future__ import annotations

import numpy as np
import polars as pl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from plateline.strength.curves import (
    CURVE_SD,
    STEEPNESS,
    curve_class,
    depth,
    reps_at_share,
    share_of_max,
)

# Share of the maximum and mean repetitions to failure.
BENCH = [
    (0.80, 8.8), (0.70, 14.1),  # Nuzzo et al. 2024, Sports Med 54:303-321, bench press
    (0.90, 4.857), (0.80, 9.429), (0.70, 14.429),  # Mitter et al., one visit (see test_equations)
    (0.90, 4.857), (0.80, 9.857), (0.70, 16.286),  # the same people, separate visits
]  # fmt: skip
LEG_PRESS = [(0.80, 13.1), (0.70, 19.0)]  # Nuzzo et al. 2024
LEG_PRESS_LIFTERS = [(0.90, 7.0), (0.80, 11.8), (0.70, 17.9)]
# Richens & Cleather 2014, Biol Sport 31(2):157-161, eight weightlifters

# National Strength and Conditioning Association, training load chart: repetitions, % of 1RM.
CHART = {1: 100, 2: 95, 3: 93, 4: 90, 5: 87, 6: 85, 7: 83, 8: 80, 9: 77, 10: 75, 12: 70}


def fitted(points):
    share, reps = np.array(points).T
    x = depth(reps)
    return (x @ -np.log(share)) / (x @ x)


def test_free_weights_lie_between_the_measured_points_and_the_chart():
    measured = fitted(BENCH)
    chart = fitted([(percent / 100, reps) for reps, percent in CHART.items()])
    assert measured == pytest.approx(0.95, abs=0.02)
    assert chart == pytest.approx(1.13, abs=0.01)
    assert measured < STEEPNESS["free"] < chart


def test_machines_are_fitted_to_the_leg_press():
    assert fitted(LEG_PRESS) < STEEPNESS["machine"] < fitted(LEG_PRESS_LIFTERS)


def test_the_curve_passes_within_the_published_intervals():
    # Nuzzo et al. 2024, 95 % CI of the mean: bench 80 % 7.7-10.1 and 70 % 12.4-16.1,
    # leg press 80 % 9.8-17.5 and 70 % 14.2-25.5
    assert 7.7 < reps_at_share(0.80, STEEPNESS["free"]) < 10.1
    assert 12.4 < reps_at_share(0.70, STEEPNESS["free"]) < 16.1
    assert 9.8 < reps_at_share(0.80, STEEPNESS["machine"]) < 17.5
    assert 14.2 < reps_at_share(0.70, STEEPNESS["machine"]) < 25.5


def test_the_chart_is_met_to_four_points_of_percent():
    for reps, percent in CHART.items():
        assert 100 * share_of_max(reps) == pytest.approx(percent, abs=4.0)


def test_people_differ_about_as_published():
    # Nuzzo et al. 2024: between-person SD 2.51 repetitions at 80 %, where the mean is about 10
    middle = reps_at_share(0.80)
    above = reps_at_share(0.80, np.exp(-CURVE_SD))
    assert above - middle == pytest.approx(2.51, abs=0.7)


def test_one_repetition_is_the_maximum_itself():
    assert share_of_max(1) == 1.0
    assert share_of_max(0.5) == 1.0


@given(st.floats(1, 60), st.floats(0.5, 1.6))
def test_share_and_repetitions_are_inverse(reps, steepness):
    assert reps_at_share(share_of_max(reps, steepness), steepness) == pytest.approx(reps, abs=1e-6)


def test_expressions_agree_with_numbers():
    reps = pl.Series("r", [1.0, 5.0, 20.0])
    assert reps.to_frame().select(depth(pl.col("r"))).to_series().to_numpy() == pytest.approx(
        depth(reps.to_numpy())
    )


def test_cables_and_machines_have_the_flatter_curve():
    frame = pl.DataFrame(
        {"equipment": ["barbell", "machine", "cable", "dumbbell", None, "smith machine"]}
    )
    assert frame.select(curve_class(pl.col("equipment"))).to_series().to_list() == [
        "free", "machine", "machine", "free", "free", "machine",
    ]  # fmt: skip


def test_the_chart_is_the_product_of_load_and_percent():
    # two rows of the printed chart
    row_150 = [142.5, 139.5, 135, 130.5, 127.5, 124.5, 120, 115.5, 112.5, 105]
    row_190 = [180.5, 176.7, 171, 165.3, 161.5, 157.7, 152, 146.3, 142.5, 133]
    percents = np.array([percent for reps, percent in CHART.items() if reps > 1])
    assert percents * 1.5 == pytest.approx(row_150)
    assert percents * 1.9 == pytest.approx(row_190)
