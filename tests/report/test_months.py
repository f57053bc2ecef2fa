"""Which month a report is about."""

from __future__ import annotations

import datetime as dt

import polars as pl
import pytest

from plateline.errors import NoResultError, UsageError
from plateline.report.months import (
    as_month,
    last_full_month,
    month_end,
    month_name,
    previous_month,
)
from plateline.report.work import in_month, last_day_of_weeks


def dates(*days: str) -> pl.DataFrame:
    return pl.DataFrame({"date": [dt.date.fromisoformat(day) for day in days]})


@pytest.mark.parametrize(
    ("last", "month"),
    [
        ("2026-03-31", "2026-03"),
        ("2026-03-27", "2026-03"),
        ("2026-03-26", "2026-02"),
        ("2026-04-03", "2026-03"),
        ("2024-02-29", "2024-02"),
    ],
)
def test_the_last_month_that_the_log_covers_to_its_end(last: str, month: str) -> None:
    assert last_full_month(dates("2023-10-02", last)) == as_month(month)


def test_a_log_that_covers_no_month_gives_the_one_it_is_in() -> None:
    assert last_full_month(dates("2026-03-02", "2026-03-09")) == dt.date(2026, 3, 1)


def test_an_empty_log_has_no_month() -> None:
    with pytest.raises(NoResultError, match="no set"):
        last_full_month(dates())


def test_months_are_read_from_text_and_dates() -> None:
    assert as_month("2026-03") == as_month(dt.date(2026, 3, 17)) == dt.date(2026, 3, 1)
    assert as_month("") is None
    with pytest.raises(UsageError, match="2026-03"):
        as_month("March")


def test_ends_and_names() -> None:
    assert month_end(dt.date(2024, 2, 1)) == dt.date(2024, 2, 29)
    assert previous_month(dt.date(2026, 1, 1)) == dt.date(2025, 12, 1)
    assert month_name(dt.date(2026, 3, 1)) == "March 2026"


def test_every_iso_week_belongs_to_exactly_one_month() -> None:
    mondays = pl.DataFrame(
        {"week": pl.date_range(dt.date(2024, 1, 1), dt.date(2026, 12, 28), "1w", eager=True)}
    )
    months = pl.date_range(dt.date(2024, 1, 1), dt.date(2026, 12, 1), "1mo", eager=True).to_list()
    counted = mondays.with_columns(
        pl.sum_horizontal(in_month("week", month).cast(pl.Int32) for month in months).alias("times")
    )
    assert counted["times"].unique().to_list() == [1]


def test_the_first_week_of_a_year_follows_iso_8601() -> None:
    # ISO 8601: the week of 29 December 2025 holds the first Thursday of 2026, so it is 2026-W01.
    week = pl.DataFrame({"week": [dt.date(2025, 12, 29)]})
    assert week.select(in_month("week", dt.date(2026, 1, 1))).item()
    assert last_day_of_weeks(dt.date(2025, 12, 1)) == dt.date(2025, 12, 28)
