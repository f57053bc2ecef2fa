"""The fitted trend for charts, and the backtest."""

from __future__ import annotations

import datetime as dt

import numpy as np
import polars as pl
import pytest

from plateline.trend import BACKTEST, backtest, lift_curves, lift_status
from plateline.words import LIFT_CURVES_DETAIL

from .lifters import AS_OF, lifter, steady, turning


def test_a_row_per_session_and_four_weeks_ahead():
    log = lifter(steady(0.4))
    curves = lift_curves(log, AS_OF)
    assert curves.schema == pl.Schema(LIFT_CURVES_DETAIL)
    past = curves.filter(pl.col("kind") == "session")
    ahead = curves.filter(pl.col("kind") == "forecast")
    assert past["date"].to_list() == log["date"].to_list()
    assert past["source_line"].to_list() == log["source_line"].to_list()
    assert [(day - AS_OF).days for day in ahead["date"]] == [7, 14, 21, 28]
    assert (past["low_kg"] < past["fitted_kg"]).all()
    assert (past["fitted_kg"] < past["high_kg"]).all()


def test_the_line_ends_at_the_status_and_goes_on_to_its_forecast():
    log = lifter(turning(0.6, 0.1, 14))
    status = lift_status(log, AS_OF).row(0, named=True)
    curves = lift_curves(log, AS_OF)
    last = curves.filter(pl.col("kind") == "session")["fitted_kg"][-1]
    assert last == pytest.approx(status["strength_kg"], rel=0.004)
    final = curves.row(-1, named=True)
    assert final["fitted_kg"] == pytest.approx(status["forecast_kg"])
    assert final["fitted_kg"] < final["high_kg"] < status["forecast_high"]


def test_the_band_does_not_leap_at_the_last_session():
    curves = lift_curves(lifter(turning(0.6, 0.1, 14)), AS_OF)
    wide = curves.select(pl.col("kind"), width=(pl.col("high_kg") / pl.col("low_kg")).log())
    last = wide.filter(kind="session")["width"][-1]
    ahead = wide.filter(kind="forecast")["width"]
    assert last < ahead[0] < 1.6 * last
    assert (ahead.diff().drop_nulls() > 0).all()


def test_the_band_holds_the_true_trend():
    path = turning(0.7, -0.3, 13)
    inside = []
    for seed in range(12):
        log = lifter(path, seed=seed, noise_pct=2.0)
        past = lift_curves(log, AS_OF).filter(pl.col("kind") == "session")
        t = np.array([(d - log["date"][0]).days for d in past["date"]]) / 7
        level = np.log(past["fitted_kg"].to_numpy())
        off = (path(t) / 100 - level).mean()  # the kit's rep curve has another level
        truth = np.exp(path(t) / 100 - off)
        inside.append(
            ((past["low_kg"].to_numpy() <= truth) & (truth <= past["high_kg"].to_numpy())).mean()
        )
    assert np.mean(inside) > 0.85


def test_sessions_that_do_not_count_are_named():
    log = lifter(steady(0.3)).with_row_index()
    slip = pl.when(pl.col("index") == 20).then(10.0).otherwise(1.0)
    curves = lift_curves(log.with_columns(load_kg=pl.col("load_kg") * slip), AS_OF)
    odd = curves.filter(pl.col("context") == "light day or typing error")
    assert odd["source_line"].to_list() == [22]


def test_a_mistyped_set_is_counted_and_the_rest_of_its_day_stands():
    log = lifter(steady(0.3))
    again = log.with_columns(set_order=pl.lit(2, pl.Int32), source_line=pl.col("source_line") + 99)
    slip = pl.when(pl.col("source_line") == 99 + 22).then(10.0).otherwise(1.0)
    curves = lift_curves(
        pl.concat([log, again.with_columns(load_kg=pl.col("load_kg") * slip)]), AS_OF
    ).filter(pl.col("kind") == "session")
    assert curves["left_out"].sum() == 1
    assert curves.filter(pl.col("left_out") == 1)["source_line"].to_list() == [22]
    assert curves["context"].null_count() == curves.height


