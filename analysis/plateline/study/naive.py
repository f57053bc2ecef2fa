"""What a spreadsheet would do, kept as a warning beside the study's own models.

One straight line through the Epley e1RM of each lift over the whole log, and a comparison of
lifts by the zone of their mean reps: no blocks, no lifters, no training age. A change of rep
range moves such a line by what the equation gets wrong, the fast progress of beginners is
credited to whatever they do, and lifts of one person are taken for independent.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np
import polars as pl

from plateline.study.zones import ZONES, zone_of
from plateline.words import LIFT

__all__ = ["NAIVE", "NAIVE_LIFTS", "naive_lifts", "naive_rows"]

NAIVE = "naive, for comparison only"

NAIVE_LIFTS = {
    "client": pl.String,
    "exercise": pl.String,
    "zone": pl.String,
    "reps": pl.Float64,
    "slope_pct_week": pl.Float64,
}
MIN_SESSIONS = 6


def naive_lifts(sessions: pl.DataFrame) -> pl.DataFrame:
    """Return NAIVE_LIFTS: a row per lift of six sessions or more."""
    week = pl.col("week") - pl.col("week").mean()
    value = pl.col("load") + pl.col("epley")
    return (
        sessions.group_by(LIFT, maintain_order=True)
        .agg(
            n=pl.len(),
            reps=pl.col("log_reps").mean().exp(),
            slope_pct_week=100 * (week * value).sum() / (week**2).sum(),
        )
        .filter(pl.col("n") >= MIN_SESSIONS, pl.col("slope_pct_week").is_finite())
        .with_columns(zone=zone_of(pl.col("reps")))
        .select(pl.col(name).cast(dtype) for name, dtype in NAIVE_LIFTS.items())
    )


def naive_rows(lifts: pl.DataFrame) -> Iterator[dict]:
    """Yield rows of EFFECTS: differences of means with Welch's t, and a line in log reps."""
    from scipy.stats import linregress, ttest_ind

    present = [z for z in ZONES if (lifts["zone"] == z).sum() > 2]
    for place, shorter in enumerate(present):
        for longer in present[place + 1 :]:
            some = lifts.filter(pl.col("zone").is_in([longer, shorter]))
            a, b = (
                some.filter(pl.col("zone") == z)["slope_pct_week"].to_numpy()
                for z in (longer, shorter)
            )
            test: Any = ttest_ind(a, b, equal_var=False)
            low, high = test.confidence_interval(0.95)
            yield _row(
                "rep zone", f"{longer} against {shorter}",
                (float(a.mean() - b.mean()), float(low), float(high), float(test.pvalue)), some,
            )  # fmt: skip
    logs = np.log2(lifts["reps"].to_numpy())
    if lifts.height > 3 and np.ptp(logs) > 0.3:
        from scipy.stats import t as student

        line: Any = linregress(logs, lifts["slope_pct_week"].to_numpy())
        half = float(student.ppf(0.975, lifts.height - 2)) * float(line.stderr)
        slope = float(line.slope)
        yield _row(
            "reps", "for each doubling of reps",
            (slope, slope - half, slope + half, float(line.pvalue)), lifts,
        )  # fmt: skip


def _row(term: str, contrast: str, estimate: tuple, lifts: pl.DataFrame) -> dict:
    effect, low, high, p = estimate
    return {
        "term": term, "contrast": contrast, "effect_pct_week": effect, "low": low, "high": high,
        "p": p, "n_lifters": lifts["client"].n_unique(), "n_lifts": lifts.height,
        "n_blocks": lifts.height, "model": NAIVE,
    }  # fmt: skip
