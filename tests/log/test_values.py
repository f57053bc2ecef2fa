"""Loads, reps, effort, rest and feel, one cell at a time."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plateline.log.limits import heaviest_kg
from plateline.log.value_effort import read_effort, read_feel, read_rest_s
from plateline.log.value_load import read_load
from plateline.log.value_reps import read_reps
from plateline.log.values import POUND_KG, Unreadable


def test_a_pound_is_the_international_one() -> None:
    # International yard and pound agreement of 1959: 1 lb = 0.45359237 kg exactly.
    assert POUND_KG == 0.45359237
    assert read_load("225 lb").kg("kg") == pytest.approx(102.05828325, abs=1e-8)


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("100", 100, None), ("100kg", 100, "kg"), ("100 Kgs", 100, "kg"), ("225 lb", 225, "lb"),
        ("225lbs", 225, "lb"), ("#225", 225, "lb"), ("225#", 225, "lb"), ("102,5", 102.5, None),
        ("BW", 0, None), ("bodyweight", 0, None), ("Körpergewicht", 0, None), ("PDC", 0, None),
        ("corpo libero", 0, None), ("KG", 0, None), ("KG+5", 5, None), ("BW+10", 10, None),
        ("BW + 10 kg", 10, "kg"), ("10+BW", 10, None), ("BW-20", -20, None), ("+10", 10, None),
        ("-20", -20, None), ("assisted 20", -20, None), ("20 kg assist", -20, "kg"), ("2x30", 30, None),
        ("2 × 30 kg", 30, "kg"), ("24 each", 24, None), ("20 kg per hand", 20, "kg"),
        ("100 kg (220 lb)", 100, "kg"), ("kg 80", 80, "kg"), ("102½", 102.5, None), ("@60", 60, None),
    ],
)  # fmt: skip
def test_loads(text: str, value: float, unit: str | None) -> None:
    load = read_load(text)
    assert (load.value, load.unit) == (value, unit)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("inf", "finite"), ("nan", "finite"), ("60-80", "range"), ("80%", "share"), ("bar", "bar"),
        ("green band", "band"), ("40 per side", "one side"), ("1.250", "1.25 or 1250"), ("heavy", "number"),
        ("100x5", "more than a load"), ("12 stone", "stone"),
    ],
)  # fmt: skip
def test_refused_loads_say_why(text: str, words: str) -> None:
    with pytest.raises(Unreadable, match=words):
        read_load(text)


@pytest.mark.parametrize(
    ("text", "counts"),
    [
        ("8", [8]), ("8.0", [8]), ("10 reps", [10]), ("x10", [10]), ("10 Wdh", [10]), ("8,8,7", [8, 8, 7]),
        ("8-8-7", [8, 8, 7]), ("8/8/7", [8, 8, 7]), ("8 8 7", [8, 8, 7]), ("3x10", [10, 10, 10]),
        ("10/8", [8]), ("10/10", [10]), ("8+2", [10]), ("12F", [12]), ("10 each side", [10]), ("L10/R8", [8]),
        ("AMRAP 12", [12]),
    ],
)  # fmt: skip
def test_reps(text: str, counts: list[int]) -> None:
    assert [r.count for r in read_reps(text)] == counts


def test_what_else_a_rep_cell_says_is_kept() -> None:
    assert read_reps("10/8")[0].side == "10/8"
    assert read_reps("8+2")[0].flag == "cluster"
    assert read_reps("12 (fail)")[0].rir == 0
    assert read_reps("12@8")[0].rir == 2
    assert read_reps("12 RIR2")[0].rir == 2


def test_a_count_of_sets_settles_two_numbers() -> None:
    assert [r.count for r in read_reps("8/8", 2)] == [8, 8]
    assert [r.side for r in read_reps("8/8")] == ["8/8"]
    with pytest.raises(Unreadable, match="not whole"):
        read_reps("8,8")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("8-10", "range"), ("8.5", "not whole"), ("-3", "negative"), ("0", "No repetition"), ("12+", "at least"),
        ("30s", "time"), ("1:00", "time"), ("500m", "distance"), ("08. Okt", "spreadsheet"), ("inf", "finite"),
        ("1e9", "more than"), ("many", "whole number"),
    ],
)  # fmt: skip
def test_refused_reps_say_why(text: str, words: str) -> None:
    with pytest.raises(Unreadable, match=words):
        read_reps(text)


@pytest.mark.parametrize(
    ("text", "scale", "rir"),
    [
        ("2", "rir", 2), ("2 RIR", "rpe", 2), ("1-2", "rir", 1.5), ("4+", "rir", 4), ("F", "rir", 0),
        ("8", "rpe", 2), ("@8", "rpe", 2), ("RPE 8,5", "rpe", 1.5), ("8-9", "rpe", 1.5), ("8/10", "rpe", 2),
        ("10", "rpe", 0), ("9.5", "rpe", 0.5), ("", "rpe", None), ("n/a", "rir", None),
    ],
)  # fmt: skip
def test_effort_becomes_reps_in_reserve(text: str, scale: str, rir: float | None) -> None:
    # Zourdos et al. 2016, J Strength Cond Res 30:267-275: RPE 10 is 0, 9 is 1, 8 is 2, 7 is 3 reps.
    assert read_effort(text, scale) == rir  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("text", "scale"), [("11", "rpe"), ("-1", "rir"), ("hard", "rpe"), ("inf", "rir")]
)
def test_refused_effort(text: str, scale: str) -> None:
    with pytest.raises(Unreadable):
        read_effort(text, scale)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("text", "seconds"),
    [("90", 90), ("90 s", 90), ("1:30", 90), ("2 min", 120), ("2'", 120), ("1m30s", 90), ("00:01:30", 90), ("1,5 min", 90)],
)  # fmt: skip
def test_rest(text: str, seconds: float) -> None:
    assert read_rest_s(text) == seconds


def test_feel() -> None:
    assert read_feel("4/5") == 4
    assert read_feel("★★★☆☆") == 3
    with pytest.raises(Unreadable):
        read_feel("9")


def test_nobody_lifted_more_than_the_limits() -> None:
    # Best competition marks, from memory: squat 595, bench 635, deadlift 510, snatch 225, jerk 267 kg.
    for lift, best in [
        ("Back squat", 595),
        ("Bankdrücken", 635),
        ("Soulevé de terre", 510),
        ("Snatch", 225),
        ("Clean and jerk", 267),
    ]:
        assert best < heaviest_kg(lift) < 1.2 * best, lift
    assert heaviest_kg("Rack pull") == heaviest_kg("Leg press") > 1000


@given(st.text(max_size=40))
def test_any_cell_is_read_or_refused(text: str) -> None:
    for reader in (read_load, read_reps, read_rest_s, read_feel):
        try:
            reader(text)
        except Unreadable as fault:
            assert fault.reason.endswith((".", ")"))  # noqa: PT017


@given(
    st.floats(-200, 1000).map(lambda x: round(x * 4) / 4),
    st.sampled_from(["", "kg", " kg", "lb", " lbs"]),
)
def test_a_written_load_comes_back(value: float, unit: str) -> None:
    assert read_load(f"{value:g}{unit}").value == value
