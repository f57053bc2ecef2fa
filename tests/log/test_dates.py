"""Dates in every usual form, and the order that a whole file settles."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plateline.errors import AmbiguousDateError
from plateline.log.date_order import DateReader
from plateline.log.dates import MONTHS, looks_like_date, written

TODAY = dt.date(2026, 11, 25)
SECOND_OF_MARCH = dt.date(2026, 3, 2)


def reader(*texts: str, order: str | None = None, year: int | None = None) -> DateReader:
    return DateReader(texts, "log.csv", today=TODAY, order=order, year=year)


@pytest.mark.parametrize(
    "text",
    [
        "2026-03-02", "2026/03/02", "2026.3.2", "20260302", "2026-03-02T18:30:00Z",
        "2026-03-02 18:30:00+02:00", "2026-03-02 6:30 PM", "2 March 2026", "March 2, 2026", "Mar 2nd, 2026",
        "02-Mar-26", "Mon, 2 Mar 2026", "2. März 2026", "Montag, 2. März 2026", "2 mars 2026",
        "lundi 2 mars 2026", "2 de marzo de 2026", "lunes, 2 de marzo de 2026", "2 marzo 2026",
        "lunedì 2 marzo 2026", "2 de março de 2026", "segunda-feira, 2 de março de 2026", "46083",
        "46083.75", "2026-W10-1", "1772409600", "02 Mar 2026 18:30 Uhr",
    ],
)  # fmt: skip
def test_dates_that_say_themselves(text: str) -> None:
    day, _, reason = reader(text).read(text)
    assert (day, reason) == (SECOND_OF_MARCH, None)


def test_serial_numbers_count_from_the_1900_date_base() -> None:
    # ISO/IEC 29500-1, 18.17.4.1: 1900 date base; serial 36526 is 1 January 2000 (from memory).
    assert written("36526").day == dt.date(2000, 1, 1)


def test_the_time_of_day_is_kept() -> None:
    assert written("2026-03-02T18:30:15Z").time_s == 18 * 3600 + 30 * 60 + 15
    assert written("3/2/26 12:05 AM").time_s == 5 * 60
    assert written("46083.75").time_s == 18 * 3600


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


@pytest.mark.parametrize("text", ["100", "46083", "5.5", "100x5", "Squat", "3x10@60", "8-10", ""])
def test_loads_and_lifts_are_no_dates(text: str) -> None:
    assert not looks_like_date(text)


@given(st.dates(dt.date(1950, 1, 1), TODAY), st.sampled_from(sorted(MONTHS)))
def test_a_month_name_in_any_language_is_its_month(day: dt.date, name: str) -> None:
    if MONTHS[name] == day.month:
        assert written(f"{day.day} {name} {day.year}").day == day


@given(st.dates(dt.date(1970, 1, 1), TODAY), st.sampled_from(["dmy", "mdy", "ymd"]))
def test_the_order_given_is_kept(day: dt.date, order: str) -> None:
    form = {"dmy": "%d/%m/%Y", "mdy": "%m/%d/%Y", "ymd": "%Y/%m/%d"}[order]
    text = day.strftime(form)
    assert reader(text, order=order).read(text)[0] == day


@given(st.text(max_size=40))
def test_any_text_is_a_date_or_a_reason(text: str) -> None:
    try:
        day, _, reason = reader(text).read(text)
    except AmbiguousDateError:
        return
    assert (day is None) != (reason is None)
