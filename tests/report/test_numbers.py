"""Numbers and dates as people read them."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plateline.report.numbers import (
    MINUS,
    NBSP,
    Units,
    count,
    day,
    day_range,
    fixed,
    interval,
    number,
    percent,
    share,
)
from plateline.words import KG_PER_LB


def test_a_ratio_keeps_its_decimals() -> None:
    said = [fixed(1.0), fixed(-0.004), fixed(-1.26, 1), fixed(None)]
    assert said == ["1.00", "0.00", f"{MINUS}1.3", "?"]


@pytest.mark.parametrize(
    ("value", "digits", "said"),
    [
        (82.5, 2, "82.5"),
        (80.0, 2, "80"),
        (-0.004, 1, "0"),
        (-2.5, 1, f"{MINUS}2.5"),
        (None, 1, "?"),
    ],
)
def test_a_number_has_no_digits_that_say_nothing(
    value: float | None, digits: int, said: str
) -> None:
    assert number(value, digits) == said


def test_an_unknown_number_is_said_to_be_unknown() -> None:
    assert number(float("nan")) == "?"
    assert percent(None) == "?"
    assert share(float("inf")) == "?"
    assert Units().load(None) == "?"
    assert day(None) == "?"


def test_per_cent_keeps_its_sign_and_never_shows_minus_nought() -> None:
    assert percent(2.13, sign=True) == f"+2.1{NBSP}%"
    assert percent(-2.13) == f"{MINUS}2.1{NBSP}%"
    assert percent(-0.01) == f"0.0{NBSP}%"


@given(st.floats(0.0001, 0.9999))
def test_a_probability_is_never_rounded_to_certainty(p: float) -> None:
    assert share(p) not in (f"0{NBSP}%", f"100{NBSP}%")


def test_both_ends_of_an_interval_have_the_same_digits() -> None:
    assert interval(1.0, 3.04, 1, "%") == f"1.0 to 3.0{NBSP}%"
    assert interval(-0.04, 3.0, 1) == "0.0 to 3.0"


def test_the_pound_is_the_international_one() -> None:
    # International yard and pound agreement, 1959: 1 lb = 0.45359237 kg exactly.
    assert KG_PER_LB == 0.45359237


@given(st.integers(1, 2000))
def test_a_load_typed_in_pounds_comes_back_as_typed(half_pounds: int) -> None:
    pounds = half_pounds / 2
    assert Units("lb").load(pounds * KG_PER_LB) == f"{number(pounds, 1)}{NBSP}lb"


def test_estimates_show_three_digits_and_logged_loads_all() -> None:
    assert Units().estimate(104.23) == f"104{NBSP}kg"
    assert Units().estimate(42.53) == f"42.5{NBSP}kg"
    assert Units().load(43.75) == f"43.75{NBSP}kg"
    assert Units().estimate_interval(98.2, 104.4) == f"98 to 104{NBSP}kg"


def test_days_and_stretches_of_days() -> None:
    assert day(dt.date(2026, 5, 12)) == f"12{NBSP}May"
    assert day_range(dt.date(2026, 5, 2), dt.date(2026, 5, 22)) == f"2 to 22{NBSP}May"
    assert day_range(dt.date(2026, 4, 28), dt.date(2026, 5, 3)) == f"28{NBSP}Apr to 3{NBSP}May"


def test_counts_agree_with_their_noun() -> None:
    assert count(1, "set") == f"1{NBSP}set"
    assert count(0, "set") == "no sets"
    assert count(1200, "set") == f"1,200{NBSP}sets"
