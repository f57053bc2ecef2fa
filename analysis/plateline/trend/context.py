"""What stands beside the state of a lift: deloads, layoffs, switches, diets, thin logs."""

from __future__ import annotations

import datetime as dt

import numpy as np
import polars as pl
from numpy.typing import NDArray

from plateline.trend.fit import Fit
from plateline.words import Phase

__all__ = ["STALE_DAYS", "contexts"]

Flags = NDArray[np.bool_]

STALE_DAYS = 21
"""A lift that was not trained for longer is stale: its state is that of the past."""
DELOAD_DAYS = 28
LAYOFF_DAYS_BACK = 56
SWITCH_DAYS_BACK = 182
SWITCH_REPS = 4.0
SWITCH_SESSIONS = 4
THIN_SESSIONS = 6
THIN_DAYS = 56
NO_RIR_SHARE = 0.1
DIET_PCT_WEEK = -0.3
"""Body mass that falls faster than this, % a week, is a diet phase even where nobody says so
(0.5 to 1 % a week is usual advice for a diet; common practice, no source)."""
DIET_DAYS = 42


def contexts(fit: Fit, clients: pl.DataFrame, checkins: pl.DataFrame) -> list[list[str]]:
    """Return for every lift the list of what stands beside its state, in a fixed order."""
    days, weighed = fit.days, fit.weighed
    age = (fit.as_of - dt.date(1970, 1, 1)).days - days.day
    count = fit.lifts.count

    def some(sessions: Flags) -> Flags:
        return np.bincount(days.lift, weights=sessions, minlength=count) > 0

    recent = np.bincount(days.lift, weights=age < THIN_DAYS, minlength=count)
    last_age = np.full(count, np.inf)
    np.minimum.at(last_age, days.lift, age)
    named = {
        "deload": some(weighed.low & (age < DELOAD_DAYS)),
        "layoff": some(weighed.back & (age < LAYOFF_DAYS_BACK)),
        "rep-range switch": some(_switches(fit) & (age < SWITCH_DAYS_BACK)),
        "diet phase": _diet(fit, clients, checkins),
        "few sessions": recent < THIN_SESSIONS,
        "no RIR": fit.lifts.frame["rir_share"].to_numpy() < NO_RIR_SHARE,
        "stale": last_age > STALE_DAYS,
    }
    table = pl.DataFrame(named).select(
        pl.concat_list(
            pl.when(pl.col(name)).then(pl.lit(name)).otherwise(pl.lit(None)) for name in named
        ).list.drop_nulls()
    )
    return table.to_series().to_list()


def _switches(fit: Fit) -> Flags:
    """Say at which sessions the usual repetitions changed and stayed changed.

    The medians of the four sessions before and the four from there on differ by four
    repetitions and by more than a third.
    """
    lift, reps = fit.days.lift, fit.days.first_reps
    n = len(lift)
    step = np.arange(n)[:, None] + np.arange(-SWITCH_SESSIONS, SWITCH_SESSIONS)
    inside = (step >= 0) & (step < n)
    step = np.clip(step, 0, n - 1)
    same = inside & (lift[step] == lift[:, None]) & ~fit.weighed.odd[step]
    whole = same.all(1)
    values = reps[step]
    before = np.median(values[:, :SWITCH_SESSIONS], axis=1)
    after = np.median(values[:, SWITCH_SESSIONS:], axis=1)
    ratio = np.maximum(before, after) / np.minimum(before, after)
    return whole & (np.abs(after - before) >= SWITCH_REPS) & (ratio > 4 / 3)


def _diet(fit: Fit, clients: pl.DataFrame, checkins: pl.DataFrame) -> Flags:
    """Say which lifts are those of a client who loses body mass, as told or as weighed."""
    told = clients.filter(pl.col("phase").str.to_lowercase() == Phase.LOSE).select("client")
    week = (pl.col("date") - pl.lit(fit.as_of)).dt.total_days() / 7
    weighed = (
        checkins.filter(
            pl.col("body_mass_kg").is_not_null()
            & pl.col("date").is_between(fit.as_of - dt.timedelta(days=DIET_DAYS), fit.as_of)
        )
        .with_columns(t=week, m=100 * pl.col("body_mass_kg").log())
        .group_by("client")
        .agg(
            slope=pl.cov("t", "m") / pl.col("t").var(),
            span=pl.col("t").max() - pl.col("t").min(),
            n=pl.len(),
        )
        .filter((pl.col("n") >= 4) & (pl.col("span") >= 3) & (pl.col("slope") < DIET_PCT_WEEK))
        .select("client")
    )
    losing = pl.concat([told, weighed])["client"].unique()
    return fit.lifts.frame["client"].is_in(losing.implode()).to_numpy()
