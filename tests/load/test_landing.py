"""Work by lift, muscle, pattern and position over sessions, weeks, months and blocks."""

from __future__ import annotations

import polars as pl
import pytest

from plateline.errors import UnknownNameError
from plateline.load import load_by, weekly_load, weekly_muscles, weekly_patterns
from plateline.load.landing import LANDINGS
from plateline.load.stretches import STRETCHES, plan_blocks
from plateline.study import simulate_lifters

from .rows import day, log, plan, work

SETS = log(
    *[work("Bench press", 80, 8, date=day(d), session="A") for d in (0, 0, 2, 26, 27)],
    work("Triceps pushdown", 30, 12, date=day(0), session="A"),
    work("Triceps pushdown", 30, 12, date=day(0), session="B"),
)


def counts(table: pl.DataFrame, name: str) -> list[tuple]:
    return table.filter(pl.col("name") == name).select("start", "hard_sets").rows()


def test_muscles_by_month():
    table = load_by(SETS, "muscle", "month")
    january, february = day(0).replace(day=1), day(27)
    assert counts(table, "chest") == [(january, 4.0), (february, 1.0)]
    assert counts(table, "triceps") == [(january, 2 + 0.5 * 4), (february, 0.5)]


def test_muscles_by_session():
    table = load_by(SETS, "muscle", "session").filter(pl.col("name") == "triceps")
    assert table.select("start", "label", "hard_sets").rows()[:2] == [
        (day(0), "A", 1 + 0.5 * 2),
        (day(0), "B", 1.0),
    ]


def test_positions_and_patterns_by_block():
    blocks = plan({"exercise": "Bench press"}, weeks=2)
    patterns = load_by(SETS, "pattern", "block", plan=blocks)
    assert patterns["label"].unique().to_list() == ["one"]
    assert counts(patterns, "horizontal push") == [(day(0), 3.0)]
    positions = load_by(SETS, "position", "block", plan=blocks)
    assert positions["hard_sets"].sum() == 5.0
    assert positions["end"].unique().to_list() == [day(13)]


def test_weeks_agree_with_the_weekly_tables():
    sets, _ = simulate_lifters(4, weeks=8, seed=2)
    muscles = load_by(sets, "muscle", "week")
    weekly = weekly_muscles(sets)
    shared = {"start": "week", "name": "muscle", "days": "sessions"}
    assert muscles.rename(shared).select(weekly.columns).equals(weekly)
    patterns = load_by(sets, "pattern", "week").rename({"start": "week", "name": "pattern"})
    columns = ["client", "week", "pattern", "hard_sets", "is_partial"]
    assert patterns.select(columns).equals(weekly_patterns(sets).select(columns))
    lifts = load_by(sets, "exercise", "week")
    assert lifts["hard_sets"].equals(weekly_load(sets)["hard_sets"])


@pytest.mark.parametrize("per", STRETCHES)
@pytest.mark.parametrize("by", LANDINGS)
def test_nothing_gives_an_empty_table(by, per):
    assert load_by(log(), by, per).is_empty()
    assert load_by(SETS, by, per).is_empty() == (per == "block")  # there is no plan


@pytest.mark.parametrize(
    ("by", "per", "said"),
    [
        ("muscles", "week", "no way to sort work 'muscles'. Did you mean 'muscle'"),
        ("muscle", "year", "no stretch of time 'year'. There is 'block', 'month'"),
    ],
)
def test_other_words_are_refused(by, per, said):
    with pytest.raises(UnknownNameError, match=said):
        load_by(SETS, by, per)


def test_a_block_ends_where_the_next_begins():
    blocks = plan_blocks(
        plan(
            {"exercise": "Bench press", "weeks": 8},
            {"exercise": "Bench press", "block": "two", "start": day(14), "weeks": 2},
        )
    )
    assert blocks.select("block", "start", "end").rows() == [
        ("one", day(0), day(13)),
        ("two", day(14), day(27)),
    ]
