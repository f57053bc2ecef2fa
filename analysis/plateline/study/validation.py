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

import numpy as np
import polars as pl

from plateline.errors import NoResultError
from plateline.study.delays import alarm_figures, weekly_alarms
from plateline.study.methods import (
    METHODS,
    PLATELINE,
    TARGET_REPS,
    TARGET_RIR,
    called,
    target_loads,
)
from plateline.study.metrics import (
    accuracy,
    auc,
    brier,
    calibration_bins,
    calibration_error,
    coverage,
    roc_points,
)
from plateline.study.scenarios import SCENARIOS, scenario_named
from plateline.study.simulate import Simulation, simulation, true_loads
from plateline.words import State

__all__ = [
    "VALIDATION",
    "Validation",
    "calibration",
    "readme_table",
    "roc_curves",
    "validate",
]

VALIDATION_SEED = 40_417
ALL = "all scenarios"

VALIDATION = {
    "scenario": pl.String,
    "method": pl.String,
    "lifts": pl.Int64,
    "auc_progressing": pl.Float64,
    "brier": pl.Float64,
    "calibration_error": pl.Float64,
    "accuracy": pl.Float64,
    "auc_declining": pl.Float64,
    "onset_error_weeks": pl.Float64,
    "delay_weeks": pl.Float64,
    "detected_share": pl.Float64,
    "false_alarms_lift_year": pl.Float64,
    "target_error_pct": pl.Float64,
    "target_error_80_pct": pl.Float64,
    "target_coverage": pl.Float64,
}
"""One row per scenario and method. `auc_progressing`: progressing against not, at the as-of
date. `accuracy`: three classes, the most probable one called. `onset_error_weeks`: median, over
changed lifts that are called right as no longer progressing. `target_*`: the load for 8 reps at
2 RIR against the true one (median error, error that 80 % of lifts stay within, share of 80 %
intervals that hold the truth)."""


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
                run = _run(simulated, sets, truth, method_name)
            except NoResultError as refusal:
                print(refusal, file=sys.stderr)
                continue
            runs.append(run)
            target = target_loads(method_name, simulated, sets)
            if target is not None:
                loads.append(_target_errors(truth, target, name, method_name))
            if delays and (method_name != "change points" or place == 0):
                seen = weekly_alarms(simulated, sets, METHODS[method_name])
                figures = alarm_figures(simulated, seen)
                alarms.append({"scenario": name, "method": method_name, **figures})
    lifts = pl.concat(runs)
    return Validation(_figures(lifts, loads, alarms), lifts)


def _run(
    simulated: Simulation, sets: pl.DataFrame, truth: pl.DataFrame, method: str
) -> pl.DataFrame:
    """Return what a method says of each lift beside the truth."""
    calls = METHODS[method].call(simulated, sets, simulated.as_of)
    said = calls.select(
        "client", "exercise", "score", "p_progressing", "p_declining", "since", called=called(calls)
    )
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


def _figures(lifts: pl.DataFrame, loads: list, alarms: list) -> pl.DataFrame:
    targets = pl.concat(loads) if loads else None
    seen = pl.DataFrame(alarms) if alarms else None
    names = lifts["scenario"].unique(maintain_order=True).to_list()
    rows = []
    for scenario in [ALL, *names] if len(names) > 1 else names:
        for method in lifts["method"].unique(maintain_order=True):
            some = lifts.filter(pl.col("method") == method)
            if scenario != ALL:
                some = some.filter(pl.col("scenario") == scenario)
            row = {"scenario": scenario, "method": method} | _state_figures(some)
            if targets is not None:
                row |= _target_figures(_some(targets, scenario, method))
            if seen is not None:
                columns = ("delay_weeks", "detected_share", "false_alarms_lift_year")
                mean = _some(seen, scenario, method).select(pl.col(columns).mean())
                if scenario != ALL or _some(seen, ALL, method).height == len(names):
                    row |= mean.row(0, named=True)
            rows.append(row)
    return pl.DataFrame(rows, schema=VALIDATION)


def _some(frame: pl.DataFrame, scenario: str, method: str) -> pl.DataFrame:
    same = frame.filter(pl.col("method") == method)
    return same if scenario == ALL else same.filter(pl.col("scenario") == scenario)


