"""Loads on the client's own steps."""

from __future__ import annotations

import math

import polars as pl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from plateline.advice import round_to_step

POUND = 0.45359237


@pytest.mark.parametrize(
    ("load", "step", "unit", "rounded"),
    [
        (83.9, 2.5, "kg", 82.5),
        (82.5, 2.5, "kg", 82.5),
        (0.3, 0.1, "kg", 0.3),
        (2.4, 2.5, "kg", 0.0),
        (180 * POUND, 2.2679, "lb", 180.0),
        (183 * POUND, 2.2679, "lb", 180.0),
        (184.9 * POUND, 2.2679, "lb", 180.0),
        (52.4 * POUND, 1.13, "lb", 50.0),
        (-20.0, 2.5, "kg", -20.0),
        (-21.0, 2.5, "kg", -22.5),
    ],
)
def test_down_to_the_step(load, step, unit, rounded):
    assert round_to_step(load, step, unit=unit) == pytest.approx(rounded)


def test_to_the_nearest_step():
    assert round_to_step(83.9, 2.5, down=False) == 85.0
    assert round_to_step(83.7, 2.5, down=False) == 82.5


@pytest.mark.parametrize("step", [0.0, -1.0, math.nan])
def test_without_a_step_there_is_no_answer(step):
    assert math.isnan(round_to_step(80.0, step))


def test_expressions_give_what_numbers_give():
    frame = pl.DataFrame(
        {
            "load": [83.9, 100.0, None, 50.0],
            "step": [2.5, 2.2679, 2.5, None],
            "unit": ["kg", "lb", "kg", None],
        }
    )
    got = frame.select(
        round_to_step(pl.col("load"), pl.col("step"), unit=pl.col("unit"))
    ).to_series()
    assert got.to_list() == [82.5, pytest.approx(220.0), None, None]


@given(st.floats(0, 600), st.sampled_from([0.5, 1.0, 1.25, 2.0, 2.5, 5.0, 10.0]))
def test_rounding_down_is_careful_and_settled(load, step):
    once = round_to_step(load, step)
    assert once <= load + 1e-5 * step
    assert load - once < step + 1e-9
    assert round_to_step(once, step) == pytest.approx(once)
