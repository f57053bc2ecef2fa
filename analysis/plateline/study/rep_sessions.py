"""One row per lift and day for the study: what was loaded, for how many reps.

The sets that count are the day's heaviest (within 5 %), so that a lighter back-off set does not
blur the rep range that a lift was trained in. The scale of strength is left open here: `load`
(log kg) and `depth` (the population's log distance from a one-repetition maximum at the reps
done and the reps in reserve) stay apart until `outcome` has learnt how the cohort's own sets
trade one for the other.
"""

from __future__ import annotations

import polars as pl

from plateline.strength import set_evidence
from plateline.strength.curves import depth
from plateline.strength.hard import HARD_SET_RIR
from plateline.words import LIFT

__all__ = ["LIFT", "study_sessions"]

TOP_SHARE = 0.95
LIGHT_LOAD = 0.07
"""A day this far (log) below its neighbours' load, without the reps to match, is a light day."""
LIGHT_STRENGTH = 0.05
LIGHT_REPS = 0.15
NEIGHBOURS = 7


def study_sessions(
    sets: pl.DataFrame,
    *,
    catalogue: pl.DataFrame | None = None,
    checkins: pl.DataFrame | None = None,
) -> pl.DataFrame:
    """Return a row per lift and day, sorted by client, exercise and date.

    Columns: `client, exercise, date, week` (days since 1970 over 7), `kind_of_curve`, `load`
    (log kg), `depth`, `epley` and `brzycki` (log multipliers of the published equations),
    `log_reps` (of the top sets), `reps_to_failure`, `rir` (mean logged, null without),
    `rir_logged` (share), `hard_sets` (all of the day) and `light` (a deload day).
    """
    evidence = set_evidence(sets, catalogue=catalogue, checkins=checkins)
    day = [*LIFT, "date"]
    failing = pl.col("reps_to_failure")
    top = (pl.col("total_kg") >= TOP_SHARE * pl.col("total_kg").max().over(day)).alias("top")
    frame = evidence.with_columns(top).with_columns(
        hard=(pl.col("rir").fill_null(0) <= HARD_SET_RIR),
        depth=depth(failing),
        epley=(1 + failing / 30).log(),
        # Brzycki has a pole at 37 reps and is published for fewer than 10
        brzycki=(36 / (37 - failing.clip(upper_bound=20))).log(),
    )
    of_top = {
        "load": pl.col("total_kg").log(),
        "depth": pl.col("depth"),
        "epley": pl.col("epley"),
        "brzycki": pl.col("brzycki"),
        "log_reps": pl.col("reps").cast(pl.Float64).log(),
        "reps_to_failure": failing,
        "rir": pl.col("rir"),
        "rir_logged": pl.col("rir_logged").cast(pl.Float64),
    }
    sessions = (
        frame.group_by(day, maintain_order=True)
        .agg(
            pl.col("kind_of_curve").first(),
            *(what.filter(pl.col("top")).mean().alias(name) for name, what in of_top.items()),
            hard_sets=pl.col("hard").sum(),
        )
        .sort(day)
    )
    return sessions.with_columns(week=pl.col("date").dt.epoch("d") / 7.0, light=_light())


def _light() -> pl.Expr:
    """Light days: far from failure, or with less load and no more reps than the days around."""
    load, reps = pl.col("load"), pl.col("log_reps")
    strength = load + 0.85 * pl.col("depth")

    def usual(what: pl.Expr) -> pl.Expr:
        return what.rolling_median(NEIGHBOURS, center=True, min_samples=3).over(LIFT)

    eased = (load < usual(load) - LIGHT_LOAD) & (reps < usual(reps) + LIGHT_REPS)
    weak = strength < usual(strength) - LIGHT_STRENGTH
    return (eased & weak).fill_null(value=False) | (pl.col("rir") > HARD_SET_RIR).fill_null(
        value=False
    )
