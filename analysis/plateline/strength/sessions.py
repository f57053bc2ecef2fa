"""One row per lift and day: what that day's sets say about strength together."""

from __future__ import annotations

from typing import Any

import polars as pl

from plateline.strength.curves import STEEPNESS, depth
from plateline.strength.easy import without_easy_sets
from plateline.strength.equations import LARGEST_REPS, e1rm
from plateline.strength.evidence import has_e1rm, set_evidence
from plateline.strength.hard import is_hard
from plateline.words import LIFT_SESSIONS, conform

__all__ = ["MOST_BEFORE", "SET_FATIGUE", "lift_scale", "lift_sessions"]

SET_FATIGUE = 0.012
"""Strength lost from one hard set to the next, on the log scale; less after an easier one
(`plateline.strength.hard.tiring`).

Half a repetition a set, for sets that stop short of failure and rests of some minutes:
common practice, no source. Sets to failure lose more (three minutes of rest: 9.4, 7.0, 6.4
repetitions, Rev Bras Med Esporte 2007;13(5)).
"""

MOST_BEFORE = 5.0
"""Fatigue does not grow any more after so many sets (common practice, no source)."""


def lift_scale(evidence: pl.DataFrame) -> pl.DataFrame:
    """Return the scale of each lift: `client, exercise, usual_reps, scale, scale_bend`.

    `usual_reps` is the median of the repetitions to failure of the first hard set of a day (of its
    first set, where none is hard).
    Up to `LARGEST_REPS` the scale is `e1rm`; above it is `working strength`, the load for
    `usual_reps` repetitions to failure.
    """
    reps = pl.col("reps_to_failure")
    return (
        evidence.group_by("client", "exercise", "date", maintain_order=True)
        .agg(
            usual_reps=pl.coalesce(reps.filter(is_hard()).first(), reps.first()),
            kind_of_curve=pl.col("kind_of_curve").first(),
        )
        .group_by("client", "exercise", maintain_order=True)
        .agg(pl.col("usual_reps").median(), pl.col("kind_of_curve").first())
        .with_columns(
            scale=pl.when(pl.col("usual_reps") <= LARGEST_REPS)
            .then(pl.lit("e1rm"))
            .otherwise(pl.lit("working strength"))
        )
        .with_columns(
            scale_bend=pl.when(pl.col("scale") == "e1rm")
            .then(0.0)
            .otherwise(
                pl.col("kind_of_curve").replace_strict(STEEPNESS, return_dtype=pl.Float64)
                * depth(pl.col("usual_reps"))
            )
        )
        .drop("kind_of_curve")
    )


def lift_sessions(
    sets: Any, *, catalogue: pl.DataFrame | None = None, checkins: Any = None
) -> pl.DataFrame:
    """Return LIFT_SESSIONS: a row per lift and day, sorted by client, exercise, date.

    `strength_kg` is the mean of what the day's sets say, each weighted by its precision and
    corrected for the sets before it, on the lift's own scale (see `lift_scale`);
    `strength_sd_pct` is the error of that mean as expected from repetitions and reserve alone,
    without how good the day was. The set shown is the one that says most: the first of the
    most precise. `e1rm_kg` is Epley's for that set, null above its window and where the body mass in
    the load is not known. `weight` is the precision against the best day of that lift (0 to 1).
    Sets that carry a doubt (`flag`, such as a tenfold load) do not count where the day has others,
    nor do unmarked warm-ups.

    Parameters
    ----------
    sets, catalogue, checkins
        As for `set_evidence`.
    """
    evidence = set_evidence(sets, catalogue=catalogue, checkins=checkins)
    evidence = without_easy_sets(_without_doubts(evidence))
    scale = lift_scale(evidence)
    precision = pl.col("error_sd") ** -2
    fresh = pl.col("log_strength") + SET_FATIGUE * pl.col("sets_before").clip(
        upper_bound=MOST_BEFORE
    )
    by_precision = pl.col("error_sd").arg_min()
    days = (
        evidence.group_by("client", "exercise", "date", maintain_order=True)
        .agg(
            sets=is_hard().sum(),
            log_strength=(fresh * precision).sum() / precision.sum(),
            error_sd=precision.sum() ** -0.5,
            is_lower_bound=~pl.col("rir_logged").any(),
            **{
                name: pl.col(name).get(by_precision)
                for name in (
                    "load_kg", "total_kg", "mass_known", "reps", "rir", "reps_to_failure", "set_kind",
                    "source_file", "source_line",
                )
            },
        )
        .join(scale, on=["client", "exercise"], how="left", maintain_order="left")
        .with_columns(
            strength_kg=(pl.col("log_strength") - pl.col("scale_bend")).exp(),
            strength_sd_pct=100 * pl.col("error_sd"),
            weight=(pl.col("error_sd").min().over("client", "exercise") / pl.col("error_sd")) ** 2,
            e1rm_kg=pl.when(has_e1rm()).then(e1rm(pl.col("total_kg"), pl.col("reps_to_failure"))),
        )
    )  # fmt: skip
    return conform(days.sort("client", "exercise", "date"), LIFT_SESSIONS)


def _without_doubts(evidence: pl.DataFrame) -> pl.DataFrame:
    """Leave out sets that carry a doubt, on days that have others."""
    doubt = pl.col("flag").is_not_null()
    if not evidence.select(doubt.any()).item():
        return evidence
    return evidence.filter(~doubt | doubt.all().over("client", "exercise", "date"))
