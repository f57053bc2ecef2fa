"""A person's own rep curve, from sets within days and from switches over weeks."""

from __future__ import annotations

import numpy as np
import polars as pl
import pytest

from plateline.strength import set_evidence
from plateline.strength.curves import CURVE_SD, depth
from plateline.strength.door import sets_frame
from plateline.trend import lift_curves
from plateline.trend.fitting import fit_lifts
from plateline.trend.measure import measure

from .lifters import AS_OF, lifter, steady


def on_curve(log: pl.DataFrame, steeper: float) -> pl.DataFrame:
    """Change the loads of a log so that the lifter's curve is steeper than the population's.

    The reserve that is expected behind a reported 2 is 2.8.
    """
    fail = (log["reps"] + 2.8).to_numpy()
    reference = depth(10.8)
    load = 100 * np.exp(-(1 + steeper) * (depth(fail) - reference))
    return log.with_columns(load_kg=pl.Series(load * log["load_kg"].to_numpy()))


def unit_loads(log: pl.DataFrame) -> pl.DataFrame:
    """Leave the noise in the loads and take the equation of the sets out."""
    base = log["load_kg"].to_numpy() * (1 + (log["reps"].to_numpy() + 2) / 30)
    return log.with_columns(load_kg=pl.Series(base / 120))


@pytest.mark.parametrize("steeper", [-0.25, 0.0, 0.3])
def test_a_switch_of_rep_range_teaches_the_curve(steeper):
    log = lifter(steady(0.2), reps=lambda t: np.where(t < 13, 8, 18), noise_pct=1.0)
    fit = fit_lifts(sets_frame(on_curve(unit_loads(log), steeper)), AS_OF)
    assert fit is not None
    found, sd = fit.lifts.steeper[0], np.sqrt(fit.lifts.curve_var[0])
    assert sd < CURVE_SD / 2
    assert abs(found - steeper) < 2.5 * sd + 0.03


@pytest.mark.parametrize("steeper", [-0.25, 0.3])
def test_sessions_are_shown_on_ones_own_curve(steeper):
    # Level strength: on the population's curve the switch would look like a step of 5 to 7 %.
    log = lifter(steady(0.0), reps=lambda t: np.where(t < 13, 8, 18), noise_pct=0.0)
    curves = lift_curves(on_curve(unit_loads(log), steeper), AS_OF)
    shown = curves.filter(pl.col("kind") == "session").select("date", "observed_kg")
    before, after = shown["observed_kg"][:20].mean(), shown["observed_kg"][-20:].mean()
    step = steeper * (depth(20.8) - depth(10.8))
    assert abs(np.log(after / before)) < 0.3 * abs(step)


def test_top_and_back_off_sets_teach_the_curve_within_a_day():
    top = unit_loads(lifter(steady(0.0), noise_pct=0.0))
    back = top.with_columns(reps=pl.lit(18, dtype=pl.Int32), set_order=pl.lit(2, dtype=pl.Int32))
    log = on_curve(pl.concat([top, back]), 0.25)
    lifts, _ = measure(set_evidence(log))
    assert 0.1 < lifts.steeper[0] < 0.3
    assert lifts.curve_var[0] < CURVE_SD**2


def test_steady_repetitions_teach_nothing_and_the_prior_stays():
    fit = fit_lifts(sets_frame(lifter(steady(0.5), noise_pct=2.0)), AS_OF)
    assert fit is not None
    assert fit.lifts.curve_mean[0] == pytest.approx(0.0, abs=0.2)
    assert np.sqrt(fit.lifts.curve_var[0]) > 0.7 * CURVE_SD
