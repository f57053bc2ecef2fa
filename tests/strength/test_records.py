"""Records: what counts, what beats what, and the set behind each."""

from __future__ import annotations

import datetime as dt

import polars as pl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from plateline.strength import lift_records, lift_sessions
from plateline.words import LIFT_RECORDS

from .rows import DAY, sets


def loads(records, kind="best load"):
    rows = records.filter(pl.col("record") == kind)
    return dict(zip(rows["reps"].to_list(), rows["load_kg"].to_list(), strict=True))


def test_only_loads_that_no_longer_set_beats_are_records():
    log = sets(
        {"load_kg": 100.0, "reps": 5},
        {"load_kg": 90.0, "reps": 5},
        {"load_kg": 95.0, "reps": 3},  # beaten by 100 x 5
        {"load_kg": 80.0, "reps": 10},
        {"load_kg": 80.0, "reps": 8},  # beaten by 80 x 10
        {"load_kg": 110.0, "reps": 1},
    )
    records = lift_records(log)
    assert records.schema == pl.Schema(LIFT_RECORDS)
    assert loads(records) == {1: 110.0, 5: 100.0, 10: 80.0}


def test_of_equal_sets_the_first_stands_and_is_traced():
    later = DAY + dt.timedelta(days=7)
    log = sets({"load_kg": 100.0, "reps": 5, "date": later}, {"load_kg": 100.0, "reps": 5})
    row = lift_records(log).filter(pl.col("record") == "best load").row(0, named=True)
    assert (row["date"], row["source_line"]) == (DAY, 3)


def test_best_e1rm_is_one_per_lift_and_within_the_window():
    log = sets(
        {"load_kg": 100.0, "reps": 5, "rir": 0.0},  # 116.67
        {"load_kg": 95.0, "reps": 8, "rir": 2.0},  # 126.67
        {"load_kg": 70.0, "reps": 25, "rir": 0.0},  # outside
    )
    best = lift_records(log).filter(pl.col("record") == "best e1RM")
    assert best["e1rm_kg"].to_list() == pytest.approx([126.6667], abs=1e-3)


def test_without_a_reserve_the_repetitions_alone_make_the_estimate():
    best = lift_records(sets({"load_kg": 100.0, "reps": 6})).filter(pl.col("record") == "best e1RM")
    assert best["e1rm_kg"].to_list() == pytest.approx([120.0])


def test_records_stand_by_client_lift_record_and_repetitions():
    log = sets(
        *(
            {"client": client, "exercise": exercise, "load_kg": load, "reps": reps}
            for client in ("b", "a")
            for exercise in ("Row", "Deadlift")
            for load, reps in ((90.0, 5), (100.0, 2))
        )
    )
    rows = lift_records(log).select("client", "exercise", "record", "reps").rows()
    assert rows == [
        (client, exercise, record, reps)
        for client in ("a", "b")
        for exercise in ("Deadlift", "Row")
        for record, reps in (("best load", 2), ("best load", 5), ("best e1RM", 2))
    ]


def test_a_lift_whose_sessions_hold_no_e1rm_holds_no_such_record():
    # eleven repetitions, and no reserve logged: some two and a half more are expected
    log = sets({"load_kg": 60.0, "reps": 11}, {"load_kg": 50.0, "reps": 18})
    assert lift_sessions(log)["e1rm_kg"].null_count() == 1
    assert lift_records(log)["record"].unique().to_list() == ["best load"]
    bare = sets({"load_kg": 0.0, "reps": 6, "rir": 1.0, "exercise": "Pull-up"})
    assert lift_sessions(bare)["e1rm_kg"].to_list() == [None]  # body mass is not known
    assert lift_records(bare)["record"].unique().to_list() == ["best load"]


def test_warm_ups_drops_and_doubtful_sets_set_no_records():
    log = sets(
        {"load_kg": 60.0, "reps": 5},
        {"load_kg": 600.0, "reps": 5, "flag": "tenfold load"},
        {"load_kg": 70.0, "reps": 5, "set_kind": "warm-up"},
        {"load_kg": 70.0, "reps": 5, "set_kind": "drop"},
    )
    assert loads(lift_records(log)) == {5: 60.0}


ROWS = st.lists(st.tuples(st.integers(1, 20), st.integers(8, 60)), min_size=1, max_size=25)


@given(ROWS)
def test_records_are_a_falling_staircase_that_beats_every_set(rows):
    found = loads(lift_records(sets(*({"reps": r, "load_kg": 2.5 * k} for r, k in rows))))
    stairs = [found[reps] for reps in sorted(found)]
    assert stairs == sorted(stairs, reverse=True)
    assert len(set(stairs)) == len(stairs)
    for reps, k in rows:
        assert any(r >= reps and load >= 2.5 * k for r, load in found.items())
