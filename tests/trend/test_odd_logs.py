"""Logs that are thin, odd or wrong: an answer or a sentence, never a surprise."""

from __future__ import annotations

import datetime as dt

import numpy as np
import polars as pl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plateline.trend import backtest, lift_curves, lift_status, targets
from plateline.words import LIFT_STATUS_DETAIL, SETS, conform

from .lifters import AS_OF, lifter, steady


def every_answer(log: pl.DataFrame, as_of: dt.date | None = None) -> pl.DataFrame:
    """Ask for everything, check what must always hold, return the status."""
    status = lift_status(log, as_of)
    assert status.schema == pl.Schema(LIFT_STATUS_DETAIL)
    p = status.select("p_progressing", "p_plateau", "p_declining").to_numpy()
    assert np.isfinite(p).all()
    assert ((p >= 0) & (p <= 1)).all()
    assert p.sum(1) == pytest.approx(np.ones(len(p)), abs=1e-6)
    numbers = status.select(pl.col(pl.Float64)).to_numpy()
    assert not np.isinf(numbers).any()
    assert not any(status.select(pl.col(pl.Float64).is_nan().any()).row(0))
    for low, middle, high in (
        ("slope_low", "slope_pct_week", "slope_high"),
        ("strength_low", "strength_kg", "strength_high"),
        ("forecast_low", "forecast_kg", "forecast_high"),
        ("since_low", "since", "since_high"),
    ):
        rows = status.filter(pl.col(middle).is_not_null())
        assert (rows[low] <= rows[middle]).all(), middle
        assert (rows[middle] <= rows[high]).all(), middle
    loads = targets(log, reps=8, rir=2, as_of=as_of)
    assert loads.height == status.height
    assert not loads["load_kg"].is_nan().any()
    curves = lift_curves(log, as_of)
    assert not any(curves.select(pl.col(pl.Float64).is_nan().any()).row(0))
    backtest(log, as_of)
    return status


def test_one_set():
    row = every_answer(lifter(steady(0.3)).head(1)).row(0, named=True)
    assert row["state"] == "unclear"
    assert row["sessions"] == 1


def test_many_sets_of_one_day_are_one_session():
    log = lifter(steady(0.3)).with_columns(date=pl.lit(AS_OF))
    assert every_answer(log)["sessions"].to_list() == [1]


def test_two_years_of_a_lift():
    log = lifter(steady(0.3), weeks=110)
    row = every_answer(log, AS_OF).row(0, named=True)
    assert row["state"] == "progressing"
    assert row["since"] >= AS_OF - dt.timedelta(weeks=60)
    assert lift_curves(log, AS_OF)["fitted_kg"].null_count() == 0


def test_missing_values_are_left_out():
    log = lifter(steady(0.3))
    holes = pl.concat(
        [
            log,
            log.head(2).with_columns(reps=pl.lit(None, pl.Int32)),
            log.head(2).with_columns(load_kg=pl.lit(None, pl.Float64)),
            log.head(2).with_columns(reps=pl.lit(0, pl.Int32)),
            log.head(2).with_columns(load_kg=pl.lit(float("nan"))),
        ]
    )
    assert every_answer(holes, AS_OF).equals(every_answer(log, AS_OF))


def test_loads_of_zero_and_assistance():
    log = lifter(steady(0.3), exercise="Pull-up").with_columns(load_kg=pl.lit(0.0))
    every_answer(log)
    every_answer(log.with_columns(load_kg=pl.lit(-20.0)))
    every_answer(log.with_columns(load_kg=pl.lit(-400.0)))


def test_a_constant_log_is_a_plateau():
    log = lifter(steady(0.0), noise_pct=0.0)
    assert every_answer(log, AS_OF)["state"].to_list() == ["plateau"]


def test_a_log_of_typing_errors_only_still_answers():
    log = lifter(steady(0.3))
    rng = np.random.default_rng(0)
    wild = log["load_kg"].to_numpy() * 10.0 ** rng.integers(-1, 2, log.height)
    every_answer(log.with_columns(load_kg=pl.Series(wild)), AS_OF)


SOME_SET = st.fixed_dictionaries(
    {
        "client": st.sampled_from("ab"),
        "exercise": st.sampled_from(["Bench press", "Pull-up", "Zorbing"]),
        "date": st.dates(dt.date(2025, 1, 1), dt.date(2026, 6, 28)),
        "load_kg": st.one_of(st.none(), st.floats(-60, 500)),
        "reps": st.one_of(st.none(), st.integers(0, 100)),
        "rir": st.one_of(st.none(), st.integers(0, 30).map(float)),
        "set_kind": st.sampled_from(["working", "warm-up", "top", "back-off", "drop"]),
    }
)


@settings(max_examples=30)
@given(st.lists(SOME_SET, min_size=1, max_size=40))
def test_any_log_has_an_answer(rows):
    filled = [dict.fromkeys(SETS) | row for row in rows]
    log = conform(pl.DataFrame(filled, infer_schema_length=None), SETS)
    status = every_answer(log)
    lifts = {(row["client"], row["exercise"]) for row in rows}
    assert set(status.select("client", "exercise").iter_rows()) == lifts
