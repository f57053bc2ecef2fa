"""Acute against chronic load, rolling and exponentially weighted, and week against week."""

from __future__ import annotations

from typing import Any

import polars as pl

from plateline.fatigue.daily import daily_load, long_measures
from plateline.fatigue.tables import LOAD_RATIOS, WEEK_CHANGE
from plateline.load import bouts_of
from plateline.load.counting import MICROGRAMS, from_exact, over
from plateline.load.weeks import monday
from plateline.words import conform

__all__ = [
    "ACUTE_DAYS",
    "CHRONIC_DAYS",
    "CRITICISM",
    "coupled_from_uncoupled",
    "daily_ratios",
    "load_ratios",
    "uncoupled_from_coupled",
    "week_change",
]

ACUTE_DAYS = 7
CHRONIC_DAYS = 28
"""Windows of the acute and the chronic load, in days (Gabbett et al. 2019, Int J Sports Med
40:597-600; one week against the three before it when uncoupled)."""

CRITICISM = (
    "An acute:chronic ratio describes how this week's load compares with the last four weeks'. "
    "It is a rescaling of the acute load and says nothing certain about the future: dividing by "
    "random numbers did about as well in injury data (Impellizzeri et al. 2020, Sports Med, "
    "doi 10.1007/s40279-020-01378-6), and the coupled form correlates with itself by "
    "construction (r about 0.5; Lolli et al., Br J Sports Med 53:921)."
)
"""What must stand beside the number wherever it is shown."""

SHORT_LOG = f"less than {CHRONIC_DAYS} days of log"
NO_CHRONIC = f"no load in the last {CHRONIC_DAYS} days"
NO_BEFORE = f"no load in the {CHRONIC_DAYS - ACUTE_DAYS} days before the last {ACUTE_DAYS}"
UNRATED = f"a session of the last {CHRONIC_DAYS} days has no rating"
UNRATED_EVER = "a session since the log began has no rating, so the weighted average stops there"


def coupled_from_uncoupled(ratio: float) -> float:
    """Turn an uncoupled ratio u into the coupled one, 4u / (u + 3); below 4, and 1 at 1."""
    return 4 * ratio / (ratio + 3)


def uncoupled_from_coupled(ratio: float) -> float:
    """Turn a coupled ratio c (below 4) into the uncoupled one, 3c / (4 - c)."""
    return 3 * ratio / (4 - ratio)


def daily_ratios(loads: pl.DataFrame) -> pl.DataFrame:
    """Return acute, chronic and their ratios on every day.

    Parameters
    ----------
    loads
        `client, measure, date, load`: one row per day without holes, sorted; any load unit.

    Notes
    -----
    Rolling: mean of 7 days over mean of 28 (coupled) or over the mean of the 21 days before
    the seven (uncoupled). Exponential: ``EWMA_t = load_t x lambda + (1 - lambda) EWMA_(t-1)``
    with ``lambda = 2 / (N + 1)``, N = 7 and 28, started at the first day's load (Williams et
    al. 2017, Br J Sports Med 51:209-210). No ratio is given before the 28th day of the log.
    """
    keys = ["client", "measure"]
    load = pl.col("load")
    frame = loads.sort(*keys, "date").with_columns(
        days_of_log=pl.int_range(1, pl.len() + 1).over(keys),
        acute_per_day=_window_mean(load, 0, ACUTE_DAYS).over(keys),
        chronic_per_day=_window_mean(load, 0, CHRONIC_DAYS).over(keys),
        _before=_window_mean(load, ACUTE_DAYS, CHRONIC_DAYS).over(keys),
        acute_ewma_per_day=load.ewm_mean(span=ACUTE_DAYS, adjust=False, ignore_nulls=False).over(
            keys
        ),
        chronic_ewma_per_day=load.ewm_mean(
            span=CHRONIC_DAYS, adjust=False, ignore_nulls=False
        ).over(keys),
        _known=load.is_not_null().cum_min().over(keys),
    )
    long_enough = pl.col("days_of_log") >= CHRONIC_DAYS
    ewma_known = long_enough & pl.col("_known")
    return frame.with_columns(
        ratio_coupled=_ratio("acute_per_day", "chronic_per_day", long_enough),
        ratio_uncoupled=_ratio("acute_per_day", "_before", long_enough),
        ratio_ewma=_ratio("acute_ewma_per_day", "chronic_ewma_per_day", ewma_known),
        reason=pl.when(~long_enough)
        .then(pl.lit(SHORT_LOG))
        .when(pl.col("chronic_per_day").is_null())
        .then(pl.lit(UNRATED))
        .when(pl.col("chronic_per_day") == 0)
        .then(pl.lit(NO_CHRONIC))
        .when(pl.col("_before") == 0)
        .then(pl.lit(NO_BEFORE))
        .when(~pl.col("_known"))
        .then(pl.lit(UNRATED_EVER)),
    ).with_columns(
        pl.when(pl.col("_known")).then(pl.col("acute_ewma_per_day", "chronic_ewma_per_day"))
    )


