"""The methods that the validation compares, each as one call on a simulation and a date."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import polars as pl

from plateline.study.baselines import (
    change_point_search,
    equivalence_eight_weeks,
    no_new_best,
    regression_eight_weeks,
    session_bests,
)
from plateline.study.ceiling import ceiling
from plateline.study.latent import capacity_share
from plateline.study.simulate import Simulation
from plateline.words import State

__all__ = ["METHODS", "PLATELINE", "TARGET_REPS", "TARGET_RIR", "Method", "called", "target_loads"]

PLATELINE = "plateline"
TARGET_REPS, TARGET_RIR = 8, 2.0
NORMAL_80 = 1.2816


@dataclass(frozen=True)
class Method:
    """A way to call the state of every lift at a date: returns at least `baselines.CALLS`."""

    name: str
    sentence: str
    call: Callable[[Simulation, pl.DataFrame, dt.date], pl.DataFrame]


def _plateline(_: Simulation, sets: pl.DataFrame, as_of: dt.date) -> pl.DataFrame:
    from plateline.trend import lift_status

    return lift_status(sets, as_of).with_columns(score=pl.col("p_progressing"))


def _ceiling(simulated: Simulation, _: pl.DataFrame, as_of: dt.date) -> pl.DataFrame:
    calls = ceiling(simulated, (as_of - simulated.first_day).days)
    return calls.with_columns(score=pl.col("p_progressing"))


METHODS = {
    method.name: method
    for method in (
        Method(
            "no new best", "no new best e1RM in 21 days", lambda _, sets, day: no_new_best(sets, day)
        ),
        Method(
            "regression", "eight-week regression slope, t test",
            lambda _, sets, day: regression_eight_weeks(sets, day),
        ),
        Method(
            "equivalence", "eight-week regression, plateau only where two one-sided tests show it",
            lambda _, sets, day: equivalence_eight_weeks(sets, day),
        ),
        Method(
            "change points", "piecewise-linear change points of a general library",
            lambda _, sets, day: change_point_search(sets, day),
        ),
        Method(PLATELINE, "the kit's lift_status()", _plateline),
        Method("ceiling", "the simulator's own truths, rates unknown", _ceiling),
    )
}  # fmt: skip


def target_loads(
    name: str, simulated: Simulation, sets: pl.DataFrame, calls: pl.DataFrame
) -> pl.DataFrame | None:
    """Return `client, exercise, load_kg, load_low, load_high` for 8 reps at 2 RIR, or none.

    `calls` is what the method said of the states, of which the ceiling's holds its strengths.
    `no new best` stands for the coach's arithmetic: the last session's best Epley e1RM, turned
    round, without an interval.
    """
    failing = TARGET_REPS + TARGET_RIR
    if name == PLATELINE:
        from plateline.trend import targets

        return targets(sets, reps=TARGET_REPS, rir=TARGET_RIR, as_of=simulated.as_of)
    if name == "no new best":
        last = session_bests(sets, simulated.as_of).group_by("client", "exercise").last()
        return last.select(
            "client", "exercise", load_kg=pl.col("e1rm_kg") / (1 + failing / 30),
            load_low=pl.lit(None, pl.Float64), load_high=pl.lit(None, pl.Float64),
        )  # fmt: skip
    if name == "ceiling":
        group = simulated.group
        _, truth = simulated.frames()
        share = capacity_share(
            np.full(group.lifts, failing), truth["curve_k"].to_numpy(), truth["curve_p"].to_numpy()
        )
        shares = truth.select("client", "exercise", share=pl.Series(share))
        half = NORMAL_80 * pl.col("strength_sd_pct") / 100
        return (
            calls.join(shares, on=["client", "exercise"])
            .with_columns(load_kg=pl.col("strength_kg") * pl.col("share"))
            .select(
                "client", "exercise", "load_kg",
                load_low=pl.col("load_kg") * (-half).exp(),
                load_high=pl.col("load_kg") * half.exp(),
            )
        )  # fmt: skip
    return None


def called(calls: pl.DataFrame) -> pl.Expr:
    """Return the most probable state where probabilities are given, so that doubt counts too."""
    if "p_plateau" not in calls.columns:
        return pl.col("state")
    best = pl.max_horizontal("p_progressing", "p_plateau", "p_declining")
    return (
        pl.when(pl.col("p_progressing") == best)
        .then(pl.lit(State.PROGRESSING.value))
        .when(pl.col("p_declining") == best)
        .then(pl.lit(State.DECLINING.value))
        .otherwise(pl.lit(State.PLATEAU.value))
    )
