"""What stands beside the state of a lift: deloads, layoffs, switches, diets, thin logs."""

from __future__ import annotations

import datetime as dt

import numpy as np
import polars as pl

from plateline.strength.arrays import Flags, Floats
from plateline.trend.fit import Fit
from plateline.words import Phase

__all__ = ["contexts"]


STALE_DAYS = 21
"""A lift that was not trained for longer is stale: its state is that of the past."""
DELOAD_DAYS, LAYOFF_DAYS_BACK, SWITCH_DAYS_BACK = 28, 56, 182
"""How long ago a light day, a layoff and a switch of rep range still explain something: as long as
each takes to leave the trend that is seen (our choice)."""
SWITCH_REPS, SWITCH_RATIO = 4.0, 4 / 3
"""Usual repetitions that differ by as many, and by more than a third, are another rep range."""
SWITCH_STEPS = 3.0
"""... and by as many times as they usually differ from one session to the next: sets of now 20, now
40 repetitions are one wide range and no switch (on uniform draws the rule without this saw one in
nearly every half year, with it in one of ten; real switches are seen as before)."""
SWITCH_SESSIONS = 4
"""Sessions to each side from which repetitions are usual."""
THIN_SESSIONS, THIN_DAYS = 6, 56
"""Fewer sessions in eight weeks are few: less than one a week."""
NO_RIR_SHARE = 0.1
"""Share of sets with a reserve below which it is not logged."""
DIET_PCT_WEEK = -0.3
"""Body mass that falls faster than this, % a week, is a diet phase even where nobody says so
(0.5 to 1 % a week is usual advice for a diet; common practice, no source)."""
DIET_DAYS = 42
DIET_WEIGHINGS, DIET_WEEKS = 4, 3
"""Weighings, and weeks between the first and last of them, below which body mass has no trend."""


def contexts(fit: Fit, clients: pl.DataFrame, checkins: pl.DataFrame) -> list[list[str]]:
    """Return for every lift the list of what stands beside its state, in a fixed order.

    Parameters
    ----------
    fit
        What is known of the lifts.
    clients, checkins
        CLIENTS and CHECKINS, for the phases of diets as told and as weighed.
    """
    days, weighed = fit.days, fit.weighed
    age = fit.as_of_day - days.day
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

    Told by the medians of the sessions before and of those from there on, against how much two
    sessions in a row usually differ.
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
    least = np.maximum(SWITCH_REPS, SWITCH_STEPS * _usual_steps(fit)[lift])
    return whole & (np.abs(after - before) >= least) & (ratio > SWITCH_RATIO)


def _usual_steps(fit: Fit) -> Floats:
    """Return by how many repetitions each lift's sessions usually differ from the one before."""
    steps = pl.DataFrame({"lift": fit.days.lift, "reps": fit.days.first_reps}).filter(
        pl.Series(~fit.weighed.odd)
    )
    medians = (
        steps.with_columns(pl.col("reps").diff().abs().over("lift"))
        .group_by("lift")
        .agg(pl.col("reps").median())
        .drop_nulls()
    )
    usual = np.zeros(fit.lifts.count)
    usual[medians["lift"].to_numpy()] = medians["reps"].to_numpy()
    return usual


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
        .filter(
            pl.col("n") >= DIET_WEIGHINGS,
            pl.col("span") >= DIET_WEEKS,
            pl.col("slope") < DIET_PCT_WEEK,
        )
        .select("client")
    )
    losing = pl.concat([told, weighed])["client"].unique()
    return fit.lifts.frame["client"].is_in(losing.implode()).to_numpy()
