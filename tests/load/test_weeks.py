"""Which weeks are partial."""

from __future__ import annotations

import polars as pl
import pytest

from plateline.load.weeks import monday, partial_weeks

from .rows import day


def days(*numbers: int, client: str = "ann") -> pl.DataFrame:
    return pl.DataFrame({"client": [client] * len(numbers), "date": [day(n) for n in numbers]})


def partial(*numbers: int) -> list[bool]:
    return partial_weeks(days(*numbers))["is_partial"].to_list()


def test_a_monday_wednesday_friday_lifter_has_whole_weeks():
    assert partial(0, 2, 4, 7, 9, 11, 14, 16, 18) == [False, False, False]


def test_a_log_that_ends_before_the_last_usual_day_leaves_a_partial_week():
    assert partial(0, 2, 4, 7, 9, 11, 14, 16) == [False, False, True]


def test_a_log_that_begins_after_the_first_usual_day_begins_with_a_partial_week():
    assert partial(2, 4, 7, 9, 11, 14, 16, 18) == [True, False, False]


@pytest.mark.parametrize(("fridays", "is_partial"), [(1, False), (2, True), (3, True)])
def test_a_day_of_half_of_the_weeks_is_usual(fridays, is_partial):
    inner = [7 * week + d for week in range(1, 5) for d in (0, 2, 4) if d < 4 or week <= fridays]
    assert partial(0, 2, 4, *inner, 35, 37) == [False] * 5 + [is_partial]


def test_a_week_in_the_middle_is_never_partial():
    assert partial(0, 2, 4, 7, 14, 16, 18, 21, 23, 25) == [False] * 4


def test_without_weeks_in_between_the_calendar_decides():
    assert partial(0, 6) == [False]
    assert partial(0, 2, 4) == [True]
    assert partial(0, 6, 7, 12) == [False, True]


def test_an_irregular_lifter_is_judged_by_the_calendar():
    assert partial(1, 9, 18, 27, 29) == [True, False, False, False, True]


def test_clients_are_judged_by_their_own_days():
    both = pl.concat([days(0, 2, 4, 7, 9, 11, 14, 16), days(1, 8, 15, client="bo")])
    table = partial_weeks(both)
    assert table.filter(pl.col("client") == "bo")["is_partial"].to_list() == [False] * 3


@pytest.mark.parametrize(("number", "week"), [(0, 0), (6, 0), (7, 7), (-1, -7)])
def test_a_week_is_named_by_its_monday(number, week):
    frame = pl.DataFrame({"date": [day(number)]})
    assert frame.select(monday(pl.col("date"))).item() == day(week)
