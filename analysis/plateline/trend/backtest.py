"""A backtest on the user's own log: every past session, predicted from what came before."""

from __future__ import annotations

import datetime as dt
from typing import Any

import numpy as np
import polars as pl

from plateline.trend.fit import Fit
from plateline.trend.fitting import fit_log
from plateline.trend.normal import Z80
from plateline.trend.pooled import Common
from plateline.trend.status import scale_of
from plateline.trend.weeks import week_rows

__all__ = ["BACKTEST", "backtest"]

BACKTEST = {
    "client": pl.String,
    "exercise": pl.String,
    "date": pl.Date,
    "observed_kg": pl.Float64,
    "predicted_kg": pl.Float64,
    "low_kg": pl.Float64,
    "high_kg": pl.Float64,
    "inside": pl.Boolean,
}
"""One row per predicted session; `low_kg` to `high_kg` is the 80 % interval."""

WARM_UP_WEEKS = 3
"""Weeks of a lift that are watched before the first prediction."""


def backtest(
    sets: Any,
    as_of: dt.date | None = None,
    *,
    catalogue: pl.DataFrame | None = None,
    checkins: Any = None,
    plan: Any = None,
    common: Common | None = None,
    fit: Fit | None = None,
) -> pl.DataFrame:
    """Predict the strength of each past session from the weeks before it.

    Parameters
    ----------
    sets, as_of, catalogue, checkins, plan, common, fit
        As for `lift_status`.

    Returns
    -------
    polars.DataFrame
        BACKTEST, sorted by client, exercise and date. Loads are on the lift's scale (see
        LIFT_STATUS_DETAIL). Sessions that do not count (light days, typing errors) are left
        out, as are each lift's first three weeks. `inside` should be true for 80 % of rows.

    Notes
    -----
    A prediction uses the sessions up to the week before. Three things are taken from the
    whole log and flatter it a little: the lift's noise, its rep curve, and what the lifts
    have in common.
    """
    fit = fit or fit_log(
        sets, as_of, catalogue=catalogue, checkins=checkins, plan=plan, common=common
    )
    if fit is None or fit.posterior.path is None:
        return pl.DataFrame(schema=BACKTEST)
    path, days, weighed = fit.posterior.path, fit.days, fit.weighed
    lift = days.lift
    count = len(fit.weeks.y)
    row, offset = week_rows(days.day, fit.as_of_day, count)
    inside = np.maximum(row, 0)
    mean, cov = path.mean[:, inside, lift], path.cov[:, inside, lift]
    said = days.y + fit.lifts.curve_mean[lift] * weighed.x
    expected = mean[0] + offset * mean[1]
    variance = cov[0] + 2 * offset * cov[1] + offset**2 * cov[2] + weighed.ordinary_var
    sd = np.sqrt(variance + fit.lifts.curve_var[lift] * weighed.x**2)
    _, bend = scale_of(fit)
    to_scale = (fit.lifts.steeper * (fit.lifts.usual_bend - bend) - bend)[lift]
    values = {
        "observed_kg": said, "predicted_kg": expected,
        "low_kg": expected - Z80 * sd, "high_kg": expected + Z80 * sd,
    }  # fmt: skip
    frame = days.frame.select("date").with_columns(
        fit.lifts.frame["client"].gather(lift),
        fit.lifts.frame["exercise"].gather(lift),
        *(pl.Series(name, np.exp((v + to_scale) / 100)) for name, v in values.items()),
        inside=pl.Series(np.abs(said - expected) <= Z80 * sd),
    )
    told = (row >= 0) & (row >= fit.weeks.start[lift] + WARM_UP_WEEKS) & ~weighed.odd
    return frame.filter(pl.Series(told)).select(
        pl.col(name).cast(dtype) for name, dtype in BACKTEST.items()
    )
