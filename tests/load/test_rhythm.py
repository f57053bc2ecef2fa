"""How often a lift, a muscle and a pattern are trained."""

from __future__ import annotations

import polars as pl

from plateline.load import frequency

from .rows import day, log, work


def test_days_over_whole_weeks():
    rows = [work("Bench press", 80, 8, date=day(d)) for d in (0, 3, 7, 10, 14, 17)]
    rows += [work("Triceps pushdown", 30, 12, date=day(d)) for d in (0, 7, 14)]
    table = frequency(log(*rows))
    found = {
        (what, name): n for what, name, n in table.select("what", "name", "sessions_week").rows()
    }
    assert found["exercise", "Bench press"] == 2.0
    assert found["exercise", "Triceps pushdown"] == 1.0
    assert found["muscle", "chest"] == 2.0
    assert found["muscle", "triceps"] == 1.0  # direct work only
    assert found["all", "training"] == 2.0


def test_weeks_off_count_as_weeks():
    rows = [work("Bench press", 80, 8, date=day(d)) for d in (0, 7, 28, 35)]
    row = frequency(log(*rows)).filter(pl.col("what") == "all").row(0, named=True)
    assert (row["weeks"], row["weeks_trained"]) == (6, 4)
    assert row["sessions_week"] == 4 / 6


def test_a_single_session_has_no_rhythm():
    row = frequency(log(work("Bench press", 80, 8))).filter(pl.col("what") == "all")
    assert row["sessions_week"].item() is None
    assert row["reason"].item() == "no whole week in the log"


def test_nothing_gives_an_empty_table():
    assert frequency(log()).is_empty()
