"""Hard sets, and how much a set tires."""

from __future__ import annotations

import numpy as np
import polars as pl
import pytest

from plateline.strength import set_evidence
from plateline.strength.hard import first_hard, is_hard
from plateline.strength.reserve import true_rir

from .rows import sets


def tired_after(**row) -> float:
    """Return how much a set tires: what has been done before the one that follows it."""
    evidence = set_evidence(sets({"load_kg": 80.0} | row, {"load_kg": 80.0, "reps": 8}))
    return evidence["sets_before"][1]


def test_a_set_tires_by_its_share_of_the_repetitions_that_could_be_done():
    assert tired_after(reps=8, rir=2.0) == pytest.approx(1.0, abs=0.01)
    assert tired_after(reps=8) == 1.0  # not known
    assert 1.25 < tired_after(reps=8, rir=0.0) < 4 / 3
    assert 0.6 < tired_after(reps=7, rir=6.0) < 0.7
    assert tired_after(reps=2, rir=8.0) < 0.25


def test_three_in_reserve_tire_as_much_against_one_as_was_measured():
    # Refalo et al. 2023, Sports Med Open 9:10: speed lost over six sets at 75 % (about ten
    # repetitions), 6 % with three and 9 % with one in reserve
    near, far = (tired_after(reps=round(10 - true_rir(rir)), rir=rir) for rir in (1.0, 3.0))
    assert far / near == pytest.approx(6 / 9, abs=0.1)


def test_sets_add_up_within_a_day_and_a_lift():
    rows = [
        {"load_kg": 70.0, "reps": 7, "rir": 6.0},
        {"load_kg": 80.0, "reps": 8},
        {"load_kg": 80.0, "reps": 7, "rir": 1.0},
        {"load_kg": 50.0, "reps": 8, "exercise": "Overhead press"},
    ]
    before = set_evidence(sets(*rows))["sets_before"].to_list()
    light = 4 / 3 * 7 / (7 + true_rir(6.0))
    assert before == [0.0, pytest.approx(light), pytest.approx(light + 1), 0.0]


def test_a_set_is_hard_with_a_small_reserve_or_an_unknown_one():
    reserves = pl.DataFrame({"rir": [0.0, 4.0, 4.5, 6.0, None]})
    assert reserves.select(is_hard()).to_series().to_list() == [True, True, False, False, True]


def test_a_day_leads_with_its_first_hard_set():
    hard = np.array([False, True, True, True, False, False])
    assert first_hard(np.array([0, 3, 4]), hard).tolist() == [1, 3, 4]
