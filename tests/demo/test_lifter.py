"""The demo's lifter: plausible, and the same on every machine."""

from __future__ import annotations

import datetime as dt
import statistics

import pytest

from plateline.demo.lifter import Chance, Lift, reps_possible, share_of_strength

START = dt.date(2026, 1, 5)


def test_the_repetition_curve_and_its_inverse_agree():
    for reps in (1, 2, 5, 10, 20, 40):
        assert reps_possible(share_of_strength(reps, 0.045), 0.045) == pytest.approx(reps)


@pytest.mark.parametrize(
    ("reps", "percent"), [(1, 100), (2, 95), (3, 93), (5, 87), (6, 85), (8, 80), (10, 75), (12, 70)]
)
def test_the_curve_is_near_the_printed_load_chart(reps, percent):
    """NSCA Training Load Chart: maximum reps and percent of 1RM; within 3 points."""
    assert 100 * share_of_strength(reps, 0.045) == pytest.approx(percent, abs=3)


def test_the_curve_is_near_measured_bench_press_reps():
    """Mitter et al., 14 trained people, separate visits: 4.86, 9.86 and 16.29 reps to failure
    at 90, 80 and 70 % of 1RM (means; SD 1.2, 1.2 and 2.3): within two SD."""
    for share, reps, sd in ((0.9, 4.857, 1.167), (0.8, 9.857, 1.167), (0.7, 16.286, 2.302)):
        assert reps_possible(share, 0.045) == pytest.approx(reps, abs=2 * sd)


def test_chance_is_the_same_for_the_same_key_and_has_the_stated_spread():
    first, again, other = Chance("k", 1), Chance("k", 1), Chance("k", 2)
    numbers = [first.normal(2.0) for _ in range(4000)]
    assert numbers == [again.normal(2.0) for _ in range(4000)]
    assert numbers[:5] != [other.normal(2.0) for _ in range(5)]
    assert statistics.mean(numbers) == pytest.approx(0, abs=0.1)
    assert statistics.stdev(numbers) == pytest.approx(2, abs=0.1)


def test_chance_does_not_change_with_the_python_that_runs_it():
    """`random.Random(text)` and `random()` are promised to be stable; these are its numbers."""
    chance = Chance("plateline demo 1", "mara")
    assert [round(chance.uniform(), 12) for _ in range(3)] == UNIFORM


UNIFORM = [0.22287558701, 0.354383166376, 0.787180217322]


def test_strength_moves_along_its_pieces():
    later = START + dt.timedelta(weeks=10)
    lift = Lift("x", 100, ((START, 1.0), (later, 0.0)))
    assert lift.strength_on(START) == 100
    assert lift.strength_on(later) == pytest.approx(100 * 2.718281828**0.1)
    assert lift.strength_on(later + dt.timedelta(weeks=5)) == lift.strength_on(later)


def test_a_layoff_costs_strength_that_comes_back():
    lift = Lift("x", 100, ((START, 0.0),), dips=((START, 3.0, 21),))
    assert lift.strength_on(START) == pytest.approx(97.04, abs=0.01)
    assert lift.strength_on(START + dt.timedelta(days=21)) == 100


def test_reps_go_first_then_the_load():
    lift, chance = Lift("x", 100, ((START, 0.0),)), Chance("reps")
    lift.working[8, 10] = 60.0
    easy = lift.do_set(START, 0.0, 0.0, (8, 10), 1.0, 0.0, chance)
    assert (easy.load, easy.reps) == (60.0, 10)
    assert easy.rir >= 1
    lift.learn((8, 10), easy)
    assert lift.working[8, 10] == 62.5


def test_loads_stay_on_the_steps_and_bare_lifts_stay_bare():
    assert Lift("x", 100, ((START, 0.0),), step=5).rounded(63) == 65
    assert Lift("x", 100, ((START, 0.0),), step=2.5).rounded(0.3) == 2.5
    assert Lift("x", 100, ((START, 0.0),), bare=True, body_share=0.6).rounded(12) == 0
    assert Lift("x", 100, ((START, 0.0),), body_share=1.0, step=5).rounded(-19) == -20
