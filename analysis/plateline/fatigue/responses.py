"""The fitness-fatigue model of every progression lift of a log."""

from __future__ import annotations

from typing import Any

import numpy as np
import polars as pl

from plateline import load
from plateline.fatigue.impulse import fit_impulse_response
from plateline.fatigue.tables import IMPULSE_PREDICTION, IMPULSE_RESPONSE
from plateline.fatigue.trend_line import lift_strength
from plateline.load import bouts_of
from plateline.load.counting import from_exact
from plateline.words import Role, conform

__all__ = ["impulse_response"]

AHEAD_DAYS = 28
"""The prediction goes on for four weeks as if nothing were trained: what rest alone would do."""


def impulse_response(
    sets: Any, curves: Any, plan: Any = None, *, catalogue: Any = None, roles: Any = None
) -> tuple[pl.DataFrame, pl.DataFrame]:
    """Fit the fitness-fatigue model to every progression lift.

    Load is the daily volume-load of all lifts that share a direct muscle with the lift, tests
    are its sessions' strength. Each lift is fitted by itself (0.1 s): this is a closer look, not
    part of the weekly tables.

    Parameters
    ----------
    sets
        SETS frame (Polars eager or lazy, pandas, Arrow).
    curves
        LIFT_CURVES or LIFT_SESSIONS.
    plan, catalogue
        PLAN and CATALOGUE, for the roles and the muscles.
    roles
        What `plateline.load.roles` returned for the same log, where it was asked already.

    Returns
    -------
    constants : polars.DataFrame
        One row per progression lift. Where the data cannot tell the constants apart they are
        null and `reason` says so: the published worked example itself cannot. `r_squared` is of
        the fit, which says nothing about prediction.
    prediction : polars.DataFrame
        One row per lift and day, with a 90 % interval for a test on that day, and four weeks on
        without training. Averaged over all constants that the data allow.
    """
    strength = lift_strength(curves)
    chosen = (
        (load.roles(sets, plan, catalogue=catalogue) if roles is None else roles)
        .filter(pl.col("role") == Role.PROGRESSION.value)
        .select("client", "exercise")
        .join(strength.select("client", "exercise").unique(), on=["client", "exercise"])
        .sort("client", "exercise")
    )
    loads = _loads(bouts_of(sets, catalogue=catalogue, only=("volume_ug",)), chosen)
    constants, predictions = [], []
    by_lift = strength.partition_by("client", "exercise", as_dict=True)
    for (client, exercise), days in loads.partition_by(
        "client", "exercise", as_dict=True, maintain_order=True
    ).items():
        one, many = _one_lift(str(client), str(exercise), days, by_lift[(client, exercise)])
        constants.append(one)
        predictions.append(many)
    return (
        pl.DataFrame(constants, schema=IMPULSE_RESPONSE),
        pl.concat(predictions) if predictions else pl.DataFrame(schema=IMPULSE_PREDICTION),
    )


def _loads(bouts: Any, chosen: pl.DataFrame) -> pl.DataFrame:
    """Return the load of each chosen lift's muscles on every day, four weeks past the last."""
    muscles = (
        bouts.facts.select(pl.col("exercise").cast(pl.String), muscle=pl.col("direct"))
        .explode("muscle", empty_as_null=True)
        .drop_nulls()
    )
    shared = (
        muscles.join(muscles, on="muscle")
        .select("exercise", other="exercise_right")
        .vstack(
            bouts.facts.select(
                pl.col("exercise").cast(pl.String), other=pl.col("exercise").cast(pl.String)
            )
        )
        .unique()
    )
    daily = bouts.frame.group_by(
        pl.col("client").cast(pl.String), "date", other=pl.col("exercise").cast(pl.String)
    ).agg(pl.col("volume_ug").sum())
    worked = (
        chosen.join(shared, on="exercise")
        .join(daily, on=["client", "other"])
        .group_by("client", "exercise", "date")
        .agg(load=from_exact(pl.col("volume_ug").sum()))
    )
    calendar = (
        worked.group_by("client", "exercise")
        .agg(
            first=pl.col("date").min(),
            last=pl.col("date").max().dt.offset_by(f"{AHEAD_DAYS}d"),
        )
        .select("client", "exercise", date=pl.date_ranges("first", "last"))
        .explode("date", empty_as_null=False)
    )
    return (
        calendar.join(worked, on=["client", "exercise", "date"], how="left")
        .with_columns(pl.col("load").fill_null(0.0))
        .sort("client", "exercise", "date")
    )


def _one_lift(
    client: str, exercise: str, days: pl.DataFrame, strength: pl.DataFrame
) -> tuple[dict[str, Any], pl.DataFrame]:
    first = days["date"][0]
    tests = strength.filter(pl.col("date").is_between(first, days["date"][-1]))
    numbers = (tests["date"] - first).dt.total_days().to_numpy()
    fit = fit_impulse_response(days["load"].to_numpy(), numbers, tests["strength_kg"].to_numpy())
    shown = fit.constants if fit.verdict == "identifiable" else None
    p0, k1, k2, tau1, tau2 = shown if shown is not None else (None,) * 5
    row = {
        "client": client,
        "exercise": exercise,
        "verdict": fit.verdict,
        "start_kg": p0,
        "fitness_gain": k1,
        "fatigue_gain": k2,
        "fitness_days": tau1,
        "fatigue_days": tau2,
        "tests": fit.tests,
        "rmse": None if np.isnan(fit.rmse) else fit.rmse,
        "r_squared": None if np.isnan(fit.r_squared) else fit.r_squared,
        "reason": fit.reason,
    }
    frame = (
        days.select("client", "exercise", "date")
        .with_columns(
            predicted=pl.Series(fit.predicted).fill_nan(None),
            low=pl.Series(fit.low).fill_nan(None),
            high=pl.Series(fit.high).fill_nan(None),
        )
        .join(
            tests.select("date", observed="strength_kg"),
            on="date",
            how="left",
            maintain_order="left",
        )
    )
    return row, conform(frame, IMPULSE_PREDICTION)