def _window_mean(load: pl.Expr, newest: int, oldest: int) -> pl.Expr:
    """Return the mean of the days from `newest` to `oldest` days ago (not counted).

    Made from exact running sums: a window without load is exactly zero, where a floating
    running mean would leave a crumb of an earlier load to divide by.
    """
    total = (load.fill_null(0.0) * MICROGRAMS).round().cast(pl.Int64).cum_sum()
    unknown = load.is_null().cast(pl.Int64).cum_sum()

    def span(running: pl.Expr) -> pl.Expr:
        return running.shift(newest) - running.shift(oldest, fill_value=0)

    full = pl.int_range(1, pl.len() + 1) >= oldest
    days = oldest - newest
    return pl.when(full & (span(unknown) == 0)).then(
        over(span(total).cast(pl.Float64), MICROGRAMS * days)
    )


def _ratio(above: str, below: str, allowed: pl.Expr) -> pl.Expr:
    return pl.when(allowed & (pl.col(below) > 0)).then(pl.col(above) / pl.col(below))


def load_ratios(sets: Any, checkins: Any = None) -> pl.DataFrame:
    """Return acute:chronic load ratios at the end of every week, all clients at once.

    Parameters
    ----------
    sets
        SETS frame (Polars eager or lazy, pandas, Arrow).
    checkins
        CHECKINS frame; where sessions are rated there, session-RPE load is a second measure.

    Returns
    -------
    polars.DataFrame
        One row per client, week and measure (`volume-load` in kg, `session RPE` in rating x
        minutes) as on the week's Sunday, in the last week as on the last logged day. Columns
        at the top of `plateline.fatigue`.

    Notes
    -----
    Show `CRITICISM` beside the number; it is never a risk of injury. A day that is not in the
    log counts as rest, so a month that was trained and not logged looks like a layoff.
    """
    ratios = daily_ratios(long_measures(daily_load(sets, checkins=checkins)))
    return conform(
        ratios.with_columns(week=monday(pl.col("date")))
        .sort("client", "measure", "date")
        .group_by("client", "measure", "week", maintain_order=True)
        .last()
        .sort("client", "week", "measure"),
        LOAD_RATIOS,
    )


def week_change(sets: Any) -> pl.DataFrame:
    """Return the change of volume-load and hard sets from one ISO week to the next, in percent.

    A week is compared with the calendar week before it. Nothing is compared where either week
    is partial, where there was no training in the week before, or where its load is zero
    (body-mass work only); `reason` says which.
    """
    bouts = bouts_of(sets, only=("hard_sets", "volume_ug"))
    weeks = (
        bouts.frame.group_by("client", "week")
        .agg(
            volume_load_kg=from_exact(pl.col("volume_ug").sum()),
            hard_sets=pl.col("hard_sets").sum(),
        )
        .join(bouts.weeks, on=["client", "week"], how="left")
    )
    before = weeks.select(
        "client",
        week=pl.col("week").dt.offset_by("1w"),
        previous_volume_load_kg=pl.col("volume_load_kg"),
        previous_hard_sets=pl.col("hard_sets"),
        _before_partial=pl.col("is_partial"),
    )
    first = pl.col("week") == pl.col("week").min().over("client")
    whole = ~pl.col("is_partial") & ~pl.col("_before_partial").fill_null(True)
    return conform(
        weeks.join(before, on=["client", "week"], how="left")
        .with_columns(
            volume_load_change_pct=_change("volume_load_kg", whole),
            hard_sets_change_pct=_change("hard_sets", whole),
            reason=pl.when(first)
            .then(pl.lit("first week of the log"))
            .when(pl.col("_before_partial").is_null())
            .then(pl.lit("no training in the week before"))
            .when(pl.col("is_partial"))
            .then(pl.lit("the week is partial"))
            .when(pl.col("_before_partial"))
            .then(pl.lit("the week before is partial"))
            .when((pl.col("previous_volume_load_kg") == 0) | (pl.col("previous_hard_sets") == 0))
            .then(pl.lit("nothing to divide by in the week before")),
        )
        .sort("client", "week"),
        WEEK_CHANGE,
    )


def _change(name: str, allowed: pl.Expr) -> pl.Expr:
    before = pl.col(f"previous_{name}")
    return pl.when(allowed & (before > 0)).then(100 * (pl.col(name) / before - 1))
