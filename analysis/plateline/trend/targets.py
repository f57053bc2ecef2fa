"""The load for N repetitions with R in reserve, with an 80 % interval."""

from __future__ import annotations

import datetime as dt

import polars as pl

from plateline.strength.curves import depth
from plateline.trend.status import lift_status
from plateline.words import TARGETS, conform

__all__ = ["targets"]


def targets(
    sets: pl.DataFrame,
    prescriptions: pl.DataFrame | None = None,
    *,
    reps: int | None = None,
    rir: float | None = None,
    as_of: dt.date | None = None,
    catalogue: pl.DataFrame | None = None,
    checkins: pl.DataFrame | None = None,
) -> pl.DataFrame:
    """Return TARGETS: a row per lift, or per prescription (`client, exercise, reps, rir`)."""
    status = lift_status(sets, as_of, catalogue=catalogue, checkins=checkins)
    if prescriptions is None:
        wanted = status.select("client", "exercise").with_columns(
            reps=pl.lit(reps, dtype=pl.Int32), rir=pl.lit(rir, dtype=pl.Float64)
        )
    else:
        wanted = prescriptions
    lifts = status.select("client", "exercise", "scale", "usual_reps", "strength_kg")
    out = wanted.join(lifts, on=["client", "exercise"], how="left", maintain_order="left")
    own = pl.when(pl.col("scale") == "e1rm").then(0.0).otherwise(depth(pl.col("usual_reps")))
    load = pl.col("strength_kg") * (own - depth(pl.col("reps") + pl.col("rir"))).exp()
    return conform(
        out.with_columns(load_kg=load, load_low=0.96 * load, load_high=1.04 * load), TARGETS
    )
