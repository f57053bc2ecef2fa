"""How often the study's 95 % intervals hold the truth, in cohorts whose true effect is known.

`python -m plateline.study.coverage` prints it: for effects of zero, small and reversed size,
where rep ranges are chosen by training age and by past progress, for few and for many lifters,
and for the naive comparison beside the study's own models.

Where it may flatter: the cohorts come from `cohort`, so nothing bends them but what is written
there; readiness, diet and a lifter's other sports do not change along with the rep range.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Any

import polars as pl

from plateline.study.cohort import SEPARATE_RANGES, simulate_cohort, zone_effect
from plateline.study.effects import WITHIN, WITHIN_LIFTS
from plateline.study.models import contrasts_within
from plateline.study.naive import naive_rows
from plateline.study.outcome import with_rates
from plateline.study.portions import gather
from plateline.study.zones import ZONES

__all__ = [
    "COVERAGE",
    "EFFECT_SIZES",
    "SELECTIONS",
    "Situation",
    "coverage",
    "covered_intervals",
]

COVERAGE = {
    "effect": pl.String,
    "selection": pl.String,
    "lifters": pl.Int64,
    "model": pl.String,
    "intervals": pl.Int64,
    "held_share": pl.Float64,
    "mean_error_pct_week": pl.Float64,
    "mean_half_width_pct_week": pl.Float64,
}
"""One row per simulated situation and model: how many intervals there were (cohorts times
contrasts of zones), the share of them that held the truth, how far off the estimates were on
average (with their sign) and half the width of an interval."""

EFFECT_SIZES = {"zero": (0.0, 0.0), "small": (0.05, -0.05), "reversed": (-0.1, 0.1)}
"""True difference of 1-5 and of 13-20 reps from 6-12 reps, % a week."""

SELECTIONS: dict[str, dict[str, Any]] = {
    "training age": {"confounding": 1.0},
    "past progress": {"confounding": 0.0, "by_progress": 1.0},
    "both": {"confounding": 1.0, "by_progress": 1.0},
}
"""How rep ranges are chosen; see `simulate_cohort`."""

SIMULATED_AT_ONCE = 1200
"""Lifters drawn together and then cut into cohorts, which is faster than one cohort at a time."""


@dataclass(frozen=True)
class Situation:
    """What a row of COVERAGE is about."""

    effect: str
    selection: str
    lifters: int

    def truth(self, contrast: str) -> float:
        """Return the true difference of a contrast of zones, % a week."""
        heavy, long = EFFECT_SIZES[self.effect]
        of_zone: dict[str, float] = dict(zip(ZONES, (heavy, 0.0, long, long), strict=True))
        longer, shorter = contrast.split(" against ")
        return of_zone[longer] - of_zone[shorter]


def covered_intervals(situation: Situation, cohorts: int, seed: int = 1) -> pl.DataFrame:
    """Study simulated cohorts; return `cohort, model, contrast, truth, effect, low, high`."""
    rows = [
        {
            "cohort": place, "model": row["model"], "contrast": row["contrast"],
            "truth": situation.truth(row["contrast"]), "effect": row["effect_pct_week"],
            "low": row["low"], "high": row["high"],
        }
        for place, found in enumerate(_studied(situation, cohorts, seed))
        for row in found
    ]  # fmt: skip
    return pl.DataFrame(rows)


def _studied(situation: Situation, cohorts: int, seed: int) -> Iterator[list[dict]]:
    """Yield the zone contrasts of one cohort after the other."""
    together = max(SIMULATED_AT_ONCE // situation.lifters, 1)
    for first in range(0, cohorts, together):
        now = min(together, cohorts - first)
        made = simulate_cohort(
            now * situation.lifters, effect=zone_effect(*EFFECT_SIZES[situation.effect]),
            ranges=SEPARATE_RANGES, seed=seed + first, **SELECTIONS[situation.selection],
        )  # fmt: skip
        gathered = gather([made.sets])
        place = pl.col("client").str.slice(1).cast(pl.Int64) - 1
        cut = (place // situation.lifters).alias("cohort")
        ages = made.clients.select("client", "training_age_years")
        moments = gathered.moments.with_columns(cut, kind="exercise").join(
            ages, on="client", how="left", maintain_order="left"
        )
        naive = gathered.naive.with_columns(cut)
        for one in range(now):
            blocks = with_rates(moments.filter(pl.col("cohort") == one))
            yield [
                *contrasts_within(blocks, WITHIN),
                *contrasts_within(blocks, WITHIN_LIFTS),
                *(r for r in naive_rows(naive.filter(cohort=one)) if r["term"] == "rep zone"),
            ]


def coverage(situation: Situation, cohorts: int, seed: int = 1) -> pl.DataFrame:
    """Return COVERAGE of one situation: a row per model.

    Parameters
    ----------
    cohorts
        How many cohorts of `situation.lifters` are simulated.
    """
    error = pl.col("effect") - pl.col("truth")
    return (
        covered_intervals(situation, cohorts, seed)
        .filter(pl.col("low").is_finite())
        .group_by("model", maintain_order=True)
        .agg(
            intervals=pl.len(),
            held_share=pl.col("truth").is_between("low", "high").mean(),
            mean_error_pct_week=error.mean(),
            mean_half_width_pct_week=((pl.col("high") - pl.col("low")) / 2).mean(),
        )
        .select(
            pl.lit(getattr(situation, name)).alias(name).cast(dtype)
            if hasattr(situation, name)
            else pl.col(name).cast(dtype)
            for name, dtype in COVERAGE.items()
        )
    )


SIZES = {40: 1.0, 200: 0.25}
"""Lifters in a cohort, and how many such cohorts are simulated for each that is asked for."""


def main(arguments: Sequence[str] | None = None) -> None:
    """Print the coverage of every situation as a table (some six minutes of one core)."""
    asked = argparse.ArgumentParser(prog="python -m plateline.study.coverage", description=__doc__)
    asked.add_argument("--cohorts", type=int, default=60, help="cohorts of 40 lifters a situation")
    cohorts = asked.parse_args(arguments).cohorts
    print(f"| {' | '.join(COVERAGE)} |")
    print("| --- " * len(COVERAGE) + "|")
    for lifters, share in SIZES.items():
        for selection, effect in product(SELECTIONS, EFFECT_SIZES):
            situation = Situation(effect, selection, lifters)
            for row in coverage(situation, max(round(share * cohorts), 1)).iter_rows():
                *said, held, error, width = row
                cells = [*map(str, said), f"{held:.3f}", f"{error:+.3f}", f"{width:.3f}"]
                print(f"| {' | '.join(cells)} |", flush=True)


if __name__ == "__main__":
    main()
