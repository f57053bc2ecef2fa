"""Repetitions as people write them."""

from __future__ import annotations

import pytest

from plateline.log.value_reps import read_reps
from plateline.log.values import Unreadable


@pytest.mark.parametrize(
    ("text", "counts"),
    [
        ("8", [8]), ("8.0", [8]), ("10 reps", [10]), ("x10", [10]), ("10 Wdh", [10]), ("8,8,7", [8, 8, 7]),
        ("8-8-7", [8, 8, 7]), ("8/8/7", [8, 8, 7]), ("8 8 7", [8, 8, 7]), ("3x10", [10, 10, 10]),
        ("10/8", [8]), ("10/10", [10]), ("8+2", [10]), ("12F", [12]), ("10 each side", [10]), ("L10/R8", [8]),
        ("AMRAP 12", [12]), ("je 10", [10]), ("10/Bein", [10]), ("each leg: 8", [8]), ("10 ogni gamba", [10]),
        ("10/9 L/R", [9]), ("l: 6, r: 5", [5]),
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
        ("1e9", "more than"), ("many", "whole number"), ("8²", "whole number"),
    ],
)  # fmt: skip
def test_refused_reps_say_why(text: str, words: str) -> None:
    with pytest.raises(Unreadable, match=words):
        read_reps(text)
