"""A typing error spoils the set it stands in, and nothing else."""

from __future__ import annotations

import numpy as np
import polars as pl
import pytest

from plateline.study import simulate_lifters
from plateline.trend import lift_status, targets
from plateline.trend.slips import slips

SETS_A_DAY, DAYS = 3, 12


def steady(seed=0):
    """Arrays of one lift: twelve days of a top set and two lighter sets, three days apart."""
    rng = np.random.default_rng(seed)
    day = np.repeat(3 * np.arange(DAYS), SETS_A_DAY)
    log_load = 460 - np.tile([0.0, 16.0, 16.0], DAYS)
    y = 480 + 0.05 * day + rng.normal(0, 2.0, day.size)
    return np.zeros(day.size, int), day, y, log_load, np.full(day.size, 8.0)


def test_an_ordinary_log_has_none():
    for seed in range(20):
        assert not slips(*steady(seed)).any()


@pytest.mark.parametrize("of_load", [np.log(10), -np.log(10), np.log(2.2046), np.log(58 / 85)])
@pytest.mark.parametrize("place", [0, 16, 35])
def test_a_mistyped_load_is_found_and_nothing_beside_it(of_load, place):
    lift, day, y, log_load, var = steady()
    y[place] += 100 * of_load
    log_load[place] += 100 * of_load
    assert np.flatnonzero(slips(lift, day, y, log_load, var)).tolist() == [place]


def test_mistyped_repetitions_are_found():
    lift, day, y, log_load, var = steady()
    y[17] += 100 * np.log((30 + 80) / (30 + 8))
    assert np.flatnonzero(slips(lift, day, y, log_load, var)).tolist() == [17]


def test_a_whole_light_day_is_not_a_slip_of_one_set():
    lift, day, y, log_load, var = steady()
    y[day == 15] -= 18
    assert not slips(lift, day, y, log_load, var).any()


def test_a_lift_that_makes_no_sense_is_left_as_it_is():
    rng = np.random.default_rng(1)
    lift, day, y, log_load, var = steady()
    wild = rng.choice([0.0, 230.0, -230.0], y.size)
    assert slips(lift, day, y + wild, log_load + wild, var).mean() <= 0.5


def mistyped(sets: pl.DataFrame, seed: int) -> pl.DataFrame:
    """One set in eighty with a tenfold load, pounds as kg, two digits swapped, or tenfold reps."""
    rng = np.random.default_rng(seed)
    load, reps = sets["load_kg"].to_numpy().copy(), sets["reps"].to_numpy().copy()
    wrong = np.flatnonzero(rng.random(load.size) < 1 / 80)
    kind = rng.integers(0, 4, wrong.size)
    for row, what in zip(wrong, kind, strict=True):
        digits = f"{load[row]:g}"
        load[row] *= {0: rng.choice([0.1, 10.0]), 1: rng.choice([2.2046, 1 / 2.2046])}.get(what, 1)
        if what == 2 and len(digits) > 1 and digits[1] not in "0.":
            load[row] = float(digits[1] + digits[0] + digits[2:])
        reps[row] *= 10 if what == 3 else 1
    return sets.with_columns(load_kg=pl.Series(load), reps=pl.Series(reps))


def test_typing_errors_move_neither_state_nor_load():
    sets, truth = simulate_lifters(25, seed=5)
    as_of = truth["as_of"][0]
    wrong = mistyped(sets, 6)
    said = [lift_status(frame, as_of)["p_progressing"].to_numpy() for frame in (sets, wrong)]
    assert np.quantile(np.abs(said[1] - said[0]), 0.9) < 0.05
    loads = [targets(frame, reps=8, rir=2, as_of=as_of) for frame in (sets, wrong)]
    load, other = (np.log(frame["load_kg"].to_numpy()) for frame in loads)
    assert np.quantile(np.abs(other - load), 0.95) < 0.01
    assert np.abs(other - load).max() < 0.08
    width = [np.log((f["load_high"] / f["load_low"]).to_numpy()) for f in loads]
    assert np.quantile(width[1] / width[0], 0.95) < 1.1
