"""The validation of the lift states on simulated lifters, as one table.

    python -m plateline.study.validation

prints the table of the README; `--out` writes every figure as CSV. The validation's own
random seed is not used anywhere else: an estimator is tuned on other draws.
"""

from __future__ import annotations

import argparse
import datetime as dt
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import polars as pl

from plateline.errors import NoResultError
from plateline.study.delays import alarm_figures, weekly_alarms
from plateline.study.methods import METHODS, TARGET_REPS, TARGET_RIR, called, target_loads
from plateline.study.scenarios import SCENARIOS, scenario_named
from plateline.study.simulate import simulation, true_loads
from plateline.study.validation_figures import ALL, VALIDATION, figures_of
from plateline.study.validation_tables import (
    calibration,
    plateau_table,
    readme_table,
    roc_curves,
)
from plateline.words import State

__all__ = [
    "ALL",
    "VALIDATION",
    "Validation",
    "calibration",
    "plateau_table",
    "readme_table",
    "roc_curves",
    "validate",
]

VALIDATION_SEED = 40_417


@dataclass(frozen=True)
class Validation:
    """The figures and, for charts, what every method said of every lift."""

    figures: pl.DataFrame
    lifts: pl.DataFrame


def validate(
    scenarios: Sequence[str] = tuple(SCENARIOS),
    *,
    methods: Sequence[str] = tuple(METHODS),
    lifters: int = 130,
    delays: bool = True,
    seed: int = VALIDATION_SEED,
) -> Validation:
    """Run every method on every scenario.

    Parameters
    ----------
    lifters
        People in each scenario (about three lifts each).
    delays
        Look again at the end of every week, for delays and false alarms; the change-point
        search is left out of that in all but the first scenario, for it takes long.

    Returns
    -------
    Validation
        `figures` is VALIDATION, with the rows of all scenarios together first; `lifts` has
        one row per scenario, method and lift.
    """
    runs, loads, alarms = [], [], []
    for place, name in enumerate(scenarios):
        simulated = simulation(scenario_named(name), lifters, 26, seed=seed + place)
        sets, truth = simulated.frames()
        for method_name in methods:
            try:
                calls = METHODS[method_name].call(simulated, sets, simulated.as_of)
            except NoResultError as refusal:
                print(refusal, file=sys.stderr)
                continue
            runs.append(_beside_truth(truth, calls, method_name))
            target = target_loads(method_name, simulated, sets, calls)
            if target is not None:
                loads.append(_target_errors(truth, target, name, method_name))
            if delays and (method_name != "change points" or place == 0):
                seen = weekly_alarms(simulated, sets, METHODS[method_name])
                figures = alarm_figures(simulated, seen)
                alarms.append({"scenario": name, "method": method_name, **figures})
    lifts = pl.concat(runs)
    return Validation(figures_of(lifts, loads, alarms), lifts)


def _beside_truth(truth: pl.DataFrame, calls: pl.DataFrame, method: str) -> pl.DataFrame:
    """Return what a method says of each lift beside the truth."""
    said = calls.select(
        "client", "exercise", "score", "p_progressing", "p_declining", "since",
        named=pl.col("state"), called=called(calls),
    )  # fmt: skip
    return truth.join(
        said, on=["client", "exercise"], how="left", maintain_order="left"
    ).with_columns(
        # a method that says nothing of a lift is taken to know nothing
        method=pl.lit(method),
        p_progressing=pl.col("p_progressing").fill_null(0.5),
        p_declining=pl.col("p_declining").fill_null(0.25),
        score=pl.col("score").fill_null(pl.col("score").median()),
        called=pl.col("called").fill_null(State.PLATEAU.value),
    )


def _target_errors(
    truth: pl.DataFrame, target: pl.DataFrame, scenario: str, method: str
) -> pl.DataFrame:
    true = true_loads(truth, TARGET_REPS, TARGET_RIR).select(
        "client", "exercise", true_kg="load_kg"
    )
    return true.join(
        target.select("client", "exercise", "load_kg", "load_low", "load_high"),
        on=["client", "exercise"],
        how="left",
        maintain_order="left",
    ).with_columns(
        scenario=pl.lit(scenario),
        method=pl.lit(method),
        error_pct=100 * (pl.col("load_kg") / pl.col("true_kg") - 1).abs(),
    )


def main(arguments: Sequence[str] | None = None) -> int:
    """Print the README's table."""
    parser = argparse.ArgumentParser(
        prog="python -m plateline.study.validation",
        description="Validate the lift states on simulated lifters and print one table.",
    )
    parser.add_argument("--lifters", type=int, default=130, help="people in each scenario")
    parser.add_argument("--seed", type=int, default=VALIDATION_SEED, help="of the simulation")
    parser.add_argument(
        "--no-delays", action="store_true", help="leave out delays and false alarms (faster)"
    )
    parser.add_argument("--out", type=Path, help="write every figure to this CSV file")
    chosen = parser.parse_args(arguments)
    started = dt.datetime.now()
    result = validate(lifters=chosen.lifters, delays=not chosen.no_delays, seed=chosen.seed)
    if chosen.out:
        result.figures.write_csv(chosen.out)
    print(readme_table(result.figures))
    took = (dt.datetime.now() - started).total_seconds()
    print(f"\nIn brackets: the ceiling. {took:.0f} seconds.", file=sys.stderr)
    return 0


if __name__ == "__main__":
    sys.exit(main())
