"""Climbs far beyond the usual are taken off before sessions are compared."""

from __future__ import annotations

import datetime as dt

import numpy as np
import polars as pl
import pytest

from plateline.strength import e1rm
from plateline.trend import lift_curves, lift_status
from plateline.trend.assumptions import CLIMB_PCT_WEEK
from plateline.trend.climbs import climbs
from plateline.trend.neighbours import windows


def _climbed(y, *, gap_days: float = 3.5):
    lift = np.zeros(len(y), dtype=np.int64)
    return climbs(lift, np.arange(len(y)) * gap_days, np.asarray(y, float), windows(lift, 6))


def test_an_ordinary_lift_is_not_touched() -> None:
    rng = np.random.default_rng(1)
    climbed, pace = _climbed(0.4 * np.arange(40) + rng.normal(0, 2.0, 40))
    assert not climbed.any()
    assert not pace.any()


def test_of_a_steep_climb_what_is_beyond_the_usual_is_told() -> None:
    climbed, pace = _climbed(3.0 * np.arange(16))  # 6 % a week
    assert pace == pytest.approx(np.full(16, 6 - CLIMB_PCT_WEEK))
    assert climbed == pytest.approx((6 - CLIMB_PCT_WEEK) / 2 * np.arange(16))


def test_a_steep_fall_has_the_other_sign() -> None:
    assert _climbed(-3.0 * np.arange(16))[0] == pytest.approx(-_climbed(3.0 * np.arange(16))[0])


@pytest.mark.parametrize("at", [0, 7, 15])
def test_one_mistyped_session_is_no_climb(at: int) -> None:
    y = np.zeros(16)
    y[at] = 230.0  # tenfold
    assert not _climbed(y)[0].any()


def test_a_light_week_is_no_fall() -> None:
    y = 0.3 * np.arange(16)
    y[12:14] -= 15
    assert not _climbed(y)[0].any()


def test_too_few_sessions_show_no_climb() -> None:
    assert not _climbed([0.0, 20.0, 40.0, 60.0])[0].any()


def test_lifts_do_not_reach_each_other() -> None:
    steep = 3.0 * np.arange(16)
    alone = _climbed(steep)[0]
    lift = np.repeat([0, 1, 2], 16)
    day = np.tile(np.arange(16) * 3.5, 3)
    together = climbs(lift, day, np.r_[np.zeros(16), steep, np.zeros(16)], windows(lift, 6))[0]
    assert together[16:32] == pytest.approx(alone)
    assert not together[:16].any()
    assert not together[32:].any()


def _beginner(per_week: int, *, weeks: int = 8) -> pl.DataFrame:
    rows = [
        (
            dt.date(2026, 1, 5) + dt.timedelta(days=7 * week + 3 * turn),
            order,
            40 + 5.0 * (week + turn / per_week),
        )
        for week in range(weeks)
        for turn in range(per_week)
        for order in (1, 2, 3)
    ]
    return pl.DataFrame(rows, schema=["date", "set_order", "load_kg"], orient="row").with_columns(
        client=pl.lit("new"), exercise=pl.lit("Back squat"), reps=8, rir=2.0
    )


@pytest.mark.parametrize("per_week", [1, 2])
def test_the_line_follows_a_beginner(per_week: int) -> None:
    """Five kilograms more every week for eight weeks: no session is odd, the line goes along."""
    sets = _beginner(per_week)
    state = lift_status(sets).row(0, named=True)
    assert state["state"] == "progressing"
    assert 6 < state["slope_pct_week"] < 12  # 40 to 75 kg in seven weeks: 9 % a week
    seen = lift_curves(sets).filter(pl.col("kind") == "session")
    said = [e1rm(load, 8, 2) for load in seen["load_kg"]]
    assert seen["observed_kg"].to_list() == pytest.approx(said, rel=0.08)
    assert seen["fitted_kg"].to_list() == pytest.approx(said, rel=0.12)
    assert seen["context"].drop_nulls().len() <= 1
