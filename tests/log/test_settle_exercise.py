"""Names: what stands before and behind them, and which of them the fast way in may take as they are."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plateline.log.numbers import is_missing
from plateline.log.settle_exercise import Exercise, ExerciseReader, needs_closer_look
from plateline.log.values import Unreadable

PIECES = st.lists(
    st.sampled_from(
        [*"ABHabz~3.): -", "Squat", "Bench press", "warm-up", "(top set)", "total", "Summe", "\u200b", "ü", "DB"]
    ),
    max_size=6,
).map("".join)  # fmt: skip


@pytest.mark.parametrize(
    ("written", "read"),
    [
        ("Squat", Exercise("Squat", None, None)),
        ("A1. Squat", Exercise("Squat", "A", None)),
        ("B2 Row", Exercise("Row", "B", None)),
        ("A) Squat", Exercise("Squat", None, None)),
        ("3. Squat", Exercise("Squat", None, None)),
        ("Squat (warm-up)", Exercise("Squat", None, "warm-up")),
        ("A1 Squat - top set", Exercise("Squat", "A", "top set")),
        ("A5", Exercise("A5", None, None)),
    ],
)
def test_what_stands_before_and_behind_a_name(written: str, read: Exercise) -> None:
    assert ExerciseReader().read(written) == read


@pytest.mark.parametrize("written", [None, "-", "100", "~~Squat~~", "x" * 201])
def test_what_is_no_name_is_refused(written: str | None) -> None:
    with pytest.raises(Unreadable) as refusal:
        ExerciseReader().read(written)
    assert refusal.value.column == "exercise"


def test_the_first_of_each_habit_is_told() -> None:
    reader = ExerciseReader()
    for name in ("Squat", "A1 Row", "A2 Curl", "Squat (warm-up)", "Row (warm-up)"):
        reader.read(name)
    placed, behind = (said.sentence for said in reader.said("log.csv"))
    assert "'A1 Row'" in placed
    assert "'Squat (warm-up)'" in behind
    assert list(ExerciseReader().said("log.csv")) == []


@given(st.text(max_size=20) | PIECES)
def test_a_name_that_needs_no_closer_look_is_read_as_it_stands(name: str) -> None:
    if not needs_closer_look(name):
        assert ExerciseReader().read(name) == Exercise(name, None, None)


@given(PIECES)
def test_most_names_need_none(name: str) -> None:
    if name.isalpha() and not is_missing(name) and not name.casefold().endswith(("total", "summe")):
        assert not needs_closer_look(name) or "\u200b" in name
