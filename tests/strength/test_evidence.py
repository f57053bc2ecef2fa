"""What a set says, and which sets say anything."""

from __future__ import annotations

import math

import polars as pl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from plateline.errors import InputFileError, MissingColumnError
from plateline.strength import set_evidence

from .rows import DAY, sets


def test_a_set_says_load_and_repetitions_on_the_log_scale():
    row = set_evidence(sets({"load_kg": 100.0, "reps": 8, "rir": 0.0})).row(0, named=True)
    assert row["reps_to_failure"] == pytest.approx(8.3)
    assert row["log_strength"] == pytest.approx(math.log(100) + math.log(38.3 / 31))


def test_warm_ups_and_drop_sets_say_nothing():
    kinds = ["warm-up", "working", "top", "back-off", "drop"]
    evidence = set_evidence(sets(*({"load_kg": 60.0, "reps": 8, "set_kind": k} for k in kinds)))
    assert evidence["set_kind"].to_list() == ["working", "top", "back-off"]
    assert evidence["sets_before"].to_list() == [0, 1, 2]


def test_pandas_and_arrow_frames_are_taken():
    log = sets({"load_kg": 100.0, "reps": 8, "rir": 2.0})
    expected = set_evidence(log)["log_strength"].to_list()
    assert set_evidence(log.to_arrow())["log_strength"].to_list() == expected
    assert set_evidence(log.lazy())["log_strength"].to_list() == expected
    pandas = log.select("client", "exercise", "date", "load_kg", "reps", "rir").to_pandas()
    assert set_evidence(pandas)["log_strength"].to_list() == expected


def test_what_is_not_sets_is_refused_in_a_sentence():
    with pytest.raises(MissingColumnError, match="'reps'"):
        set_evidence(
            pl.DataFrame({"client": ["a"], "date": [DAY], "exercise": ["x"], "load_kg": [1.0]})
        )
    with pytest.raises(InputFileError, match="data frame"):
        set_evidence([1, 2, 3])


@given(st.permutations(range(6)))
def test_row_order_does_not_matter(order):
    rows = [{"load_kg": 60.0 + 5 * n, "reps": 10 - n, "rir": float(n % 3)} for n in range(6)]
    log = sets(*rows)
    assert set_evidence(log[list(order)]).equals(set_evidence(log))
