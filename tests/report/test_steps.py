"""Loads on the client's own steps, as the log shows them."""

from __future__ import annotations

import polars as pl
import pytest

from plateline.report.steps import lift_steps, rounded_loads
from plateline.words import KG_PER_LB

CATALOGUE = pl.DataFrame(
    {
        "exercise": ["Squat", "Dumbbell row", "Cable curl"],
        "equipment": ["barbell", "dumbbell", "cable"],
        "load_step_kg": [2.5, 2.0, 5.0],
    }
)


def steps(
    loads: dict[str, list[float]], unit: str = "kg", own: float | None = None
) -> dict[str, float]:
    per_unit = KG_PER_LB if unit == "lb" else 1.0
    sets = pl.DataFrame(
        [
            {"client": "a", "exercise": name, "load_kg": load * per_unit, "set_kind": "top"}
            for name, used in loads.items()
            for load in used
        ]
    )
    clients = pl.DataFrame(
        {"client": ["a"], "unit": [unit], "load_step_kg": [own]},
        schema_overrides={"load_step_kg": pl.Float64},
    )
    found = lift_steps(sets, clients, CATALOGUE)
    return {row["exercise"]: round(row["step_kg"] / per_unit, 3) for row in found.to_dicts()}


def test_the_log_shows_the_steps() -> None:
    assert steps({"Squat": [100, 105, 110, 120], "Dumbbell row": [20, 21, 22, 24]}, own=2.5) == {
        "Squat": 5.0, "Dumbbell row": 1.0,
    }  # fmt: skip


def test_where_it_does_not_the_clients_file_then_the_catalogue() -> None:
    assert steps({"Squat": [100], "Cable curl": [20]}, own=1.25) == {
        "Squat": 1.25,
        "Cable curl": 1.25,
    }
    assert steps({"Squat": [100], "Cable curl": [20]}) == {"Squat": 2.5, "Cable curl": 5.0}


def test_dumbbells_come_in_their_own_steps_whatever_the_plates() -> None:
    assert steps({"Dumbbell row": [20]}, own=2.5) == {"Dumbbell row": 2.0}


def test_pounds_stay_round() -> None:
    assert steps({"Squat": [200, 205, 210, 215]}, "lb") == {"Squat": 5.0}
    assert steps({"Dumbbell row": [40], "Cable curl": [50]}, "lb") == {
        "Dumbbell row": 5.0,
        "Cable curl": 10.0,
    }


def rounded(
    load: float | None,
    low: float | None,
    high: float | None,
    *,
    last: float | None = None,
    held: bool = False,
    state: str = "progressing",
    reps: int = 9,
    last_rir: float | None = 1.0,
    unit: str = "kg",
) -> float | None:
    numbers = {"load_kg": load, "load_low": low, "load_high": high, "later_kg": load}
    targets = pl.DataFrame(
        {
            "client": ["a"],
            "exercise": ["Squat"],
            "held": [held],
            "state": [state],
            "last_reps": [reps],
            "reps_low": [8],
            "rir": [1.0],
            "reps_high": [10],
            "reps": [9],
            "last_rir": [last_rir],
        }
        | {name: [value] for name, value in (numbers | {"last_load_kg": last}).items()},
        schema_overrides=dict.fromkeys([*numbers, "last_load_kg", "last_rir"], pl.Float64),
    )
    known = pl.DataFrame({"client": ["a"], "exercise": ["Squat"], "step_kg": [2.5], "unit": [unit]})
    return rounded_loads(targets, known)["load"].item()


@pytest.mark.parametrize(
    ("load", "low", "high", "expected"),
    [(83.9, 80.0, 87.0, 85.0), (83.9, 82.0, 84.5, 82.5), (82.5, 80.0, 85.0, 82.5)],
)
def test_a_load_goes_to_the_nearest_step_but_not_above_its_interval(
    load: float, low: float, high: float, expected: float
) -> None:
    assert rounded(load, low, high) == expected


@pytest.mark.parametrize(
    ("last", "held", "high", "expected"),
    [
        (85.0, True, 86.0, 85.0),  # done as prescribed: stays
        (85.0, False, 86.0, 82.5),  # reps were missed: the model's load
        (80.0, True, 86.0, 82.5),  # lighter than the model's: goes up
        (90.0, True, 86.0, 90.0),  # it moves faster than its trend: stays
        (110.0, True, 86.0, 82.5),  # far beyond: a slip is likelier
    ],
)
def test_a_load_that_was_held_is_not_taken_off(
    last: float, held: bool, high: float, expected: float
) -> None:
    assert rounded(82.0, 79.0, high, last=last, held=held) == expected


@pytest.mark.parametrize(
    ("last", "state", "reps", "expected"),
    [
        (80.0, "plateau", 9, 80.0),  # within the interval and the range: no more than last time
        (80.0, "plateau", 10, 82.5),  # the range is full
        (80.0, "progressing", 9, 82.5),
        (90.0, "plateau", 9, 82.5),  # above the interval, and it does not move
        (75.0, "plateau", 9, 82.5),  # below the interval: a light day is no measure
    ],
)
def test_what_does_not_move_is_not_loaded_more_before_its_range_is_full(
    last: float, state: str, reps: int, expected: float
) -> None:
    assert rounded(82.0, 79.0, 86.0, last=last, state=state, reps=reps) == expected


def test_two_kinds_of_set_of_one_prescription_get_one_load() -> None:
    base = {
        "client": "a", "exercise": "Squat", "state": "progressing", "load_kg": 82.0,
        "load_low": 79.0, "load_high": 86.0, "later_kg": 82.0, "last_reps": 9, "reps_low": 8,
        "reps_high": 10, "rir": 1.0, "reps": 9, "last_rir": 1.0,
    }  # fmt: skip
    rows = [
        base | {"set_kind": "top", "held": True, "last_load_kg": 85.0},
        base | {"set_kind": "working", "held": False, "last_load_kg": 80.0},
    ]
    known = pl.DataFrame({"client": ["a"], "exercise": ["Squat"], "step_kg": [2.5], "unit": ["kg"]})
    assert rounded_loads(pl.DataFrame(rows), known)["load"].to_list() == [85.0, 85.0]


@pytest.mark.parametrize(
    ("last", "reps", "expected"),
    [
        (80.0, 9, 82.5),  # 87.5 would rest on a reserve that nobody wrote down
        (86.25, 9, 87.5),
        (95.0, 6, 87.5),  # lighter than last time: that is safe to guess
        (60.0, 20, 87.5),  # another rep range: last time is no measure
    ],
)
def test_without_a_reserve_the_load_goes_up_one_step_at_most(
    last: float, reps: int, expected: float
) -> None:
    assert rounded(87.0, 80.0, 92.0, last=last, reps=reps, last_rir=None) == expected
    assert rounded(87.0, 80.0, 92.0, last=last, reps=reps) == 87.5


def test_an_unknown_load_stays_unknown() -> None:
    assert rounded(None, None, None, unit="lb") is None