def _state_figures(lifts: pl.DataFrame) -> dict[str, float]:
    rising = (lifts["state"] == State.PROGRESSING.value).to_numpy()
    falling = (lifts["state"] == State.DECLINING.value).to_numpy()
    p = lifts["p_progressing"].to_numpy()
    stuck = (State.PLATEAU.value, State.DECLINING.value)
    dated = lifts.filter(
        pl.col("onset").is_not_null(),
        pl.col("since").is_not_null(),
        pl.col("state").is_in(stuck),
        pl.col("called").is_in(stuck),
    )
    off = (dated["since"] - dated["onset"]).dt.total_days().abs().median()
    return {
        "lifts": lifts.height,
        "auc_progressing": auc(lifts["score"].to_numpy(), rising),
        "brier": brier(p, rising),
        "calibration_error": calibration_error(p, rising),
        "accuracy": accuracy(lifts["called"].to_numpy(), lifts["state"].to_numpy()),
        "auc_declining": auc(lifts["p_declining"].to_numpy(), falling),
        "onset_error_weeks": off / 7 if isinstance(off, (int, float)) else float("nan"),
    }


def _target_figures(errors: pl.DataFrame) -> dict[str, float | None]:
    if errors.is_empty():
        return {}
    held = coverage(
        *(errors[name].to_numpy().astype(float) for name in ("load_low", "load_high", "true_kg"))
    )
    error = errors["error_pct"].drop_nulls().to_numpy()
    return {
        "target_error_pct": float(np.median(error)),
        "target_error_80_pct": float(np.quantile(error, 0.8)),
        "target_coverage": held if np.isfinite(held) else None,
    }


def roc_curves(lifts: pl.DataFrame) -> pl.DataFrame:
    """Return `method, false_share, true_share, auc` of progressing against not, for a chart."""
    parts = []
    for method in lifts["method"].unique(maintain_order=True):
        some = lifts.filter(pl.col("method") == method)
        rising = (some["state"] == State.PROGRESSING.value).to_numpy()
        score = some["score"].to_numpy()
        false_share, true_share = roc_points(score, rising)
        parts.append(
            pl.DataFrame({"false_share": false_share, "true_share": true_share}).select(
                pl.lit(method).alias("method"),
                "false_share",
                "true_share",
                auc=pl.lit(auc(score, rising)),
            )
        )
    return pl.concat(parts)


def calibration(lifts: pl.DataFrame, method: str = PLATELINE) -> pl.DataFrame:
    """Return `said, was, lifts`: ten bins of equal count of the probability of progress."""
    some = lifts.filter(pl.col("method") == method)
    rising = (some["state"] == State.PROGRESSING.value).to_numpy()
    said, was, count = calibration_bins(some["p_progressing"].to_numpy(), rising)
    return pl.DataFrame({"said": said, "was": was, "lifts": count})


def readme_table(figures: pl.DataFrame) -> str:
    """Return the README's table (Markdown): one row per scenario, the kit beside the others."""
    head = (
        "| scenario | lifts | AUC: no new best | regression | change points | **kit** | ceiling "
        "| Brier kit (ceiling) | calibration error | three-class accuracy | AUC declining "
        "| onset error, weeks | delay, weeks | false alarms a lift-year "
        "| 8 reps at 2 RIR: median error (80 % within) | 80 % interval holds |"
    )
    lines = [head, "|" + " --- |" * 16]
    for scenario in figures["scenario"].unique(maintain_order=True):
        rows = {
            row["method"]: row
            for row in figures.filter(pl.col("scenario") == scenario).iter_rows(named=True)
        }
        kit, top = rows.get(PLATELINE, {}), rows.get("ceiling", {})
        areas = [rows.get(name, {}).get("auc_progressing") for name in METHODS]
        cells = [
            scenario, str(next(iter(rows.values()))["lifts"]), *(_cell(area, 3) for area in areas),
            f"{_cell(kit.get('brier'), 3)} ({_cell(top.get('brier'), 3)})",
            _cell(kit.get("calibration_error"), 3),
            f"{_cell(kit.get('accuracy'), 2)} ({_cell(top.get('accuracy'), 2)})",
            _cell(kit.get("auc_declining"), 3),
            f"{_cell(kit.get('onset_error_weeks'), 1)} ({_cell(top.get('onset_error_weeks'), 1)})",
            f"{_cell(kit.get('delay_weeks'), 1)} ({_cell(top.get('delay_weeks'), 1)})",
            f"{_cell(kit.get('false_alarms_lift_year'), 2)} "
            f"({_cell(top.get('false_alarms_lift_year'), 2)})",
            f"{_cell(kit.get('target_error_pct'), 1)} % "
            f"({_cell(kit.get('target_error_80_pct'), 1)} %)",
            _percent(kit.get("target_coverage")),
        ]  # fmt: skip
        lines.append("| " + " | ".join(cells) + " |")
    return "\n".join(lines)


def _cell(value: float | None, digits: int) -> str:
    return "–" if value is None or not np.isfinite(value) else f"{value:.{digits}f}"


def _percent(value: float | None) -> str:
    return "–" if value is None or not np.isfinite(value) else f"{100 * value:.0f} %"


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
