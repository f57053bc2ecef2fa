"""The state of every lift at a date, with probabilities, dates and what stands beside it."""

from __future__ import annotations

import datetime as dt
from typing import Any

import numpy as np
import polars as pl

from plateline.strength.arrays import Flags, Floats, Whole
from plateline.strength.door import sets_frame
from plateline.strength.equations import LARGEST_REPS
from plateline.trend.assumptions import (
    FEW_DAYS,
    FEW_SESSIONS,
    NAMED_FROM,
    THRESHOLD_PCT_WEEK,
)
from plateline.trend.beside import Beside
from plateline.trend.context import contexts
from plateline.trend.dating import ANY_CLASS
from plateline.trend.fit import Fit
from plateline.trend.fitting import fit_lifts, last_day
from plateline.trend.forecast import FORECAST_WEEKS, forecast
from plateline.trend.normal import Z90, cumulative, mixture_quantiles
from plateline.trend.pooled import DECLINING, FLAT, PRIOR, PROGRESSING, Common
from plateline.words import LIFT_STATUS_DETAIL, State, conform

__all__ = ["LONG_STALE_DAYS", "lift_status", "scale_of"]


STATES = (State.DECLINING, State.PLATEAU, State.PROGRESSING)
"""In the order of every class axis."""

LONG_STALE_DAYS = 42
"""A lift that was not trained for longer than this has no present state (six weeks: a block of
training; common practice, no source)."""

MOST_SESSIONS_NEEDED = 40
"""More are not told: they mean a year and more."""
PRESENT_WEEKS = 8
"""Weeks whose sessions are taken to belong to the present regime."""
TOLD_APART = 1.7
"""Standard deviations of slope within a typical progress, so that a slope half-way is told from
both ends with a probability of 0.8."""
GAP_WEEKS = (0.3, 4.0)
"""Shortest and longest gap between sessions that is counted with."""


