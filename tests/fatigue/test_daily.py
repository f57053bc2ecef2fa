"""Load per calendar day."""

from __future__ import annotations

import polars as pl
from tests.load.rows import day, log, work

from plateline.fatigue import daily_load


def test_rest_days_are_true_zeros_and_every_day_is_there():
    table = daily_load(log(*[work("Back squat", 100, 10, date=day(d)) for d in (0, 3)]))
    assert table["date"].to_list() == [day(n) for n in range(4)]
    assert table["volume_load_kg"].to_list() == [1000.0, 0.0, 0.0, 1000.0]
    assert table["trained"].to_list() == [True, False, False, True]
    assert table["session_rpe_load"].to_list() == [None, 0.0, 0.0, None]


def test_ratings_belong_to_their_day():
    sets = log(*[work("Back squat", 100, 10, date=day(d)) for d in (0, 3)])
    checkins = pl.DataFrame(
        {"client": ["ann"], "date": [day(3)], "session_rpe": [8.0], "session_min": [50.0]}
    )
    assert daily_load(sets, checkins=checkins)["session_rpe_load"].to_list() == [
        None,
        0.0,
        0.0,
        400.0,
    ]


def test_each_client_has_their_own_calendar():
    sets = log(work("Back squat", 100, 10), work("Back squat", 100, 10, client="bo", date=day(9)))
    assert daily_load(sets)["client"].to_list() == ["ann", "bo"]


def test_nothing_gives_an_empty_table():
    assert daily_load(log()).is_empty()
