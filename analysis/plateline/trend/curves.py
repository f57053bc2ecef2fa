"""The fitted trend of every lift, for charts: past sessions, and four weeks ahead."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import Any

import numpy as np
import polars as pl
from numpy.typing import NDArray

from plateline.trend.fit import Fit, fit_lifts
from plateline.trend.forecast import FORECAST_WEEKS, forecast
from plateline.trend.normal import Z90
from plateline.trend.paths import Path
from plateline.trend.pooled import Common, Pooled
from plateline.trend.regimes import run_regimes
from plateline.trend.status import scale_of
from plateline.trend.weeks import Weeks, week_rows
from plateline.words import LIFT_CURVES, conform

__all__ = ["lift_curves"]

Floats = NDArray[np.float64]


def lift_curves(
    sets: Any,
    as_of: dt.date | None = None,
    *,
    catalogue: pl.DataFrame | None = None,
    checkins: Any = None,
    clients: Any = None,
    plan: Any = None,
    common: Common | None = None,
) -> pl.DataFrame:
    """Return what a trend chart needs of every lift.

    Parameters
    ----------
    sets, as_of, catalogue, checkins, plan, common
        As for `lift_status`; `clients` is taken for the sake of the same call and not used.

    Returns
    -------
    polars.DataFrame
        LIFT_CURVES, sorted by client, exercise and date. `observed_kg` is what a session says
        on the lift's scale (see LIFT_STATUS_DETAIL) by this person's rep curve; `fitted_kg`
        with `low_kg` to `high_kg` is strength with its 90 % band, from all sessions before
        and after. Forecast rows are one to four weeks after the as-of day, of lifts that
        were trained in the last six weeks. `context` of a session is `light day or typing
        error` where it does not count, `back from a layoff`, or null.

    Notes
    -----
    The band is about the trend, not about single sessions, and leaves out what no log can
    show (a lifter's constant misjudgement of the reserve), which `strength_low` and
    `strength_high` of `lift_status` include.
    """
    del clients
    fit = fit_lifts(
        sets, as_of, catalogue=catalogue, checkins=checkins, plan=plan, path=True, common=common
    )
    if fit is None:
        return pl.DataFrame(schema=LIFT_CURVES)
    both = pl.concat([_past(fit), _ahead(fit)])
    return both.sort("client", "exercise", "date", maintain_order=True)


def _past(fit: Fit) -> pl.DataFrame:
    """Return the rows of the sessions."""
    level, var = _smoothed(fit)
    count = len(level)
    lift = fit.days.lift
    row, offset = week_rows(fit.days.day, (fit.as_of - dt.date(1970, 1, 1)).days, count)
    seen = (row >= 0) & fit.has_evidence[lift]
    at = np.clip(row + offset, 0, count - 1)
    low = np.minimum(np.floor(at).astype(np.int64), max(count - 2, 0))
    high = np.minimum(low + 1, count - 1)
    part = at - low
    low = np.maximum(low, fit.weeks.start[lift])
    high = np.maximum(high, low)
    middle = (1 - part) * level[low, lift] + part * level[high, lift]
    sd = np.sqrt((1 - part) * var[low, lift] + part * var[high, lift])
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
        odd=pl.Series(fit.weighed.odd),
        back=pl.Series(fit.weighed.back),
    ).with_columns(
        context=pl.when("odd")
        .then(pl.lit("light day or typing error"))
        .when("back")
        .then(pl.lit("back from a layoff"))
    )
    return conform(frame, LIFT_CURVES)


def _ahead(fit: Fit) -> pl.DataFrame:
    """Return the rows of the weeks to come."""
    _, bend = scale_of(fit)
    last = np.zeros(fit.lifts.count)
    np.maximum.at(last, fit.days.lift, fit.days.day)
    as_of_day = (fit.as_of - dt.date(1970, 1, 1)).days
    fresh = pl.Series(fit.has_evidence & (as_of_day - last <= 42))
    nothing = [name for name in LIFT_CURVES if name not in ("client", "exercise")]
    frames = []
    for week in range(1, FORECAST_WEEKS + 1):
        mean, sd = forecast(fit, bend, week)
        frame = fit.lifts.frame.select(
            "client",
            "exercise",
            *(pl.lit(None, dtype=LIFT_CURVES[name]).alias(name) for name in nothing),
        ).with_columns(
            date=pl.lit(fit.as_of + dt.timedelta(weeks=week)),
            kind=pl.lit("forecast"),
            fitted_kg=pl.Series(np.exp(mean / 100)),
            low_kg=pl.Series(np.exp((mean - Z90 * sd) / 100)),
            high_kg=pl.Series(np.exp((mean + Z90 * sd) / 100)),
        )
        frames.append(frame.filter(fresh))
    return conform(pl.concat(frames), LIFT_CURVES)


def _smoothed(fit: Fit) -> tuple[Floats, Floats]:
    """Return level and variance of every week, from what came before and after it.

    What is known from the weeks up to one (forwards) and expected from the weeks after it
    (the same model run backwards) are put together by their precisions.
    """
    forward = _needed(fit.posterior.path)
    turned = run_regimes(_reversed(fit.weeks), _reversed_pooled(fit.pooled), path=True)
    backward = _needed(turned.path)
    later, later_var = backward.mean[0, ::-1], backward.cov[0, ::-1]
    precision = np.where(later_var > 0, 1 / np.where(later_var > 0, later_var, 1.0), 0.0)
    own_var = np.maximum(forward.level_var, 1e-9)
    total = 1 / own_var + precision
    return (forward.level / own_var + later * precision) / total, 1 / total


def _needed(path: Path | None) -> Path:
    if path is None:
        raise ValueError("the regimes were run without their path")
    return path


def _reversed(weeks: Weeks) -> Weeks:
    """Return the weeks in reverse; what a layoff adds comes after the step, not before it."""
    seen = weeks.precision[::-1] > 0
    shock = np.zeros_like(weeks.shock)
    shock[1:] = weeks.shock[:0:-1]
    return replace(
        weeks,
        y=weeks.y[::-1],
        precision=weeks.precision[::-1],
        shock=shock,
        start=np.where(seen.any(0), seen.argmax(0), len(seen) - 1),
    )


def _reversed_pooled(pooled: Pooled) -> Pooled:
    """Return what lifts have in common when time runs backwards: progress becomes decline."""
    return Pooled(
        start=pooled.start[::-1],
        hazard=pooled.hazard[::-1],
        change=pooled.change[::-1, ::-1],
        slope_mean=-pooled.slope_mean[::-1],
        slope_sd=pooled.slope_sd[::-1],
    )
