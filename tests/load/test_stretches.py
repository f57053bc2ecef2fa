"""Stretches of time: where they begin and end, and which of them the log covers only in part."""

from __future__ import annotations

from datetime import date

import polars as pl
import pytest

from plateline.errors import UnknownNameError
from plateline.load.stretches import in_stretches, plan_blocks

from .rows import day, log, plan, work


def on(*days: date) -> pl.DataFrame:
    return log(*[work("Squat", 100, 5, date=d, session="A") for d in days])


@pytest.mark.parametrize(
    ("first", "last", "is_partial"),
    [(7, 25, False), (8, 25, True), (7, 24, True), (1, 31, False)],
)
def test_a_month_that_lacks_a_week_at_either_end_is_partial(first, last, is_partial):
    table = in_stretches(on(date(2026, 1, first), date(2026, 1, last)), "month")
    assert table["start"].unique().to_list() == [date(2026, 1, 1)]
    assert table["end"].unique().to_list() == [date(2026, 1, 31)]
    assert table["is_partial"].unique().to_list() == [is_partial]


def test_a_session_is_whole_and_named_as_logged():
    table = in_stretches(on(day(3)), "session")
    assert table.select("start", "end", "label", "is_partial").row(0) == (
        day(3),
        day(3),
        "A",
        False,
    )


def test_rows_outside_every_block_are_left_out():
    blocks = plan({"exercise": "Squat"}, start=day(7), weeks=1)
    table = in_stretches(on(day(6), day(7), day(13), day(14)), "block", blocks)
    assert table.select("date", "label").rows() == [(day(7), "one"), (day(13), "one")]


def test_blocks_end_where_the_next_begins():
    blocks = plan_blocks(
        plan(
            {"exercise": "Squat", "block": "long", "weeks": 8},
            {"exercise": "Squat", "block": "next", "start": day(10), "weeks": 2},
            {"exercise": "Squat", "block": "bo's", "start": day(3), "weeks": 1, "client": "bo"},
        )
    )
    assert blocks.select("client", "block", "start", "end").rows() == [
        ("ann", "long", day(0), day(9)),
        ("ann", "next", day(10), day(23)),
        ("bo", "bo's", day(3), day(9)),
    ]


def test_another_stretch_is_refused():
    with pytest.raises(UnknownNameError, match="no stretch of time 'year'"):
        in_stretches(on(day(0)), "year")
