"""Readiness by week."""

from __future__ import annotations

import polars as pl
import pytest
from tests.load.rows import day, log, work

from plateline.fatigue import readiness

RATINGS = ("sleep", "stress", "fatigue", "soreness")


def training(weeks: int) -> pl.DataFrame:
    return log(
        *[work("Back squat", 100, 10, date=day(7 * w + d)) for w in range(weeks) for d in (0, 2, 4)]
    )


def daily(days: int, **columns: list | float) -> pl.DataFrame:
    return pl.DataFrame(
        {"client": ["ann"] * days, "date": [day(n) for n in range(days)]}
    ).with_columns(
        (pl.Series(name, value) if isinstance(value, list) else pl.lit(value)).alias(name)
        for name, value in columns.items()
    )


def last(table: pl.DataFrame) -> dict:
    return table.row(-1, named=True)


def test_means_are_of_the_week():
    checkins = daily(
        42, sleep_h=[7.0, 8.0] * 21, energy_kcal=2500.0, protein_g=140.0, body_mass_kg=70.0
    )
    row = last(readiness(training(6), checkins))
    assert row["checkins"] == 7
    assert row["energy_kcal"] == 2500.0
    assert row["protein_g_kg"] == 2.0
    assert row["is_short_sleep"] is False
    assert row["is_losing_mass"] is False
    assert row["load_ratio"] == 1.0


def test_short_sleep_by_hours_or_by_rating():
    assert last(readiness(training(5), daily(35, sleep_h=6.5)))["is_short_sleep"] is True
    assert last(readiness(training(5), daily(35, sleep=6.0)))["is_short_sleep"] is True
    assert last(readiness(training(5), daily(35, sleep=2.0)))["is_short_sleep"] is False


def test_a_week_above_ones_own_habit_is_one_of_high_fatigue():
    ratings = [3.0, 2.0] * 14 + [5.0] * 7
    checkins = daily(35, **dict.fromkeys(RATINGS, ratings))
    table = readiness(training(5), checkins)
    assert table["is_high_fatigue"].to_list() == [None, False, False, False, True]


@pytest.mark.parametrize(("last_ratings", "high"), [([15], False), ([16], True), ([15, 15], True)])
def test_a_single_rating_must_lie_further_above_habit(last_ratings, high):
    # Usual: 10 and 14 in turn over eight weeks, mean 12, sample SD 2.138; 15 is 1.40 SD above.
    indices = [10, 14] * 4 + last_ratings
    days = [day(7 * n) for n in range(8)] + [day(56 + n) for n in range(len(last_ratings))]
    checkins = pl.DataFrame(
        {"client": ["ann"] * len(days), "date": days}
        | {item: [index / 4 for index in indices] for item in RATINGS}
    )
    assert last(readiness(training(9), checkins))["is_high_fatigue"] is high


def test_losing_mass_is_a_slope():
    falling = [80 * 0.99 ** (n / 7) for n in range(35)]
    assert last(readiness(training(5), daily(35, body_mass_kg=falling)))["is_losing_mass"] is True


def test_gaps_are_gaps():
    checkins = daily(7, sleep_h=8.0)
    table = readiness(training(3), checkins)
    assert table["sleep_h"].to_list() == [8.0, None, None]
    assert table["is_short_sleep"].to_list() == [False, None, None]
    assert table["reason"][1] == "no check-in in the week"
    assert table["reason"][0] == "not logged: Hooper index, energy, protein, body mass"


def test_without_check_ins_only_load_is_known():
    row = last(readiness(training(5), None))
    assert row["load_ratio"] == 1.0
    assert row["checkins"] == 0
    assert row["is_high_fatigue"] is None


def test_a_session_rating_alone_is_no_check_in():
    row = last(readiness(training(5), daily(35, session_rpe=8.0, session_min=60.0)))
    assert row["reason"] == "no check-in in the week"


def test_nothing_gives_an_empty_table():
    assert readiness(log(), None).is_empty()
