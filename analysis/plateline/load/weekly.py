"""Every weekly table in one pass over the sets."""

from __future__ import annotations

from typing import Any

import polars as pl

from plateline.load.bouts import bouts_of
from plateline.load.muscles import weekly_muscles_of, weekly_patterns_of, weekly_positions_of
from plateline.load.periods import weekly_load_of
from plateline.load.spread import effort_of, rep_zones_of

__all__ = ["weekly_tables"]


def weekly_tables(
    sets: Any, *, catalogue: Any = None, checkins: Any = None
) -> dict[str, pl.DataFrame]:
    """Return the weekly tables by name, reading the sets once.

    Names: `weekly_load, weekly_muscles, weekly_positions, weekly_patterns, rep_zones, effort`;
    each is what the function of that name returns. A lazy frame (``pl.scan_parquet(...)``)
    goes through the streaming engine, so it may be larger than memory.
    """
    bouts = bouts_of(sets, catalogue=catalogue, checkins=checkins)
    return {
        "weekly_load": weekly_load_of(bouts),
        "weekly_muscles": weekly_muscles_of(bouts),
        "weekly_positions": weekly_positions_of(bouts),
        "weekly_patterns": weekly_patterns_of(bouts),
        "rep_zones": rep_zones_of(bouts),
        "effort": effort_of(bouts),
    }
