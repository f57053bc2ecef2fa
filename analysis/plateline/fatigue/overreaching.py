"""What the fatigue/performance ratio is worth: simulated over-reaching, lead time, false alarms."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import numpy.typing as npt
import polars as pl

from plateline.fatigue.balance import performance_ratio
from plateline.words import SETS, SetKind, conform

__all__ = ["alarm_study", "simulate_overreaching"]

START = date(2025, 1, 6)
TRAINING_DAYS = (0, 2, 4)
LIFTS = ("Back squat", "Bench press", "Barbell row")
BASE_SETS = 4
REPS = 8
LOAD_SHARE = 0.75
"""A plain plan: three lifts three times a week, four sets of eight at 75 % of the maximum."""

FITNESS_DAYS, FATIGUE_DAYS = 42.0, 14.0
FITNESS_GAIN, FATIGUE_GAIN = 0.10, 0.38
"""The truth: an impulse-response model with slower fatigue than in the textbook pair (42 and 7
days), so that strength falls a week or more after the load has risen, not the day after."""

FALL_PCT = 5.0
"""Strength has fallen when its true value lies this far below that of the first over-reaching day:
a little beyond the 4.2 % by which repeated 1RM tests vary (Grgic et al. 2020), so a coach sees it."""

CHECK_DAYS = 28
"""An alarm belongs to an over-reaching phase when it comes within four weeks of its beginning."""


def simulate_overreaching(
    lifters: int = 100,
    *,
    weeks: int = 30,
    overreach: bool = True,
    load_factor: float = 2.0,
    seed: int = 1,
) -> tuple[pl.DataFrame, pl.DataFrame, pl.DataFrame]:
    """Simulate lifters with ordinary hard and light weeks, and one phase of far too much work.

    Ordinary life: weekly sets vary by 15 % about the plan, every sixth week is a deload (60 % of
    the sets), one training day in twelve is missed, and one lifter in three has a week off. With
    `overreach`, three weeks in the second half have `load_factor` times the sets. Strength
    follows an impulse-response model of the sets done, rises slowly by itself, and is seen with
    an error of 2.5 % a session.

    Returns
    -------
    sets, strength, truth : polars.DataFrame
        SETS; `client, exercise, date, strength_kg` as a session shows it (a LIFT_SESSIONS for
        `performance_ratio`); and `client, date, true_pct` (true strength of every day in percent
        of the start), `starts` (first day of over-reaching, null without).
    """
    chance = np.random.default_rng(seed)
    days = 7 * weeks
    planned = _planned_sets(chance, lifters, weeks)
    starts = chance.integers(weeks // 2, weeks - 6, lifters)
    if overreach:
        for lifter, week in enumerate(starts):
            planned[lifter, week : week + 3] = load_factor * BASE_SETS
    done = np.zeros((lifters, days))
    for day in TRAINING_DAYS:
        present = chance.random((lifters, weeks)) > 1 / 12
        done[:, day::7] = np.maximum(np.rint(planned), 0) * present
    true_pct = _response(done)
    frames = _frames(chance, done, true_pct)
    truth = pl.DataFrame(
        {
            "client": np.repeat([f"lifter {i:03d}" for i in range(lifters)], days),
            "date": [START + timedelta(days=int(d)) for d in range(days)] * lifters,
            "true_pct": true_pct.ravel(),
        }
    )
    begin = pl.DataFrame(
        {
            "client": [f"lifter {i:03d}" for i in range(lifters)],
            "starts": [START + timedelta(days=7 * int(w)) if overreach else None for w in starts],
        },
        schema_overrides={"starts": pl.Date},
    )
    return *frames, truth.join(begin, on="client", how="left")


def _planned_sets(chance: np.random.Generator, lifters: int, weeks: int) -> npt.NDArray[np.float64]:
    """Return sets a lift and session, per lifter and week: ordinary hard and light weeks."""
    planned = BASE_SETS * chance.normal(1.0, 0.15, (lifters, weeks)).clip(0.5, 1.5)
    planned[:, 5::6] = 0.6 * BASE_SETS
    away = chance.random(lifters) < 1 / 3
    planned[away, chance.integers(4, weeks, lifters)[away]] = 0
    return planned


def _response(done: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
    """Return true strength of every morning in percent of the start."""
    keep = np.exp(-1 / np.array([FITNESS_DAYS, FATIGUE_DAYS]))
    usual = done.mean()
    state = np.zeros((done.shape[0], 2)) + usual / (1 - keep)
    level = FITNESS_GAIN * state[:, 0] - FATIGUE_GAIN * state[:, 1]
    first = level.copy()
    out = np.empty_like(done)
    for day in range(done.shape[1]):
        out[:, day] = (
            100 + 0.03 * day + (FITNESS_GAIN * state[:, 0] - FATIGUE_GAIN * state[:, 1] - first)
        )
        state = state * keep + done[:, day : day + 1]
    return out


def _frames(
    chance: np.random.Generator,
    done: npt.NDArray[np.float64],
    true_pct: npt.NDArray[np.float64],
) -> tuple[pl.DataFrame, pl.DataFrame]:
    lifter, day = np.nonzero(done)
    sessions = pl.DataFrame(
        {
            "client": [f"lifter {i:03d}" for i in lifter],
            "date": [START + timedelta(days=int(d)) for d in day],
            "sets": done[lifter, day].astype(int),
            "true_pct": true_pct[lifter, day],
        }
    ).join(pl.DataFrame({"exercise": LIFTS}), how="cross")
    seen = sessions.with_columns(
        strength_kg=pl.col("true_pct") * np.exp(chance.normal(0, 0.025, sessions.height))
    )
    sets = (
        seen.with_columns(
            load_kg=LOAD_SHARE * pl.col("true_pct"), reps=pl.lit(REPS), _n=pl.int_ranges("sets")
        )
        .explode("_n", empty_as_null=False)
        .with_columns(set_kind=pl.lit(SetKind.WORKING.value))
    )
    missing = [name for name in SETS if name not in sets.columns]
    sets = sets.with_columns(pl.lit(None).alias(name) for name in missing)
    return conform(sets, SETS), seen.select("client", "exercise", "date", "strength_kg")


def alarm_study(
    thresholds: tuple[float, ...] = (1.1, 1.2, 1.3, 1.4, 1.5),
    *,
    lifters: int = 200,
    seed: int = 1,
) -> pl.DataFrame:
    """Say how early the ratio warns of over-reaching, how often, and how often it cries wolf.

    Simulates the same number of lifters with and without a phase of over-reaching
    (`simulate_overreaching`). An alarm is a week in which the mean of a client's lifts exceeds the
    threshold.

    Returns
    -------
    polars.DataFrame
        One row per threshold: `threshold`; `fell`, lifters whose true strength fell by 5 %;
        `warned_share`, those of them with an alarm between the beginning of the phase and the
        fall; `median_lead_days`, from that alarm to the fall; `false_alarms_year`, alarm weeks per
        lifter-year in those who never over-reached; `false_alarm_share`, share of their weeks.
    """
    sets, strength, truth = simulate_overreaching(lifters, seed=seed)
    over = _client_ratio(sets, strength)
    calm_sets, calm_strength, _ = simulate_overreaching(lifters, overreach=False, seed=seed + 1)
    calm = _client_ratio(calm_sets, calm_strength).drop_nulls("ratio")
    falls = _falls(truth)
    rows = []
    for threshold in thresholds:
        alarms = (
            over.filter(pl.col("ratio") > threshold)
            .join(falls, on="client")
            .filter(pl.col("date") >= pl.col("starts"), pl.col("date") < pl.col("fell_on"))
            .group_by("client")
            .agg(lead=(pl.col("fell_on") - pl.col("date")).max().dt.total_days())
        )
        wolf = calm["ratio"] > threshold
        rows.append(
            {
                "threshold": threshold,
                "fell": falls.height,
                "warned_share": alarms.height / falls.height if falls.height else None,
                "median_lead_days": alarms["lead"].median(),
                "false_alarms_year": 52 * wolf.sum() / wolf.len(),
                "false_alarm_share": wolf.sum() / wolf.len(),
            }
        )
    return pl.DataFrame(rows)


def _client_ratio(sets: pl.DataFrame, strength: pl.DataFrame) -> pl.DataFrame:
    return (
        performance_ratio(sets, strength)
        .group_by("client", "week")
        .agg(ratio=pl.col("performance_ratio").mean(), date=pl.col("date").max())
        .sort("client", "week")
    )


def _falls(truth: pl.DataFrame) -> pl.DataFrame:
    """Return the day on which each over-reaching lifter's true strength had fallen."""
    before = truth.filter(pl.col("date") == pl.col("starts")).select(
        "client", level=pl.col("true_pct")
    )
    return (
        truth.join(before, on="client")
        .filter(
            pl.col("date") >= pl.col("starts"),
            pl.col("date") <= pl.col("starts").dt.offset_by(f"{CHECK_DAYS}d"),
            pl.col("true_pct") <= pl.col("level") - FALL_PCT,
        )
        .group_by("client", "starts")
        .agg(fell_on=pl.col("date").min())
    )