def test_an_empty_log_of_evidence_gives_no_rows():
    log = lifter(steady(0.3)).with_columns(set_kind=pl.lit("warm-up"))
    assert lift_curves(log, AS_OF).schema == pl.Schema(LIFT_CURVES_DETAIL)
    assert lift_curves(log, AS_OF).is_empty()
    assert backtest(log, AS_OF).is_empty()


def test_predictions_hold_what_they_promise():
    log = pl.concat(
        [
            lifter(turning(0.5, s, 12), client=f"c{n:02d}", seed=n, noise_pct=1.5 + n % 3)
            for n, s in enumerate(np.linspace(-0.5, 0.8, 30))
        ]
    )
    table = backtest(log, AS_OF)
    assert table.schema == pl.Schema(BACKTEST)
    assert table.height > 1000
    assert 0.76 < table["inside"].mean() < 0.87
    held = (table["observed_kg"] >= table["low_kg"]) & (table["observed_kg"] <= table["high_kg"])
    assert (held == table["inside"]).all()


def test_the_first_weeks_are_only_watched():
    log = lifter(steady(0.3))
    first = backtest(log, AS_OF)["date"].min()
    assert first >= log["date"][0] + dt.timedelta(weeks=2)


def test_years_of_history_have_a_curve_without_seams():
    weeks = 170
    path = lambda t: 25 * np.log1p(t / 20)  # noqa: E731
    log = lifter(path, weeks=weeks, days_between=5, noise_pct=1.2)
    past = lift_curves(log, AS_OF).filter(pl.col("kind") == "session")
    assert past["fitted_kg"].null_count() == 0
    t = np.array([(d - log["date"][0]).days for d in past["date"]]) / 7
    level = 100 * np.log(past["fitted_kg"].to_numpy())
    error = level - path(t)
    assert np.std(error) < 0.8
    assert np.abs(np.diff(error))[8:].max() < 0.6
    truth = np.exp((path(t) + error.mean()) / 100)
    held = (past["low_kg"].to_numpy() <= truth) & (truth <= past["high_kg"].to_numpy())
    assert held.mean() > 0.8


def test_the_last_year_of_a_long_history_is_that_of_a_short_one():
    log = lifter(turning(0.3, 0.0, 100), weeks=130, days_between=5)
    recent = pl.col("date") > AS_OF - dt.timedelta(weeks=30)
    kept = log.filter(pl.col("date") > AS_OF - dt.timedelta(weeks=58))
    long, short = (
        lift_curves(frame, AS_OF).filter(recent, pl.col("kind") == "session")["fitted_kg"]
        for frame in (log, kept)
    )
    # the lift's rep curve, and so its scale, is learned from all its sessions
    assert (long / long[-1]).to_numpy() == pytest.approx((short / short[-1]).to_numpy(), rel=0.004)


def test_a_lift_that_was_given_up_years_ago_has_a_curve_too():
    old = lifter(steady(0.3), as_of=AS_OF - dt.timedelta(weeks=100), exercise="Back squat")
    past = lift_curves(pl.concat([old, lifter(steady(0.3))]), AS_OF)
    squat = past.filter(pl.col("exercise") == "Back squat", pl.col("kind") == "session")
    assert squat["fitted_kg"].null_count() == 0
    assert squat["date"].to_list() == old["date"].to_list()


def test_a_prediction_is_for_the_day_and_not_for_the_middle_of_its_week():
    # At 1.5 % a week the first day of a week lies 0.64 % below its middle, the other session's day.
    told = backtest(lifter(steady(1.5), noise_pct=0.2), AS_OF).select(
        off=100 * (pl.col("observed_kg") / pl.col("predicted_kg")).log(),
        age=(pl.lit(AS_OF) - pl.col("date")).dt.total_days() % 7,
    )
    first, middle = (told.filter(age=age)["off"].to_numpy().mean() for age in (6, 3))
    assert abs(first - middle) < 0.3
