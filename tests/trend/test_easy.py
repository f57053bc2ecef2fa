"""Easy sets and days that nobody marked move neither state nor load."""

from __future__ import annotations

import datetime as dt

import numpy as np
import polars as pl
import pytest

from plateline.trend import lift_status, targets
from plateline.trend.easy import easy_days

from .lifters import AS_OF, lifter, turning


def test_an_easy_day_seems_as_much_weaker_as_it_is_lighter():
    lighter, weaker = np.array([15.0, 15, 15, 5]), np.array([15.0, 5, 15, 5])
    logged = np.array([0.0, 0.0, 1.0, 0.0])
    assert easy_days(lighter, weaker, logged).tolist() == [True, False, False, False]


def said(log: pl.DataFrame) -> tuple[float, float, float]:
    """Return the probability of progress, the slope and the load for 8 with 2 in reserve."""
    row = lift_status(log, AS_OF).row(0, named=True)
    load = targets(log, reps=8, rir=2, as_of=AS_OF)["load_kg"][0]
    return row["p_progressing"], row["slope_pct_week"], load


@pytest.fixture(scope="module")
def log() -> pl.DataFrame:
    return lifter(turning(0.6, 0.0, 12), rir=None)


def test_unmarked_warm_ups_change_nothing(log):
    ramp = [
        log.with_columns(
            pl.col("load_kg") * share,
            reps=pl.lit(reps, pl.Int32),
            set_order=pl.lit(order, pl.Int32),
        )
        for order, share, reps in ((1, 0.5, 12), (2, 0.75, 10))
    ]
    work = log.with_columns(set_order=pl.lit(3, pl.Int32))
    assert said(pl.concat([*ramp, work])) == said(log)


@pytest.mark.parametrize("weeks_ago", [0, 4])
def test_an_unmarked_light_week_is_no_decline_and_teaches_no_curve(log, weeks_ago):
    end = AS_OF - dt.timedelta(weeks=weeks_ago)
    light = pl.col("date").is_between(end - dt.timedelta(days=6), end)
    lightened = log.with_columns(load_kg=pl.col("load_kg") * pl.when(light).then(0.85).otherwise(1))
    p, slope, load = said(lightened)
    expected = said(log)
    assert p == pytest.approx(expected[0], abs=0.15)
    assert slope == pytest.approx(expected[1], abs=0.1)
    assert load == pytest.approx(expected[2], rel=0.015)
