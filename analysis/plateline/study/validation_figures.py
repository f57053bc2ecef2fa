"""The figures of the validation: from what methods said of simulated lifts to one row each."""

from __future__ import annotations

import numpy as np
import polars as pl

from plateline.study.metrics import accuracy, auc, brier, calibration_error, coverage
from plateline.words import State

__all__ = ["ALL", "VALIDATION", "figures_of"]

ALL = "all scenarios"

VALIDATION = {
    "scenario": pl.String,
    "method": pl.String,
    "lifts": pl.Int64,
    "auc_progressing": pl.Float64,
    "brier": pl.Float64,
    "calibration_error": pl.Float64,
    "accuracy": pl.Float64,
    "plateau_found": pl.Float64,
    "plateau_right": pl.Float64,
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
date. `accuracy`: three classes, the most probable one called. `plateau_found`: share of true
plateaus that are named so; `plateau_right`: share of those named so that are one. `onset_error_weeks`: median, over
changed lifts that are called right as no longer progressing. `target_*`: the load for 8 reps at
2 RIR against the true one (median error, error that 80 % of lifts stay within, share of 80 %
intervals that hold the truth)."""


def figures_of(
    lifts: pl.DataFrame, loads: list[pl.DataFrame], alarms: list[dict[str, object]]
) -> pl.DataFrame:
    """Return VALIDATION.

    Parameters
    ----------
    lifts
        What every method said of every lift, beside the truth.
    loads
        Target loads beside the true ones, one frame a scenario and method.
    alarms
        Delays and false alarms, one row a scenario and method.
    """
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
    plateau, named = (lifts[c] == State.PLATEAU.value for c in ("state", "named"))
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
        "plateau_found": _share(named.filter(plateau)),
        "plateau_right": _share(plateau.filter(named)),
        "auc_declining": auc(lifts["p_declining"].to_numpy(), falling),
        "onset_error_weeks": off / 7 if isinstance(off, (int, float)) else float("nan"),
    }


def _share(flags: pl.Series) -> float:
    mean = flags.mean()
    return float(mean) if isinstance(mean, (int, float)) else float("nan")


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
