"""Readiness by week: check-ins, body mass, intake and load side by side."""

from __future__ import annotations

from typing import Any

import polars as pl

from plateline.fatigue.checkins import PHASE_DAYS, body_mass_trend, hooper
from plateline.fatigue.ratios import load_ratios
from plateline.fatigue.tables import READINESS
from plateline.load.counting import over
from plateline.load.door import optional_frame
from plateline.load.weeks import monday
from plateline.words import conform

__all__ = ["LOSING_PCT_WEEK", "SHORT_SLEEP_H", "readiness"]

SHORT_SLEEP_H = 7.0
"""Adults need seven hours or more on a regular basis (Watson et al. 2015, consensus statement of
the American Academy of Sleep Medicine and the Sleep Research Society, Sleep 38(6):843-844;
quoted from memory)."""

HIGH_INDEX_SD = 1.0
SINGLE_INDEX_SD = 1.5
LEAST_SD = 1.0
"""A week is one of high fatigue when its mean Hooper index lies one standard deviation of the
client's own, and at least one point, above usual; with a single rating, which varies more than a
mean, one and a half. Common practice, no source. On simulated ratings that only scatter, one week
in eight is called so where the client rates about once a week, one in twelve with two ratings, one
in fifteen with three and one in a hundred with daily ones: a single such week says little."""

LOSING_PCT_WEEK = -0.25
"""Body mass that falls faster than this is being lost: the lower end of holding it.

With two weighings a week that scatter by 0.8 % about a mass that holds, one week in seven looks so, with
daily ones one in thirty."""


def readiness(sets: Any, checkins: Any, clients: Any = None) -> pl.DataFrame:
    """Return one row per client and week with what the check-ins and the load say.

    Means are over the check-ins of the week that logged the thing; a week without is null,
    never filled in from its neighbours. Body mass and its change are those of the week's last
    weighing (`body_mass_trend`). `load_ratio` is the coupled rolling acute:chronic ratio of
    volume-load at the week's end (1 when every week is like the last).

    Three yes-or-no columns sum it up, null where it cannot be told: `is_high_fatigue` (mean
    Hooper index at least one standard deviation, one and a half where it was rated once, and one
    point above the client's usual),
    `is_short_sleep` (mean below seven hours; where hours are not logged, mean sleep rating of 5
    or worse), `is_losing_mass` (slope below -0.25 % a week).

    Parameters
    ----------
    sets
        SETS frame (Polars eager or lazy, pandas, Arrow).
    checkins
        CHECKINS frame; without check-ins only the load ratio is known.
    clients
        CLIENTS frame, for the phase (as it is now: given to the last four weeks only).
    """
    weeks = _weekly(checkins)
    loads = (
        load_ratios(sets)
        .filter(pl.col("measure") == "volume-load")
        .select("client", "week", load_ratio="ratio_coupled")
    )
    mass = _weekly_mass(checkins, clients)
    index = _weekly_index(checkins)
    table = (
        weeks.join(loads, on=["client", "week"], how="full", coalesce=True)
        .join(index, on=["client", "week"], how="left")
        .join(mass, on=["client", "week"], how="left")
        .with_columns(
            pl.col("checkins").fill_null(0),
            protein_g_kg=over(pl.col("protein_g"), pl.col("body_mass_kg")),
            is_high_fatigue=pl.when(pl.col("usual_sd").is_not_null()).then(
                pl.col("hooper_index") - pl.col("usual_index")
                >= pl.max_horizontal(_needed_sd() * pl.col("usual_sd"), pl.lit(LEAST_SD))
            ),
            is_short_sleep=pl.coalesce(
                pl.col("sleep_h") < SHORT_SLEEP_H, pl.col("sleep_rating") >= 5
            ),
            is_losing_mass=pl.col("body_mass_pct_week") < LOSING_PCT_WEEK,
            reason=_what_is_missing(),
        )
        .sort("client", "week")
    )
    return conform(table, READINESS)


def _weekly(checkins: Any) -> pl.DataFrame:
    days = optional_frame(checkins, "check-ins").drop_nulls(["client", "date"])
    wellness = ["sleep_h", "sleep", "stress", "fatigue", "soreness", "energy_kcal", "protein_g"]
    told = pl.any_horizontal(pl.col(*wellness, "body_mass_kg").is_not_null())
    return (
        days.filter(told)
        .with_columns(week=monday(pl.col("date")))
        .group_by("client", "week")
        .agg(
            pl.col("sleep_h", "energy_kcal", "protein_g").mean(),
            sleep_rating=pl.col("sleep").mean(),
            checkins=pl.col("date").n_unique().cast(pl.Int64),
        )
    )


def _weekly_index(checkins: Any) -> pl.DataFrame:
    """Return the week's mean Hooper index, and what was usual when the week began."""
    return (
        hooper(checkins)
        .with_columns(week=monday(pl.col("date")))
        .sort("client", "date")
        .group_by("client", "week", maintain_order=True)
        .agg(
            pl.col("hooper_index").mean(),
            pl.col("usual_index", "usual_sd").first(),
            ratings=pl.col("hooper_index").count(),
        )
    )


def _needed_sd() -> pl.Expr:
    """Return how many standard deviations above usual a week must lie, by its ratings."""
    return pl.when(pl.col("ratings") == 1).then(SINGLE_INDEX_SD).otherwise(HIGH_INDEX_SD)


def _weekly_mass(checkins: Any, clients: Any) -> pl.DataFrame:
    phases = optional_frame(clients, "clients").select("client", "phase").unique("client")
    return (
        body_mass_trend(checkins, clients)
        .drop("phase")
        .with_columns(
            week=monday(pl.col("date")),
            _recent=pl.col("date")
            > pl.col("date").max().over("client").dt.offset_by(f"-{PHASE_DAYS}d"),
        )
        .join(phases, on="client", how="left")
        .sort("client", "date")
        .group_by("client", "week", maintain_order=True)
        .agg(
            body_mass_kg=pl.col("smoothed_kg").last(),
            body_mass_pct_week=pl.col("slope_pct_week").last(),
            against_aim=pl.col("against_aim").last(),
            phase=pl.when(pl.col("_recent").last()).then(pl.col("phase").last()),
        )
    )


def _what_is_missing() -> pl.Expr:
    missing = {
        "Hooper index": "hooper_index",
        "sleep": "sleep_h",
        "energy": "energy_kcal",
        "protein": "protein_g",
        "body mass": "body_mass_kg",
    }
    none = pl.col("checkins").fill_null(0) == 0
    names = pl.concat_str(
        [pl.when(pl.col(column).is_null()).then(pl.lit(name)) for name, column in missing.items()],
        separator=", ",
        ignore_nulls=True,
    )
    return (
        pl.when(none)
        .then(pl.lit("no check-in in the week"))
        .when(names != "")
        .then(pl.format("not logged: {}", names))
    )
