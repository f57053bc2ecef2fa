"""Rep zones: how a number of reps is named in the study."""

from __future__ import annotations

import polars as pl

__all__ = ["ZONES", "ZONE_EDGES", "zone_of"]

ZONES = ("1-5 reps", "6-12 reps", "13-20 reps", "over 20 reps")
ZONE_EDGES = (5.5, 12.5, 20.5)
"""Common practice, no source: heavy sets, the middle, long sets, very long sets."""


def zone_of(reps: pl.Expr) -> pl.Expr:
    """Return the zone of a number of reps (null stays null)."""
    zone = pl.lit(ZONES[-1])
    for edge, name in zip(reversed(ZONE_EDGES), reversed(ZONES[:-1]), strict=True):
        zone = pl.when(reps <= edge).then(pl.lit(name)).otherwise(zone)
    return pl.when(reps.is_not_null()).then(zone)
