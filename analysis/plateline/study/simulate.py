"""A generative model of lifters, sessions and sets, with the truth beside it.

Used for the validation of the lift states, for everyone's tests and for the study's power
and coverage. It is deliberately **not** of the estimator's family:

- Strength is a rate of progress that falls off with training age (gain with the logarithm of
  time) and changes over one to five weeks, plus an autoregressive wobble, plus detraining in a
  layoff that is regained faster than it was lost, minus fatigue that each session adds and
  about six days remove. The estimator thinks of straight pieces with a corner and of
  independent noise.
- A day's readiness is shared by all lifts of that day, carries over from day to day and has
  Student-t tails (4 degrees of freedom).
- Reps at a load follow a power law (1 + (reps - 1)/k)^-p with k and p by person and lift; no
  published equation is of that form.
- Nothing is observed but what people write: whole reps, plate loads, RIR misjudged by the
  person's own bias (more so far from failure and in long sets) or not written at all; sets end
  at the top of the rep range; loads follow one of four habits, so load reacts to strength with
  delay, and a stalled load need not be a stalled lift.

Where it may flatter an estimator all the same: each lift has at most one change of regime
in the window (two, the second sharp, in the scenario `two turns`); the spreads, though
different from person to person, do not change within one; readiness and wobble are independent
of the regime (a dieting person's are not); exercises keep their names; days are never misdated;
a change is never an injury.
Sizes are choices of ours, not estimates from people, except where a source stands beside them.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import polars as pl

from plateline.errors import UsageError
from plateline.study.latent import Paths, capacity_share, draw_paths
from plateline.study.lifters import HABITS, LIFTS, REGIMES, RIR_MODES, Group, draw_group
from plateline.study.scenarios import Scenario, scenario_named
from plateline.study.sessions import train
from plateline.words import SET_KIND_TYPE, SETS, SetKind, State, conform

__all__ = [
    "DEFAULT_AS_OF",
    "LIFT_TRUTH",
    "SLOPE_DAYS",
    "STATE_PCT_WEEK",
    "Simulation",
    "simulate_lifters",
    "simulation",
    "true_loads",
    "write_log",
]

STATE_PCT_WEEK = 0.10
"""A lift is truly progressing (declining) when its rate is beyond this, % a week."""

SLOPE_DAYS = 14
"""The true rate at a date is the mean of this many days up to it."""

LIFT_TRUTH = {
    "client": pl.String,
    "exercise": pl.String,
    "as_of": pl.Date,
    "scenario": pl.String,
    "regime": pl.String,
    "onset": pl.Date,
    "state": pl.String,
    "slope_pct_week": pl.Float64,
    "true_1rm_kg": pl.Float64,
    "curve_k": pl.Float64,
    "curve_p": pl.Float64,
    "habit": pl.String,
    "rir_mode": pl.String,
    "training_age_years": pl.Float64,
    "readiness_sd": pl.Float64,
    "lift_day_sd": pl.Float64,
}
"""One row per simulated lift. `onset` is null where the regime never changed;
`slope_pct_week` is the trend's mean rate over the last two weeks; `true_1rm_kg` is the strength
of an ordinary training day: average readiness, and the fatigue that the lift's sessions of the
last eight weeks usually began with."""

FATIGUE_DAYS = 56
FIRST_SET = 2  # 1 is the warm-up, whether it is logged or not

KINDS = (SetKind.WORKING, SetKind.WARM_UP, SetKind.TOP, SetKind.BACK_OFF)
DEFAULT_AS_OF = dt.date(2026, 6, 28)


def simulate_lifters(
    lifters: int = 400,
    *,
    scenario: str | Scenario = "base",
    weeks: int = 26,
    as_of: dt.date = DEFAULT_AS_OF,
    lifts_each: tuple[int, int] = (2, 4),
    seed: int = 1,
) -> tuple[pl.DataFrame, pl.DataFrame]:
    """Simulate lifters who train for `weeks` weeks up to `as_of`.

    Parameters
    ----------
    lifters
        Number of people; each has between `lifts_each[0]` and `lifts_each[1]` lifts.
    scenario
        A name from `SCENARIOS`, or a scenario of your own.
    weeks
        Length of the log, at least 4.
    seed
        Same arguments and seed, same frames.

    Returns
    -------
    sets
        SETS (see `plateline.words`), sorted by client, date and source order.
    truth
        LIFT_TRUTH: one row per lift.

    Raises
    ------
    UsageError
        When the numbers make no log, or the scenario is not known.
    """
    chosen = scenario_named(scenario)
    if lifters < 1 or weeks < 4 or not 1 <= lifts_each[0] <= lifts_each[1] <= len(LIFTS):
        raise UsageError(
            f"Simulating needs at least 1 lifter, 4 weeks and 1 to {len(LIFTS)} lifts each; "
            f"it was asked for {lifters}, {weeks} and {lifts_each[0]} to {lifts_each[1]}."
        )
    return simulation(chosen, lifters, weeks, as_of, lifts_each, seed).frames()


@dataclass(frozen=True)
class Simulation:
    """One simulated group with everything beneath it: the log, and what nobody sees."""

    scenario: Scenario
    group: Group
    paths: Paths
    rows: dict[str, np.ndarray]
    first_day: dt.date
    as_of: dt.date

    def frames(self) -> tuple[pl.DataFrame, pl.DataFrame]:
        """Return the log as SETS and the truth as LIFT_TRUTH."""
        return (
            _sets(self.group, self.rows, self.first_day),
            _truth(self),
        )

    def usual_fatigue(self) -> np.ndarray:
        """Return by lift the mean log strength missing at the start of recent sessions."""
        rows, days = self.rows, self.paths.trend.shape[1]
        first = (rows["order"] == FIRST_SET) & (rows["day"] >= days - FATIGUE_DAYS)
        lift = rows["lift"][first]
        total = np.bincount(lift, rows["tired"][first], self.group.lifts)
        return total / np.maximum(np.bincount(lift, minlength=self.group.lifts), 1)


def simulation(
    scenario: Scenario,
    lifters: int,
    weeks: int,
    as_of: dt.date = DEFAULT_AS_OF,
    lifts_each: tuple[int, int] = (2, 4),
    seed: int = 1,
) -> Simulation:
    """Draw a group and its log; see `simulate_lifters`, which checks its arguments."""
    rng = np.random.default_rng(seed)
    days = weeks * 7
    group = draw_group(rng, lifters, lifts_each, scenario)
    paths = draw_paths(rng, group, days)
    rows = train(rng, group, paths)
    rows["mistyped"] = _mistype(rng, rows, scenario.typing_rate)
    first_day = as_of - dt.timedelta(days=days - 1)
    return Simulation(scenario, group, paths, rows, first_day, as_of)


def _mistype(rng: np.random.Generator, rows: dict[str, np.ndarray], rate: float) -> np.ndarray:
    """Put typing errors into loads and reps: tenfold, two digits swapped, lb as kg, reps."""
    wrong = np.flatnonzero(rng.random(len(rows["load"])) < rate)
    what = rng.integers(0, 4, len(wrong))
    load = rows["load"] = rows["load"].astype(float)
    reps = rows["reps"] = rows["reps"].copy()
    load[wrong[what == 0]] *= rng.choice([0.1, 10.0], int((what == 0).sum()))
    for row in wrong[what == 1]:
        digits = f"{load[row]:g}"
        load[row] = max(float(digits[1:2] + digits[:1] + digits[2:]), 1) if len(digits) > 1 else 1
    load[wrong[what == 2]] = np.round(load[wrong[what == 2]] * 2.2046)
    slip = wrong[what == 3]
    reps[slip] = np.where(rng.random(len(slip)) < 0.5, reps[slip] * 10 + 1, reps[slip] + 10)
    mistyped = np.zeros(len(load), bool)
    mistyped[wrong] = True
    return mistyped


def _sets(group: Group, rows: dict[str, np.ndarray], first_day: dt.date) -> pl.DataFrame:
    names = pl.Series([lift[0] for lift in LIFTS])
    kinds = pl.Series([kind.value for kind in KINDS], dtype=SET_KIND_TYPE)
    clients = pl.Series(group.client)
    lift = rows["lift"]
    frame = pl.DataFrame(
        {
            "client": clients.gather(group.lifter[lift]),
            "date": pl.Series(rows["day"].astype(np.int32)),
            "exercise": names.gather(group.kind[lift]),
            "set_order": rows["order"].astype(np.int32),
            "set_kind": kinds.gather(rows["kind"]),
            "load_kg": rows["load"],
            "reps": rows["reps"].astype(np.int32),
            "rir": pl.Series(rows["rir"]).fill_nan(None),
        }
    )
    absent = [name for name in SETS if name not in frame.columns]
    frame = frame.with_columns(
        (pl.lit(first_day) + pl.duration(days="date")).alias("date"),
        *(pl.lit(None).alias(name) for name in absent),
    ).sort("client", "date", "exercise", "set_order")
    return conform(
        frame.with_columns(
            source_file=pl.lit("simulated"), source_line=pl.int_range(2, pl.len() + 2)
        ),
        SETS,
    )


def _truth(simulated: Simulation) -> pl.DataFrame:
    group, paths, first_day = simulated.group, simulated.paths, simulated.first_day
    slope = paths.rate_pct_week[:, -SLOPE_DAYS:].mean(axis=1)
    state = np.select(
        [slope > STATE_PCT_WEEK, slope < -STATE_PCT_WEEK],
        [State.PROGRESSING.value, State.DECLINING.value],
        State.PLATEAU.value,
    )
    who = group.lifter
    frame = pl.DataFrame(
        {
            "client": pl.Series(group.client).gather(who),
            "exercise": pl.Series([lift[0] for lift in LIFTS]).gather(group.kind),
            "regime": np.array(REGIMES)[paths.regime],
            "onset": paths.onset_day.astype(np.int32),
            "state": state,
            "slope_pct_week": slope,
            "true_1rm_kg": np.exp(paths.strength[:, -1] - simulated.usual_fatigue()),
            "curve_k": group.curve_k,
            "curve_p": group.curve_p,
            "habit": np.array(HABITS)[group.habit[who]],
            "rir_mode": np.array(RIR_MODES)[group.rir_mode[who]],
            "training_age_years": group.training_age_years[who],
            "readiness_sd": group.readiness_sd[who],
            "lift_day_sd": group.lift_day_sd,
        }
    ).with_columns(
        onset=pl.when(pl.col("onset") >= 0).then(pl.lit(first_day) + pl.duration(days="onset")),
        as_of=pl.lit(simulated.as_of),
        scenario=pl.lit(simulated.scenario.name),
    )
    return conform(frame, LIFT_TRUTH).sort("client", "exercise")


def true_loads(truth: pl.DataFrame, reps: int, rir: float) -> pl.DataFrame:
    """Return the load each lift truly moves for `reps` with `rir` left, on an ordinary day.

    Returns
    -------
    pl.DataFrame
        `client, exercise, reps, rir, load_kg`, in the order of `truth`.
    """
    share = capacity_share(
        np.full(truth.height, reps + rir, float),
        truth["curve_k"].to_numpy(),
        truth["curve_p"].to_numpy(),
    )
    return truth.select(
        "client",
        "exercise",
        reps=pl.lit(reps, pl.Int32),
        rir=pl.lit(rir, pl.Float64),
        load_kg=pl.col("true_1rm_kg") * pl.Series(share),
    )


def write_log(sets: pl.DataFrame, path: Path) -> None:
    """Write simulated sets as a log in the contract's CSV form (kg, ISO dates)."""
    aside = path.with_name(f".{path.name}.part")
    sets.select(
        "client", "date", "session", "exercise", "set_order", "set_kind", "superset",
        load=pl.col("load_kg"), unit=pl.lit("kg"), reps="reps", rir="rir", side="side",
        rest_s="rest_s", feel="feel", note="note",
    ).write_csv(aside)  # fmt: skip
    aside.replace(path)