def lift_status(
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
    """Say for every lift whether it progresses, is stuck or declines, and since when.

    Parameters
    ----------
    sets
        SETS, in any order; a Polars, pandas or Arrow frame.
    as_of
        The day to look from; the last day in the log when left out. Later sets do not count.
    catalogue
        CATALOGUE (body-mass shares, kinds of lift); the one that ships when left out.
    checkins, clients, plan
        CHECKINS (body mass of the day, diet phases), CLIENTS (phase) and PLAN (light weeks).
    common
        What `learn_common` learned from the whole log, where `sets` are a part of it.
    fit
        What `fit_log` returned for the same day, where it was asked already.

    Returns
    -------
    polars.DataFrame
        LIFT_STATUS_DETAIL: a row per lift, sorted by client and exercise. `slope_low` to
        `slope_high`, `since_low` to `since_high`, `e1rm_low` to `e1rm_high` and the strength
        and forecast intervals hold 90 %. `e1rm_kg` and `strength_kg` count the body mass that
        is moved, as the rep curve of this person gives them, on an ordinary fresh day.

    Raises
    ------
    plateline.errors.MissingColumnError
        When a needed column is missing.
    plateline.errors.NoResultError
        When there is no set at all.

    Notes
    -----
    A lift progresses (declines) when the slope of its present regime is beyond the threshold
    of `plateline.trend.assumptions` (0.105 % a week: the smallest worthwhile change in six
    weeks). The model is that of `plateline.trend.regimes`; what lifts have in common is
    learned from all lifts of the log (`plateline.trend.learning`), so other lifts in the log
    move a probability a little.

    `since` is the date around which the turn into the present state most probably lies
    (`plateline.trend.dating`): of the state that is named, the others counting a quarter, as
    it may be the wrong one; or of the last turn of any kind where none is named. It is the
    lift's first day only where no turn at all is 0.75 probable; else `since_low` tells how far
    back it may reach.

    It misleads where effort changes without being logged (a lifter who never writes the
    reserve and begins to push harder seems to progress), in the first month of a log, and
    where a lift is done so rarely that a change cannot yet show.

    References
    ----------
    Hopkins (smallest worthwhile change), Banyard et al. 2017 (day-to-day variation): see
    `plateline.trend.assumptions`.
    """
    clean = sets_frame(sets)
    as_of = as_of or last_day(clean)
    clean = clean.filter(pl.col("date") <= as_of)
    beside = Beside.of(catalogue, checkins, plan, clients)
    fit = fit or fit_lifts(clean, as_of, beside, common=common)
    silent = _silent_lifts(clean, fit)
    if fit is None:
        return silent
    table = _table(fit).with_columns(
        context=pl.Series(contexts(fit, beside.clients, beside.checkins), dtype=pl.List(pl.String))
    )
    found = conform(_with_reasons(table), LIFT_STATUS_DETAIL)
    return pl.concat([found, silent]).sort("client", "exercise")


def _probabilities(fit: Fit) -> Floats:
    """Return the probabilities of declining, plateau and progressing (axis 0) by lift."""
    weight = fit.posterior.weight
    slope, sd = fit.posterior.mean[1], np.sqrt(fit.posterior.cov[2])
    up = (weight * cumulative((slope - THRESHOLD_PCT_WEEK) / sd)).sum(0)
    down = (weight * cumulative((-THRESHOLD_PCT_WEEK - slope) / sd)).sum(0)
    return np.stack([down, np.clip(1 - up - down, 0.0, 1.0), up])


def scale_of(fit: Fit) -> tuple[Flags, Floats]:
    """Return which lifts are on the e1RM scale, and the bend (%) of each lift's scale."""
    on_e1rm = fit.lifts.frame["usual_reps"].to_numpy() <= LARGEST_REPS
    return on_e1rm, np.where(on_e1rm, 0.0, fit.lifts.usual_bend)


def _table(fit: Fit) -> pl.DataFrame:
    """Return all columns that are numbers or dates, and the state."""
    sessions, first, last = _seen(fit)
    probability = _probabilities(fit)
    best, most = probability.argmax(0), probability.max(0)
    enough = (sessions >= FEW_SESSIONS) & (last - first >= FEW_DAYS) & fit.has_evidence
    fresh = fit.as_of_day - last <= LONG_STALE_DAYS
    named = enough & fresh & (most >= NAMED_FROM)
    since = _since_days(fit, np.where(most >= NAMED_FROM, best, ANY_CLASS), first)
    states = np.array([state.value for state in STATES])
    needed = np.where(named, 0, _sessions_needed(fit, sessions, last - first))
    values = {
        "state": np.where(named, states[best], State.UNCLEAR.value),
        "p_progressing": probability[PROGRESSING],
        "p_plateau": probability[FLAT],
        "p_declining": probability[DECLINING],
        **_estimates(fit),
        "noise_pct": fit.weighed.noise_sd,
        "sessions": sessions.astype(np.int32),
        "sessions_needed": needed.astype(np.int32),
        "enough": enough,
        "fresh": fresh,
        "has_evidence": fit.has_evidence,
    }
    dates = {"since_low": since[0], "since": since[1], "since_high": since[2], "last_date": last}
    return fit.lifts.frame.with_columns(
        pl.Series(name, of) for name, of in values.items()
    ).with_columns(
        pl.Series(name, days.astype(np.int32)).cast(pl.Date) for name, days in dates.items()
    )


def _seen(fit: Fit) -> tuple[Whole, Floats, Floats]:
    """Return how many sessions each lift has, and the days of its first and its last one."""
    lift, day, count = fit.days.lift, fit.days.day, fit.lifts.count
    first, last = np.full(count, np.inf), np.full(count, -np.inf)
    np.minimum.at(first, lift, day)
    np.maximum.at(last, lift, day)
    return np.bincount(lift, minlength=count), first, last


def _estimates(fit: Fit) -> dict[str, Floats]:
    """Return slope, strength and forecast of each lift on its own scale, with 90 % intervals."""
    weight, slope = fit.posterior.weight, fit.posterior.mean[1]
    slope_sd = np.sqrt(fit.posterior.cov[2])
    _, bend = scale_of(fit)
    level, sd = fit.load_at(bend)
    ahead, ahead_sd = forecast(fit, bend, FORECAST_WEEKS)
    # Far out of the ordinary (every load mistyped) a mean can lie outside its own interval.
    mean = (weight * slope).sum(0)
    return {
        "slope_pct_week": mean,
        "slope_low": np.minimum(mixture_quantiles(weight, slope, slope_sd, 0.05), mean),
        "slope_high": np.maximum(mixture_quantiles(weight, slope, slope_sd, 0.95), mean),
        "strength_kg": np.exp(level / 100),
        "strength_low": np.exp((level - Z90 * sd) / 100),
        "strength_high": np.exp((level + Z90 * sd) / 100),
        "forecast_kg": np.exp(ahead / 100),
        "forecast_low": np.exp((ahead - Z90 * ahead_sd) / 100),
        "forecast_high": np.exp((ahead + Z90 * ahead_sd) / 100),
    }


def _since_days(fit: Fit, called: Whole, first_day: Floats) -> Floats:
    """Return the day on which the regime of a class began: low, best guess, high (axis 0).

    A new regime turns in the middle of the week it starts in.
    """
    rows = fit.posterior.since[:, called, np.arange(len(called))]
    as_of_day, count = fit.as_of_day, len(fit.weeks.y)
    day = as_of_day - 7 * (count - 1 - rows) - 3
    oldest = as_of_day - 7 * count + 1
    day = np.where(rows == fit.weeks.start, np.maximum(first_day, oldest), day)
    return np.clip(day, first_day, as_of_day)


def _sessions_needed(fit: Fit, sessions: Whole, span_days: Floats) -> Whole:
    """Estimate how many more sessions, at the usual pace, would name the state.

    Enough that a slope half-way between flat and typical progress would be told from both.
    """
    gap_weeks = np.clip(span_days / 7 / np.maximum(sessions - 1, 1), *GAP_WEEKS)
    have = np.minimum(sessions, PRESENT_WEEKS / gap_weeks)
    more = np.arange(1, MOST_SESSIONS_NEEDED + 1)[:, None]
    total = have + more
    span = total * gap_weeks
    # The slope of evenly spaced values of equal noise: variance 12 / (n span^2).
    sd = fit.weighed.noise_sd * np.sqrt(12 / total) / span
    good = (sd <= fit.pooled.slope_mean[PROGRESSING] / TOLD_APART) & (
        sessions + more >= FEW_SESSIONS
    )
    return np.where(good.any(0), good.argmax(0) + 1, MOST_SESSIONS_NEEDED)


def _with_reasons(table: pl.DataFrame) -> pl.DataFrame:
    """Blank what cannot be known, and say why."""
    on_e1rm = (pl.col("usual_reps") <= LARGEST_REPS) & pl.col("mass_known")
    known = pl.col("has_evidence")
    stand_in = ~pl.col("mass_known") & (pl.col("moved_kg") > 0)
    unclear = pl.col("state") == State.UNCLEAR
    reps = pl.col("usual_reps").round(0).cast(pl.Int64).cast(pl.String)
    kilograms = [n for n in table.columns if n.startswith(("strength_", "forecast_"))]
    since = [n for n in table.columns if n.startswith("since")]
    return table.with_columns(
        *(pl.when(known & ~stand_in).then(pl.col(name)) for name in kilograms),
        *(pl.when(known).then(pl.col(name)) for name in since),
        scale=pl.when(pl.col("usual_reps") <= LARGEST_REPS)
        .then(pl.lit("e1rm"))
        .otherwise(pl.lit("working strength")),
        sessions_needed=pl.when(unclear & pl.col("fresh")).then(pl.col("sessions_needed")),
        reason=pl.when(~known)
        .then(pl.lit("no session in the last year says anything about strength"))
        .when(unclear & ~pl.col("fresh"))
        .then(pl.lit("not trained for more than six weeks, so there is no present state"))
        .when(stand_in)
        .then(pl.lit("body mass is part of this load and is not known, so no kg are shown"))
        .when(~pl.col("mass_known"))
        .then(pl.lit("body mass is part of this load and is not known: the external load alone"))
        .when(pl.col("usual_reps") > LARGEST_REPS)
        .then(
            pl.lit("about ") + reps
            + pl.lit(" repetitions to failure are too many for a one-repetition maximum")
        )
        .when(unclear & ~pl.col("enough"))
        .then(pl.lit("too few sessions to name a state")),
    ).with_columns(
        **{
            f"e1rm_{end}": pl.when(on_e1rm & known).then(pl.col(f"strength_{end}"))
            for end in ("kg", "low", "high")
        }
    )  # fmt: skip


def _silent_lifts(sets: pl.DataFrame, fit: Fit | None) -> pl.DataFrame:
    """Return rows for lifts of which no set says anything: unclear, at the prior's shares."""
    lifts = sets.group_by("client", "exercise").agg(
        sessions=pl.col("date").n_unique(), last_date=pl.col("date").max()
    )
    if fit is not None:
        lifts = lifts.join(fit.lifts.frame, on=["client", "exercise"], how="anti")
    down, flat, up = PRIOR.start
    silent = lifts.with_columns(
        state=pl.lit(State.UNCLEAR.value),
        p_progressing=pl.lit(up),
        p_plateau=pl.lit(flat),
        p_declining=pl.lit(down),
        context=pl.lit([], dtype=pl.List(pl.String)),
        reason=pl.lit("no working set with a load and repetitions"),
    )
    missing = [name for name in LIFT_STATUS_DETAIL if name not in silent.columns]
    return conform(
        silent.with_columns(pl.lit(None).alias(name) for name in missing), LIFT_STATUS_DETAIL
    ).sort("client", "exercise")
