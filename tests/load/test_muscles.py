"""Hard sets per muscle, pattern and position, counted by hand."""

from __future__ import annotations

import polars as pl
import pytest

from plateline.load import weekly_muscles, weekly_patterns, weekly_positions

from .rows import catalogue, day, log, work

EXERCISES = catalogue(
    {"exercise": "flat push", "pattern": "push", "direct": ["chest"], "indirect": ["triceps"]},
    {
        "exercise": "arm push",
        "pattern": "extension",
        "position": "lengthened",
        "direct": ["triceps"],
    },
    {"exercise": "both ways", "direct": ["chest"], "indirect": ["chest", "triceps"]},
)


def muscle(table: pl.DataFrame, name: str | None) -> dict:
    return table.filter(pl.col("muscle").eq_missing(name)).row(0, named=True)


def test_four_direct_and_six_indirect_sets_are_10_7_and_4():
    """Pelland et al. 2024 (SportRxiv): total, fractional and direct counting."""
    sets = log(*[work("arm push", 20, 12)] * 4, *[work("flat push", 80, 8)] * 6)
    row = muscle(weekly_muscles(sets, catalogue=EXERCISES), "triceps")
    assert (row["all_sets"], row["hard_sets"], row["direct_sets"]) == (10.0, 7.0, 4.0)
    assert row["indirect_sets"] == 6.0
    assert row["direct_volume_load_kg"] == 4 * 12 * 20
    assert row["direct_reps"] == 48


def test_a_muscle_named_twice_counts_once_as_direct():
    row = muscle(weekly_muscles(log(work("both ways", 50, 8)), catalogue=EXERCISES), "chest")
    assert (row["direct_sets"], row["hard_sets"]) == (1.0, 1.0)


def test_warm_ups_and_easy_sets_are_no_hard_sets():
    sets = log(
        work("flat push", 40, 10, set_kind="warm-up"),
        work("flat push", 80, 8, rir=6.0),
        work("flat push", 80, 8, rir=2.0),
    )
    assert muscle(weekly_muscles(sets, catalogue=EXERCISES), "chest")["hard_sets"] == 1.0


def test_work_on_an_unknown_exercise_is_shown_not_dropped():
    sets = log(*[work("zzyzx wobble", 10, 10)] * 2, work("flat push", 80, 8))
    row = muscle(weekly_muscles(sets, catalogue=EXERCISES), None)
    assert row["hard_sets"] == 2.0
    assert "not in the catalogue" in row["reason"]


def test_sessions_are_days_with_a_hard_set():
    sets = log(
        work("flat push", 80, 8, date=day(0)),
        work("arm push", 20, 12, date=day(0)),
        work("flat push", 80, 8, date=day(2)),
        work("flat push", 40, 8, date=day(4), set_kind="warm-up"),
    )
    row = muscle(weekly_muscles(sets, catalogue=EXERCISES), "triceps")
    assert row["sessions"] == 2
    assert row["exercises"] == 2


def test_positions_belong_to_direct_muscles():
    sets = log(work("arm push", 20, 12), *[work("flat push", 80, 8)] * 2)
    table = weekly_positions(sets, catalogue=EXERCISES)
    assert table.select("muscle", "position", "hard_sets").rows() == [
        ("chest", "mid", 2.0),
        ("triceps", "lengthened", 1.0),
        ("triceps", None, 1.0),
    ]


def test_patterns_add_up_to_all_sets():
    sets = log(work("arm push", 20, 12), *[work("flat push", 80, 8)] * 2, work("unheard of", 5, 5))
    table = weekly_patterns(sets, catalogue=EXERCISES)
    assert table.select("pattern", "sets", "volume_load_kg").rows() == [
        ("extension", 1.0, 240.0),
        ("push", 2.0, 1280.0),
        (None, 1.0, 25.0),
    ]


def test_the_catalogue_that_ships_knows_its_muscles():
    table = weekly_muscles(log(*[work("Bench press", 80, 8)] * 3))
    assert muscle(table, "chest")["hard_sets"] == 3.0
    assert muscle(table, "triceps")["hard_sets"] == 1.5


def test_nothing_gives_an_empty_table():
    for table in (weekly_muscles(log()), weekly_positions(log()), weekly_patterns(log())):
        assert table.is_empty()


@pytest.mark.parametrize("make", [pl.DataFrame.to_pandas, pl.DataFrame.to_arrow, pl.DataFrame.lazy])
def test_pandas_arrow_and_lazy_frames_are_taken(make):
    sets = log(*[work("Bench press", 80, 8)] * 3)
    assert weekly_muscles(make(sets)).equals(weekly_muscles(sets))
