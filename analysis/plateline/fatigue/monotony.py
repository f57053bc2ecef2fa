"""Monotony and strain of a week: how alike its days are, and how heavy with it."""

from __future__ import annotations

from typing import Any

import polars as pl

from plateline.errors import UnknownNameError
from plateline.fatigue.daily import daily_load, long_measures
from plateline.fatigue.tables import MONOTONY_STRAIN
from plateline.load.weeks import monday, partial_weeks
from plateline.words import conform

__all__ = ["monotony_of_weeks", "monotony_strain"]


def monotony_strain(sets: Any, checkins: Any = None, *, sd: str = "sample") -> pl.DataFrame:
    """Return monotony and strain of every ISO week.

    Monotony is the mean daily load of the seven days over their standard deviation, strain
    the week's load times monotony (Foster 1998, Med Sci Sports Exerc 30:1164-1168). The source
    does not say which standard deviation: the default is the sample one (n - 1);
    ``sd="population"`` gives 1.080 times the monotony.

    Where every day has the same load the deviation is zero and monotony has no value: null
    with a reason. Partial weeks have none either: their missing days are not rest.
    """
    ddof = _ddof(sd)
    daily = daily_load(sets, checkins=checkins)
    partial = partial_weeks(daily.filter("trained"))
    weeks = _whole_weeks(long_measures(daily))
    return conform(
        monotony_of_weeks(weeks, ddof)
        .join(partial, on=["client", "week"], how="left")
        .with_columns(pl.col("is_partial").fill_null(False))
        .with_columns(
            pl.when(~pl.col("is_partial")).then(pl.col("monotony", "strain")),
            reason=pl.when(pl.col("is_partial"))
            .then(pl.lit("the week is partial"))
            .otherwise(pl.col("reason")),
        )
        .sort("client", "week", "measure"),
        MONOTONY_STRAIN,
    )


def _ddof(sd: str) -> int:
    kinds = {"sample": 1, "population": 0}
    if sd not in kinds:
        raise UnknownNameError.among("standard deviation", sd, kinds)
    return kinds[sd]


def _whole_weeks(loads: pl.DataFrame) -> pl.DataFrame:
    """Extend each client's days to whole weeks; days outside the log count as rest."""
    span = (
        loads.group_by("client", "measure")
        .agg(
            first=monday(pl.col("date").min()),
            last=monday(pl.col("date").max()).dt.offset_by("6d"),
        )
        .select("client", "measure", date=pl.date_ranges("first", "last"))
        .explode("date", empty_as_null=False)
    )
    return span.join(
        loads.with_columns(_logged=True), on=["client", "measure", "date"], how="left"
    ).with_columns(
        load=pl.when(pl.col("_logged").is_null()).then(0.0).otherwise(pl.col("load")),
        week=monday(pl.col("date")),
    )


def monotony_of_weeks(days: pl.DataFrame, ddof: int = 1) -> pl.DataFrame:
    """Return monotony and strain of `client, measure, week, load` days (seven a week)."""
    load = pl.col("load")
    known = load.null_count() == 0
    table = days.group_by("client", "measure", "week").agg(
        week_load=pl.when(known).then(load.sum()),
        mean_per_day=pl.when(known).then(load.mean()),
        sd_per_day=pl.when(known).then(load.std(ddof)),
        _same=load.n_unique() == 1,
    )
    sd = (
        pl.when(pl.col("_same") & pl.col("sd_per_day").is_not_null())
        .then(0.0)
        .otherwise(pl.col("sd_per_day"))
    )
    return (
        table.with_columns(sd_per_day=sd)
        .with_columns(
            monotony=pl.when(pl.col("sd_per_day") > 0).then(
                pl.col("mean_per_day") / pl.col("sd_per_day")
            )
        )
        .with_columns(
            strain=pl.col("week_load") * pl.col("monotony"),
            reason=pl.when(pl.col("week_load").is_null())
            .then(pl.lit("a session of the week has no rating"))
            .when(pl.col("week_load") == 0)
            .then(pl.lit("no load in the week"))
            .when(pl.col("_same"))
            .then(pl.lit("the same load every day: no standard deviation to divide by")),
        )
    )
