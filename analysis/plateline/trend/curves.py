"""The fitted trend of every lift, for charts: past sessions, and four weeks ahead."""

from __future__ import annotations

import datetime as dt
from typing import Any

import numpy as np
import polars as pl

from plateline.strength.arrays import Floats
from plateline.trend.fit import Fit
from plateline.trend.fitting import fit_log
from plateline.trend.forecast import FORECAST_WEEKS, forecast
from plateline.trend.normal import Z90
from plateline.trend.pooled import Common
from plateline.trend.smoothing import session_levels
from plateline.trend.status import LONG_STALE_DAYS, scale_of
from plateline.words import LIFT_CURVES_DETAIL, conform

__all__ = ["lift_curves"]


def lift_curves(
    sets: Any,
    as_of: dt.date | None = None,
    *,
    catalogue: pl.DataFrame | None = None,
    checkins: Any = None,
    clients: Any = None,
    plan: Any = None,
    common: Common | None = None,
    fit: Fit | None = None,
) -> pl.DataFrame:
    """Return what a trend chart needs of every lift.

    Parameters
    ----------
    sets, as_of, catalogue, checkins, plan, common, fit
        As for `lift_status`; `clients` is taken for the sake of the same call and not used.

    Returns
    -------
    polars.DataFrame
        LIFT_CURVES_DETAIL, sorted by client, exercise and date. `observed_kg` is what a session says
        on the lift's scale (see LIFT_STATUS_DETAIL) by this person's rep curve; `fitted_kg`
        with `low_kg` to `high_kg` is strength with its 90 % band, from all sessions before
        and after. Forecast rows are one to four weeks after the as-of day, of lifts that
        were trained in the last six weeks. `context` of a session is `light day or typing
        error` where it does not count, `back from a layoff`, or null; `left_out` counts the sets
        of a session that were left out as mistyped.

    Notes
    -----
    The band is about the trend, not about single sessions, in the past and ahead, and leaves
    out what no log can show and what stays the same from week to week (a lifter's constant
    misjudgement of the reserve, the rep curve between the usual repetitions and the scale),
    which the intervals of strength and forecast in `lift_status` include.
    """
    del clients
    fit = fit or fit_log(
        sets, as_of, catalogue=catalogue, checkins=checkins, plan=plan, common=common
    )
    if fit is None:
        return pl.DataFrame(schema=LIFT_CURVES_DETAIL)
    both = pl.concat([_past(fit), _ahead(fit)])
    return both.sort("client", "exercise", "date", maintain_order=True)


def _past(fit: Fit) -> pl.DataFrame:
    """Return the rows of the sessions."""
    lift = fit.days.lift
    middle, sd = session_levels(fit)
    seen = np.isfinite(middle)
    curve = fit.lifts.curve_mean
    _, bend = scale_of(fit)
    to_scale = (fit.lifts.steeper * (fit.lifts.usual_bend - bend) - bend)[lift]
    values = {
        "observed_kg": fit.days.y + curve[lift] * fit.weighed.x + to_scale,
        "fitted_kg": np.where(seen, middle + to_scale, np.nan),
        "low_kg": np.where(seen, middle - Z90 * sd + to_scale, np.nan),
        "high_kg": np.where(seen, middle + Z90 * sd + to_scale, np.nan),
    }
    frame = fit.days.frame.with_columns(
        fit.lifts.frame["client"].gather(lift),
        fit.lifts.frame["exercise"].gather(lift),
        *(pl.Series(name, np.exp(value / 100)).fill_nan(None) for name, value in values.items()),
        kind=pl.lit("session"),
        left_out=pl.Series(fit.days.left_out),
        odd=pl.Series(fit.weighed.odd),
        back=pl.Series(fit.weighed.back),
    ).with_columns(
        context=pl.when("odd")
        .then(pl.lit("light day or typing error"))
        .when("back")
        .then(pl.lit("back from a layoff"))
    )
    return conform(frame, LIFT_CURVES_DETAIL)


def _ahead(fit: Fit) -> pl.DataFrame:
    """Return the rows of the weeks to come."""
    _, bend = scale_of(fit)
    constant = _constant_variance(fit, bend)
    last = np.zeros(fit.lifts.count)
    np.maximum.at(last, fit.days.lift, fit.days.day)
    fresh = pl.Series(fit.has_evidence & (fit.as_of_day - last <= LONG_STALE_DAYS))
    nothing = [name for name in LIFT_CURVES_DETAIL if name not in ("client", "exercise")]
    frames = []
    for week in range(1, FORECAST_WEEKS + 1):
        mean, sd = forecast(fit, bend, week)
        sd = np.sqrt(np.maximum(sd**2 - constant, 0.0))
        frame = fit.lifts.frame.select(
            "client",
            "exercise",
            *(pl.lit(None, dtype=LIFT_CURVES_DETAIL[name]).alias(name) for name in nothing),
        ).with_columns(
            date=pl.lit(fit.as_of + dt.timedelta(weeks=week)),
            kind=pl.lit("forecast"),
            fitted_kg=pl.Series(np.exp(mean / 100)),
            low_kg=pl.Series(np.exp((mean - Z90 * sd) / 100)),
            high_kg=pl.Series(np.exp((mean + Z90 * sd) / 100)),
        )
        frames.append(frame.filter(fresh))
    return conform(pl.concat(frames), LIFT_CURVES_DETAIL)


def _constant_variance(fit: Fit, bend: Floats) -> Floats:
    """Return what today's strength is uncertain by beyond its trend: the same in every week.

    A band that took it in ahead and not in the past would leap at the last session.
    """
    _, whole = fit.load_at(bend)
    _, own = fit.load_at(fit.lifts.usual_bend)
    return whole**2 - (own**2 - fit.systematic_sd() ** 2)
