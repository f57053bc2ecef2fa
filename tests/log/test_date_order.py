"""The order of day and month: settled by the whole file, or asked for."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plateline.errors import AmbiguousDateError
from plateline.log.date_order import DateReader

TODAY = dt.date(2026, 11, 25)


SECOND_OF_MARCH = dt.date(2026, 3, 2)


def reader(*texts: str, order: str | None = None, year: int | None = None) -> DateReader:
    return DateReader(
        texts, "log.csv", today=TODAY, order=order, years=() if year is None else (year,)
    )


@pytest.mark.parametrize("separator", ["/", "-", ".", " "])
def test_one_date_settles_the_file(separator: str) -> None:
    day_first = [f"02{separator}03{separator}2026", f"25{separator}03{separator}2026"]
    month_first = [f"03{separator}02{separator}2026", f"03{separator}25{separator}2026"]
    assert reader(*day_first).read(day_first[0])[0] == SECOND_OF_MARCH
    assert reader(*month_first).read(month_first[0])[0] == SECOND_OF_MARCH


def test_a_weekday_settles_the_file() -> None:
    assert reader("Mon 02/03/2026").read("Mon 02/03/2026")[0] == SECOND_OF_MARCH
    assert reader("Mon 03/02/2026").read("Mon 03/02/2026")[0] == SECOND_OF_MARCH


def test_open_dates_are_refused_and_the_order_asked_for() -> None:
    with pytest.raises(AmbiguousDateError, match="--date-order"):
        reader("02/03/2026", "04/05/2026")


def test_dates_that_read_the_same_either_way_are_no_doubt() -> None:
    assert reader("03/03/2026").read("03/03/2026")[0] == dt.date(2026, 3, 3)


def test_contradicting_dates_are_refused() -> None:
    with pytest.raises(AmbiguousDateError, match="mixes orders"):
        reader("25/03/2026", "03/25/2026")


def test_two_digit_years_that_may_lead_are_refused() -> None:
    with pytest.raises(AmbiguousDateError, match="--date-order ymd"):
        reader("26-03-02", "26-03-05", "26-03-09")
    assert reader("26-03-02", order="ymd").read("26-03-02")[0] == SECOND_OF_MARCH


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("2026-02-30", "does not exist"), ("2027-01-01", "future"), ("1949-12-31", "before 1950"),
        ("yesterday", "not a date"), ("2 March", "no year"), ("02.03.", "no year"), ("Monday", "not a date"),
    ],
)  # fmt: skip
def test_refused_dates_say_why(text: str, words: str) -> None:
    day, _, reason = reader(text).read(text)
    assert day is None
    assert words in (reason or "")


def test_a_year_above_the_table_serves_dates_without_one() -> None:
    found = reader("2 March", year=2026)
    assert found.read("2 March")[0] == SECOND_OF_MARCH
    assert "2026" in found.assumptions[0]


@given(st.dates(dt.date(1970, 1, 1), TODAY), st.sampled_from(["dmy", "mdy", "ymd"]))
def test_the_order_given_is_kept(day: dt.date, order: str) -> None:
    form = {"dmy": "%d/%m/%Y", "mdy": "%m/%d/%Y", "ymd": "%Y/%m/%d"}[order]
    text = day.strftime(form)
    assert reader(text, order=order).read(text)[0] == day
