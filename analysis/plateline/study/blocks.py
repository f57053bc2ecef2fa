"""The unit of analysis: one lifter, one lift, one block; what was trained, and what came of it.

A block is a stretch of one lift under one way of training: by change of rep range (found in the
log itself), by the plan, or of a fixed number of weeks.

**Exposure comes before outcome.** Reps are also what strength is measured by: a lifter who gains
does more reps, one who tires does fewer, and a strong first day that counts for both makes long
sets look bad (what went up by chance comes down again: regression to the mean). So the first
sessions of a block tell only its rep zone, the later ones only its rate of progress, and the
models use the first as an instrument for the zone of the whole block: neither reverse causation
nor the noise of three sessions is left in the effect.
"""

from __future__ import annotations

from typing import Literal

import polars as pl

from plateline.errors import UsageError
from plateline.study.splits import changes_of_range, first_of
from plateline.study.zones import ZONES, zone_of
from plateline.words import LIFT

__all__ = [
    "BLOCK",
    "BLOCK_MOMENTS",
    "EXPOSURE_SESSIONS",
    "BlocksBy",
    "block_moments",
    "split_blocks",
]

BlocksBy = Literal["rep range", "plan", "weeks"]
BLOCK = [*LIFT, "block"]

EXPOSURE_SESSIONS = 3
"""Sessions at the start of a block that tell its rep zone and nothing else."""
MIN_SESSIONS = 6
"""Fewest sessions left for the rate of progress."""
MIN_WEEKS = 3.0
MAX_WEEKS = 26.0
"""Longer blocks are cut: progress slows with time, and a rate over years means little."""

MOMENTS = ("load", "depth", "epley", "brzycki")
OUTLIER_SPREADS = 2.0
"""Residuals beyond this many robust standard deviations are weighed down (Huber 1964, Ann Math
Stat 35:73-101), beyond three times as many left out: typing errors."""

BLOCK_MOMENTS = {
    "client": pl.String,
    "exercise": pl.String,
    "block": pl.Int32,
    "start": pl.Date,
    "end": pl.Date,
    "kind_of_curve": pl.String,
    "zone": pl.String,
    "start_zone": pl.String,
    "reps": pl.Float64,
    "start_reps": pl.Float64,
    "reps_to_failure": pl.Float64,
    "rir": pl.Float64,
    "rir_logged": pl.Float64,
    **{f"share_{zone.replace(' ', '_')}": pl.Float64 for zone in ZONES},
    "hard_sets_week": pl.Float64,
    "sessions_week": pl.Float64,
    "weeks_before": pl.Float64,
    "sessions": pl.Int32,
    "weeks": pl.Float64,
    "spread_weeks": pl.Float64,
    **{f"slope_{name}": pl.Float64 for name in MOMENTS},
    "rest_load": pl.Float64,
    "rest_depth": pl.Float64,
    "rest_load_depth": pl.Float64,
    "rest_lag": pl.Float64,
    "rest_own": pl.Float64,
}
"""One row per block. `zone` and `reps` (geometric mean) are of the whole block, `start_*` of its
exposure sessions (all of them the plan's where blocks are by plan); `weeks_before` the
time from the lift's first session to the block; `spread_weeks` the root of the sum of squares of
time; `slope_*` least-squares slopes by week of log load and of the log rep terms; `rest_*` sums
of squares and products of what the lines leave; `rest_lag` and `rest_own` the sums for the
serial correlation of the residuals."""


def split_blocks(
    sessions: pl.DataFrame,
    by: BlocksBy = "rep range",
    *,
    plan: pl.DataFrame | None = None,
    weeks: float = 8.0,
) -> pl.DataFrame:
    """Return the sessions with `block` (a number within the lift) and `planned_reps`.

    `planned_reps` is the middle of the plan's rep range where `by` is `plan`, else null.

    Raises
    ------
    UsageError
        When blocks by plan are asked for without a plan, or weeks are not positive.
    """
    if by == "plan":
        if plan is None or plan.is_empty():
            raise UsageError("Blocks by plan need a plan file; give --plan, or leave --blocks out.")
        sessions = _planned(sessions, plan)
    elif by == "weeks":
        if weeks < MIN_WEEKS:
            raise UsageError(
                f"A block of {weeks:g} weeks is too short; give {MIN_WEEKS:g} or more."
            )
        since = pl.col("week") - pl.col("week").first().over(LIFT)
        sessions = sessions.with_columns(block=(since / weeks).floor().cast(pl.Int32))
    elif by == "rep range":
        sessions = changes_of_range(sessions)
    else:
        raise UsageError(f"Blocks can be by 'rep range', 'plan' or 'weeks', not by {by!r}.")
    if "planned_reps" not in sessions.columns:
        sessions = sessions.with_columns(planned_reps=pl.lit(None, pl.Float64))
    age = pl.col("week") - pl.col("week").first().over(BLOCK)
    piece = (age / MAX_WEEKS).floor().cast(pl.Int32)
    changed = pl.struct("block", piece.alias("piece")).rle_id().diff().fill_null(0) != 0
    frame = sessions.with_columns(lift=pl.struct(LIFT).rle_id()).with_columns(
        place=first_of(changed, "lift").cum_sum()
    )
    block = pl.col("place") - pl.col("place").first().over("lift")
    return frame.with_columns(block=block.cast(pl.Int32)).drop("lift", "place")


