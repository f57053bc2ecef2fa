"""Numbers with decimal commas, thousands marks and halves."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plateline.log.numbers import decimal_mark, is_missing, plain, read_number, without_marks


@pytest.mark.parametrize(
    ("text", "mark", "value"),
    [
        ("100", None, 100), ("102,5", None, 102.5), ("102.5", None, 102.5), ("1.250,5", None, 1250.5),
        ("1,250.5", None, 1250.5), ("1'250", None, 1250), ("1 250", None, 1250), ("1\u202f250,5", None, 1250.5),
        ("60.000", None, 60), ("1.250", ",", 1250), ("1.250", ".", 1.25), ("−20", None, -20),
        ("102½", None, 102.5), ("102 1/2", None, 102.5), ("0,500", None, 0.5), ("1e3", None, 1000),
        (".5", None, 0.5), ("１００", None, 100), ("1.234.567", None, 1234567), ("+10", None, 10),
    ],
)  # fmt: skip
def test_numbers_are_read_as_people_mean_them(text: str, mark: str | None, value: float) -> None:
    assert read_number(plain(text), mark) == value  # type: ignore[arg-type]


@pytest.mark.parametrize("text", ["1.250", "1,250", "1,2,3", "ten", "", "1.2.3", "--5", "1'25"])
def test_what_can_be_two_numbers_or_none_is_not_read(text: str) -> None:
    assert read_number(plain(text)) is None


def test_infinity_and_nan_are_told_apart_from_no_number() -> None:
    assert read_number("inf") == math.inf
    assert math.isnan(read_number("nan") or 0)


def test_the_decimal_mark_is_what_unambiguous_numbers_show() -> None:
    assert decimal_mark(["102,5", "100"]) == ","
    assert decimal_mark(["102.5", "1,250"]) == "."
    assert decimal_mark(["1.250", "100"]) is None


def test_common_words_for_nothing() -> None:
    assert all(map(is_missing, ["", " ", "-", "–", "n/a", "NaN", "NULL", None]))
    assert not any(map(is_missing, ["0", "x", "no"]))


@given(st.floats(min_value=-999, max_value=999).map(lambda x: round(x, 2)))
def test_a_number_survives_either_decimal_mark(number: float) -> None:
    text = f"{number:.2f}"
    assert read_number(text) == number
    assert read_number(text.replace(".", ",")) == number


@given(st.text(max_size=30))
def test_any_text_gives_a_number_or_none(text: str) -> None:
    found = read_number(plain(text))
    assert found is None or isinstance(found, float)


@pytest.mark.parametrize(
    ("text", "value", "mark"),
    [
        ("100 PR!", "100", "PR!"),
        ("5!", "5", "!"),
        ("8 \u2714", "8", "\u2714"),
        ("102.5 \U0001f525\U0001f525", "102.5", "\U0001f525\U0001f525"),
        ("5 (PR)", "5", "(PR)"),
        ("100 kg", "100 kg", None),
        ("5 \u2717", "5 \u2717", None),
        ("\u2605\u2605\u2605", "\u2605\u2605\u2605", None),
        ("!!!", "!!!", None),
    ],
)
def test_cheers_stand_apart_from_the_value(text: str, value: str, mark: str | None) -> None:
    assert without_marks(text) == (value, mark)


def test_long_cheers_take_time_that_grows_with_the_text() -> None:
    assert without_marks("100" + " PR!" * 20_000)[0] == "100"
    assert without_marks("é" + " PR!" * 20_000 + "x")[1] is None
