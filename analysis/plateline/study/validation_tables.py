"""The validation as tables and curves, for the README and the notebook."""

from __future__ import annotations

import numpy as np
import polars as pl

from plateline.study.methods import METHODS, PLATELINE
from plateline.study.metrics import auc, calibration_bins, roc_points
from plateline.words import State

__all__ = ["calibration", "plateau_table", "readme_table", "roc_curves"]

AREAS = ("no new best", "regression", "change points", PLATELINE, "ceiling")
"""The methods whose areas stand in the table; the equivalence test ranks lifts as the
regression does."""


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
        areas = [rows.get(name, {}).get("auc_progressing") for name in AREAS]
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


def plateau_table(figures: pl.DataFrame) -> str:
    """Return how well each method names plateaus (Markdown), over all scenarios given.

    A t test that finds no slope names most lifts a plateau, whatever they are; two one-sided
    tests, which ask for proof that the slope is small, hardly ever can in eight weeks.
    """
    some = figures.filter(pl.col("scenario") == figures["scenario"][0])
    lines = ["| method | true plateaus named | of those named, right |", "| --- | --- | --- |"]
    for row in some.iter_rows(named=True):
        found, right = _percent(row["plateau_found"]), _percent(row["plateau_right"])
        lines.append(f"| {METHODS[row['method']].sentence} | {found} | {right} |")
    return "\n".join(lines)


def _cell(value: float | None, digits: int) -> str:
    return "–" if value is None or not np.isfinite(value) else f"{value:.{digits}f}"


def _percent(value: float | None) -> str:
    return "–" if value is None or not np.isfinite(value) else f"{100 * value:.0f} %"