def _planned(sessions: pl.DataFrame, plan: pl.DataFrame) -> pl.DataFrame:
    """Give each session the plan's block and rep range that it falls into; drop the others."""
    blocks = (
        plan.filter(pl.col("start").is_not_null(), pl.col("reps_low").is_not_null())
        .with_columns(
            end=pl.col("start") + pl.duration(weeks=pl.col("weeks")),
            middle=(pl.col("reps_low") + pl.col("reps_high").fill_null(pl.col("reps_low"))) / 2,
        )
        # the heaviest prescription of a lift in a block is what it is trained for
        .group_by("client", "exercise", "start", "end")
        .agg(planned_reps=pl.col("middle").min())
        .sort("start")
    )
    joined = sessions.sort("date").join_asof(
        blocks, left_on="date", right_on="start", by=LIFT, strategy="backward"
    )
    return (
        joined.filter(pl.col("start").is_not_null() & (pl.col("date") < pl.col("end")))
        .sort(*LIFT, "date")
        .with_columns(block=(pl.col("start").rank("dense").over(LIFT) - 1).cast(pl.Int32))
        .drop("start", "end")
    )


def block_moments(sessions: pl.DataFrame) -> pl.DataFrame:
    """Return BLOCK_MOMENTS: exposures and the sums from which rates of progress are made.

    The sums do not depend on other lifters, so a log of any size can be taken in portions of
    whole clients. Light days are left out; days that stray are weighed down.
    """
    rank = pl.int_range(pl.len()).over(BLOCK)
    sessions = sessions.filter(~pl.col("light")).with_columns(place=rank)
    first = pl.col("place") < EXPOSURE_SESSIONS
    planned = pl.col("planned_reps").first()
    exposures = (
        sessions.with_columns(day_zone=zone_of(pl.col("log_reps").exp()))
        .with_columns(weeks_before=pl.col("week") - pl.col("week").first().over(LIFT))
        .group_by(BLOCK, maintain_order=True)
        .agg(
            start=pl.col("date").first(),
            end=pl.col("date").last(),
            kind_of_curve=pl.col("kind_of_curve").first(),
            reps=pl.coalesce(planned, pl.col("log_reps").mean().exp()),
            start_reps=pl.coalesce(planned, pl.col("log_reps").filter(first).mean().exp()),
            zone=zone_of(pl.coalesce(planned, pl.col("log_reps").median().exp())),
            start_zone=zone_of(
                pl.coalesce(planned, pl.col("log_reps").filter(first).median().exp())
            ),
            reps_to_failure=pl.col("reps_to_failure").filter(first).mean(),
            rir=pl.col("rir").filter(first).mean(),
            rir_logged=pl.col("rir_logged").mean(),
            hard_sets=pl.col("hard_sets").sum(),
            days=pl.len(),
            length=pl.col("week").last() - pl.col("week").first(),
            weeks_before=pl.col("weeks_before").first(),
            **{
                f"share_{zone.replace(' ', '_')}": (pl.col("day_zone") == zone).mean()
                for zone in ZONES
            },
        )
        .with_columns(
            # n sessions span n - 1 gaps
            weekly=pl.col("length") * pl.col("days") / (pl.col("days") - 1),
        )
        .with_columns(
            hard_sets_week=pl.col("hard_sets") / pl.col("weekly"),
            sessions_week=pl.col("days") / pl.col("weekly"),
        )
    )
    lines = _lines(sessions.filter(~first))
    frame = exposures.join(lines, on=BLOCK, how="inner", maintain_order="left").filter(
        (pl.col("sessions") >= MIN_SESSIONS) & (pl.col("weeks") >= MIN_WEEKS)
    )
    return frame.select(pl.col(name).cast(dtype) for name, dtype in BLOCK_MOMENTS.items())


def _lines(sessions: pl.DataFrame) -> pl.DataFrame:
    """Fit the robust straight lines of every block, all blocks at once."""
    weighed = sessions.with_columns(
        weight=pl.lit(1.0), strength=pl.col("load") + 0.85 * pl.col("depth")
    )
    for _ in range(2):
        left = (pl.col("strength") - _line("strength")).alias("left")
        spread = (1.4826 * pl.col("left").abs().median().over(BLOCK)).clip(lower_bound=0.01)
        size = pl.col("left").abs() / (OUTLIER_SPREADS * spread)
        weighed = weighed.with_columns(left).with_columns(
            weight=pl.when(size > 3).then(0.0).otherwise(1 / size.clip(lower_bound=1.0))
        )
    weighed = weighed.filter(pl.col("weight") > 0)
    w, x = pl.col("weight"), pl.col("week")
    centred = x - (w * x).sum() / w.sum()
    sxx = (w * centred**2).sum()
    weighed = weighed.with_columns(
        **{f"left_{name}": pl.col(name) - _line(name) for name in ("load", "depth")},
        left=pl.col("strength") - _line("strength"),
    )
    load, depth = pl.col("left_load"), pl.col("left_depth")
    return weighed.group_by(BLOCK, maintain_order=True).agg(
        sessions=pl.len(),
        weeks=x.last() - x.first(),
        spread_weeks=sxx.sqrt(),
        **{f"slope_{name}": (w * centred * pl.col(name)).sum() / sxx for name in MOMENTS},
        rest_load=(w * load**2).sum(),
        rest_depth=(w * depth**2).sum(),
        rest_load_depth=(w * load * depth).sum(),
        rest_lag=(pl.col("left") * pl.col("left").shift(1)).sum(),
        rest_own=(pl.col("left") ** 2).sum(),
    )


def _line(name: str) -> pl.Expr:
    """Fitted values of the weighted least-squares line of a column within its block."""
    w, x, y = pl.col("weight"), pl.col("week"), pl.col(name)
    mean_x = (w * x).sum().over(BLOCK) / w.sum().over(BLOCK)
    mean_y = (w * y).sum().over(BLOCK) / w.sum().over(BLOCK)
    sxx = (w * (x - mean_x) ** 2).sum().over(BLOCK)
    sxy = (w * (x - mean_x) * y).sum().over(BLOCK)
    return mean_y + (x - mean_x) * (sxy / sxx)
