"""Dates in every usual form, and the order that a whole file settles."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plateline.errors import AmbiguousDateError
from plateline.log.date_order import DateReader
from plateline.log.dates import MONTHS, date_within, looks_like_date, written

TODAY = dt.date(2026, 11, 25)


SECOND_OF_MARCH = dt.date(2026, 3, 2)


@pytest.mark.parametrize("text", ["Mo 09.02.26", "Mo, 09.02.26", "Mo. 09.02.26", "lun 09.02.26"])
def test_the_day_behind_its_weekday_is_no_time(text: str) -> None:
    assert written(text).parts == (9, 2, 26)
    assert written("Mo 09.02.").without_year == (9, 2)
    assert written("09.02.26 18.30").time_s == 18 * 3600 + 30 * 60


def reader(*texts: str, order: str | None = None, year: int | None = None) -> DateReader:
    return DateReader(
        texts, "log.csv", today=TODAY, order=order, years=() if year is None else (year,)
    )


@pytest.mark.parametrize(
    "text",
    [
        "2026-03-02", "2026/03/02", "2026.3.2", "20260302", "2026-03-02T18:30:00Z",
        "2026-03-02 18:30:00+02:00", "2026-03-02 6:30 PM", "2 March 2026", "March 2, 2026", "Mar 2nd, 2026",
        "02-Mar-26", "Mon, 2 Mar 2026", "2. März 2026", "Montag, 2. März 2026", "2 mars 2026",
        "lundi 2 mars 2026", "2 de marzo de 2026", "lunes, 2 de marzo de 2026", "2 marzo 2026",
        "lunedì 2 marzo 2026", "2 de março de 2026", "segunda-feira, 2 de março de 2026", "46083",
        "46083.75", "2026-W10-1", "1772409600", "02 Mar 2026 18:30 Uhr", "2026-03-02 6pm",
        "Mon Mar 02 2026 07:15:00 GMT+0100 (Central European Standard Time)", "2026-03-02 07:15 CET",
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


@pytest.mark.parametrize("text", ["100", "46083", "5.5", "100x5", "Squat", "3x10@60", "8-10", ""])
def test_loads_and_lifts_are_no_dates(text: str) -> None:
    assert not looks_like_date(text)


@given(st.dates(dt.date(1950, 1, 1), TODAY), st.sampled_from(sorted(MONTHS)))
def test_a_month_name_in_any_language_is_its_month(day: dt.date, name: str) -> None:
    if MONTHS[name] == day.month:
        assert written(f"{day.day} {name} {day.year}").day == day


@given(st.text(max_size=40))
def test_any_text_is_a_date_or_a_reason(text: str) -> None:
    try:
        day, _, reason = reader(text).read(text)
    except AmbiguousDateError:
        return
    assert (day is None) != (reason is None)


@pytest.mark.parametrize(
    ("header", "day"),
    [
        ("03.03.2025", "03.03.2025"),
        ("Week 1 (03/03/2025)", "03/03/2025"),
        ("Woche 10 - 03.03.2025", "03.03.2025"),
        ("Push 2025-03-03", "2025-03-03"),
        ("Week 1", None),
        ("Squat 100x5", None),
        ("Set 1", None),
    ],
)
def test_a_header_may_hold_a_date(header: str, day: str | None) -> None:
    assert date_within(header) == day
