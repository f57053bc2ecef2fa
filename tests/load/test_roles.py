"""Roles from the plan, and the stated rule where it is silent."""

from __future__ import annotations

import polars as pl
import pytest

from plateline.load import roles

from .rows import day, log, plan, work


def role(sets: pl.DataFrame, planned: pl.DataFrame | None = None) -> dict:
    table = roles(sets, planned)
    assert table.height == 1
    return table.row(0, named=True)


def three_times(*rows: dict) -> pl.DataFrame:
    return log(*[row | {"date": day(7 * week)} for week in range(3) for row in rows])


def test_the_plan_says_it():
    sets = three_times(work("Bench press", 60, 30))
    found = role(sets, plan({"exercise": "bench  PRESS", "role": "progression"}))
    assert (found["role"], found["how"]) == ("progression", "plan")


def test_the_latest_block_wins():
    planned = plan(
        {"exercise": "Bench press", "role": "progression"},
        {"exercise": "Bench press", "role": "accessory", "block": "two", "start": day(28)},
    )
    assert role(three_times(work("Bench press", 60, 8)), planned)["role"] == "accessory"


def test_a_planned_name_finds_the_clients_own_label():
    sets = three_times(work("Flat bench", 60, 30))
    found = role(sets, plan({"exercise": "Bench press", "role": "progression"}))
    assert found["how"] == "plan"


def test_a_block_without_a_start_is_the_oldest():
    planned = plan(
        {"exercise": "Bench press", "role": "accessory", "start": None},
        {"exercise": "Bench press", "role": "progression", "block": "two"},
    )
    assert role(three_times(work("Bench press", 60, 8)), planned)["role"] == "progression"


def test_another_clients_plan_says_nothing():
    sets = three_times(work("Bench press", 60, 8))
    assert role(sets, plan({"exercise": "Bench press"}, client="bo"))["how"] == "inferred"


@pytest.mark.parametrize(
    ("rows", "expected"),
    [
        # a top set and a lighter back-off set, by kind or by what was done
        (
            [
                work("Lateral raise", 12, 10, set_kind="top"),
                work("Lateral raise", 8, 18, set_kind="back-off"),
            ],
            "progression",
        ),
        ([work("Lateral raise", 12, 10), work("Lateral raise", 8, 18)], "progression"),
        ([work("Back squat", 60, 25)] * 3, "accessory"),  # many reps
        ([work("Back squat", 100, 8)] * 3, "progression"),  # compound, few reps
        ([work("Lateral raise", 12, 10)] * 3, "accessory"),  # one muscle
        ([work("unheard of", 12, 25)] * 3, "accessory"),
        ([work("unheard of", 12, 8)] * 3, None),
    ],
)
def test_the_rule(rows, expected):
    found = role(three_times(*rows))
    assert found["role"] == expected
    assert (found["reason"] is None) == (expected is not None)


def test_a_lift_that_lives_in_supersets_is_accessory_work():
    rows = [work("Back squat", 60, 10, superset="S"), work("Cable curl", 20, 10, superset="S")]
    table = roles(three_times(*rows, *rows))
    assert table["role"].to_list() == ["accessory", "accessory"]
    assert table["superset_share"].to_list() == [1.0, 1.0]


@pytest.mark.parametrize(("reps", "expected"), [(12, "progression"), (13, "accessory")])
def test_load_is_meant_to_climb_up_to_twelve_reps(reps, expected):
    assert role(three_times(*[work("Back squat", 60, reps)] * 3))["role"] == expected


@pytest.mark.parametrize(
    ("together", "expected"), [(1, "progression"), (2, "accessory"), (3, "accessory")]
)
def test_half_of_the_sessions_make_a_habit(together, expected):
    pair = [work("Back squat", 60, 10, superset="S"), work("Cable curl", 20, 10, superset="S")]
    rows = [
        row | {"date": day(7 * week)}
        for week in range(4)
        for row in (pair if week < together else [work("Back squat", 60, 10)])
    ]
    table = roles(log(*rows)).filter(pl.col("exercise") == "Back squat")
    assert table["superset_share"].to_list() == [together / 4]
    assert table["role"].to_list() == [expected]


def test_nothing_gives_an_empty_table():
    assert roles(log()).is_empty()
