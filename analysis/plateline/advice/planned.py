"""What the plan asks for now: the rep range of each lift, and hard sets a week per muscle."""

from __future__ import annotations

import datetime as dt

import polars as pl

from plateline.exercises import annotate
from plateline.words import LIFT, SetKind

__all__ = ["planned_range", "planned_sets"]


def _current_block(plan: pl.DataFrame | None, as_of: dt.date) -> pl.DataFrame | None:
    """Return the plan rows of each client's latest block of two weeks or more that began."""
    if plan is None or plan.is_empty():
        return None
    begun = plan.filter(
        (pl.col("start") <= as_of).fill_null(True), (pl.col("weeks") >= 2).fill_null(True)
    )
    start = pl.col("start").fill_null(dt.date.min)
    return begun.filter(start == start.max().over("client"))


def planned_range(plan: pl.DataFrame | None, as_of: dt.date) -> pl.DataFrame:
    """Return the planned rep range of each lift's heaviest set."""
    block = _current_block(plan, as_of)
    if block is None:
        return pl.DataFrame(
            schema={
                "client": pl.String,
                "exercise": pl.String,
                "plan_low": pl.Float64,
                "plan_high": pl.Float64,
            }
        )
    return (
        block.sort("reps_low", nulls_last=True)
        .group_by(LIFT, maintain_order=True)
        .agg(
            plan_low=pl.col("reps_low").first().cast(pl.Float64),
            plan_high=pl.col("reps_high").first().cast(pl.Float64),
        )
    )


def planned_sets(
    plan: pl.DataFrame | None, catalogue: pl.DataFrame, as_of: dt.date
) -> pl.DataFrame:
    """Return planned hard sets a week per muscle, each planned session once a week."""
    schema = {"client": pl.String, "muscle": pl.String, "sets_plan": pl.Float64}
    block = _current_block(plan, as_of)
    if block is None or block.is_empty():
        return pl.DataFrame(schema=schema)
    facts = annotate(block["exercise"].unique(maintain_order=True), catalogue)
    counted = pl.concat(
        facts.select("exercise", muscle=name, counts=pl.lit(share))
        .explode("muscle")
        .drop_nulls("muscle")
        for name, share in (("direct", 1.0), ("indirect", 0.5))
    )
    work = block.filter(pl.col("set_kind") != SetKind.WARM_UP.value)
    return (
        work.join(counted, on="exercise")
        .group_by("client", "muscle")
        .agg(sets_plan=(pl.col("sets") * pl.col("counts")).sum().cast(pl.Float64))
    )
