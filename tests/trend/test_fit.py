"""One fit answers every question about a day as each question's own fit does."""

from __future__ import annotations

import datetime as dt

import polars as pl
import pytest

from plateline import trend
from plateline.exercises import read_logbook
from plateline.places import data_demo

DAY = dt.date(2026, 2, 28)


@pytest.fixture(scope="module")
def club():
    return read_logbook([data_demo()])


def test_a_shared_fit_changes_no_bit(club):
    beside = {"catalogue": club.catalogue, "checkins": club.checkins, "plan": club.plan}
    fit = trend.fit_log(club.sets, DAY, **beside)
    for ask in (
        lambda **fitted: trend.lift_status(
            club.sets, DAY, clients=club.clients, **beside, **fitted
        ),
        lambda **fitted: trend.lift_curves(club.sets, DAY, **beside, **fitted),
        lambda **fitted: trend.backtest(club.sets, DAY, **beside, **fitted),
        lambda **fitted: trend.targets(club.sets, reps=8, rir=2, as_of=DAY, **beside, **fitted),
    ):
        assert ask(fit=fit).equals(ask())


def test_nothing_to_fit_is_none(club):
    empty = club.sets.with_columns(reps=pl.lit(0, pl.Int32))
    assert trend.fit_log(empty, DAY) is None
