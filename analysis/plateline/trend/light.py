"""Sessions that the plan meant to be light: they are no evidence of strength."""

from __future__ import annotations

import numpy as np
import polars as pl

from plateline.strength.arrays import Flags
from plateline.trend.measure import Days, Lifts
from plateline.words import Role

__all__ = ["planned_light"]

LIGHT_BLOCK = r"(?i)\b(deload|light|recovery|taper)"
"""Names of blocks that are light by plan."""

LIGHT_RIR = 4.0
"""Reserve from which on a block is light, where every progression lift is to keep it (common
practice, no source)."""


def planned_light(lifts: Lifts, days: Days, plan: pl.DataFrame) -> Flags:
    """Say which sessions fall into a planned light block of their client.

    A block is light when its name says so, or when every progression lift in it is to stop
    far from failure.

    Parameters
    ----------
    lifts, days
        From `plateline.trend.measure`.
    plan
        PLAN.
    """
    main = pl.col("rir").filter(pl.col("role") == Role.PROGRESSION)
    blocks = (
        plan.group_by("client", "block", "start", "weeks")
        .agg(easy=(main.min() >= LIGHT_RIR).fill_null(value=False))
        .filter(pl.col("easy") | pl.col("block").str.contains(LIGHT_BLOCK))
        .filter(pl.col("start").is_not_null() & pl.col("weeks").is_not_null())
    )
    if blocks.is_empty():
        return np.zeros(len(days.lift), dtype=bool)
    end = pl.col("start") + pl.duration(weeks="weeks") - pl.duration(days=1)
    light = blocks.select("client", date=pl.date_ranges("start", end)).explode("date").unique()
    trained = pl.DataFrame(
        {"client": lifts.frame["client"].gather(days.lift), "date": days.frame["date"]}
    )
    found = trained.join(
        light.with_columns(light=True), on=["client", "date"], how="left", maintain_order="left"
    )
    return found["light"].fill_null(value=False).to_numpy()
