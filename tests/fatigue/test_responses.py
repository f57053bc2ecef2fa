"""The impulse-response model over a log."""

from __future__ import annotations

import polars as pl
from tests.load.rows import day, log, work

from plateline.fatigue import impulse_response
from plateline.fatigue.overreaching import simulate_overreaching
from plateline.load import roles


def test_constants_are_shown_only_where_they_are_known():
    sets, strength, _ = simulate_overreaching(1, seed=2)
    constants, prediction = impulse_response(sets, strength)
    assert constants.height == 3  # progression lifts
    columns = ["start_kg", "fitness_gain", "fatigue_gain", "fitness_days", "fatigue_days"]
    hidden = constants.filter(pl.col("verdict") != "identifiable")
    assert hidden.height > 0
    for column in columns:
        assert hidden[column].null_count() == hidden.height
    assert hidden["reason"].null_count() == 0
    assert prediction["predicted"].null_count() == 0
    last = strength["date"].max()
    assert prediction["date"].max() >= last
    seen = prediction.drop_nulls("observed")
    held = ((seen["observed"] >= seen["low"]) & (seen["observed"] <= seen["high"])).mean()
    assert held > 0.85


def test_accessory_lifts_are_left_out():
    sets = log(*[work("Lateral raise", 10, 20, date=day(d)) for d in range(0, 60, 3)])
    strength = sets.select("client", "exercise", "date", strength_kg=pl.lit(20.0))
    constants, prediction = impulse_response(sets, strength)
    assert constants.is_empty()
    assert prediction.is_empty()


def test_few_tests_are_refused():
    sets = log(*[work("Back squat", 100, 8, date=day(d)) for d in range(0, 21, 7)])
    strength = sets.select("client", "exercise", "date", strength_kg=pl.lit(120.0))
    constants, prediction = impulse_response(sets, strength)
    known, _ = impulse_response(sets, strength, roles=roles(sets))
    assert known.equals(constants)
    assert constants["verdict"].to_list() == ["too few tests"]
    assert prediction["predicted"].null_count() == prediction.height
