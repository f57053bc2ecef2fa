"""Bands in which sets are counted: rep zones, proximity to failure, share of e1RM.

They are data, not code: pass other ones to the functions that take them.

>>> from plateline.load import RepZone, rep_zones
>>> ours = (RepZone("heavy", 1, 6), RepZone("moderate", 7, 15), RepZone("light", 16, None))
>>> table = rep_zones(sets, zones=ours)  # doctest: +SKIP
"""

from __future__ import annotations

from dataclasses import dataclass

import polars as pl

__all__ = ["EFFORT_BANDS", "LOAD_BANDS", "REP_RANGES", "Band", "RepZone"]


@dataclass(frozen=True)
class RepZone:
    """Sets of `low` to `high` reps, both counted; no `high` means open."""

    name: str
    low: int
    high: int | None

    def holds(self, reps: pl.Expr) -> pl.Expr:
        """Say whether `reps` lies in the zone."""
        inside = reps >= self.low
        return inside if self.high is None else inside & (reps <= self.high)


REP_RANGES: tuple[RepZone, ...] = (
    RepZone("1-5", 1, 5),
    RepZone("6-12", 6, 12),
    RepZone("13-20", 13, 20),
    RepZone("21 and more", 21, None),
)
"""Low, moderate and high repetitions after the repetition continuum that Schoenfeld, Grgic,
Van Every & Plotkin 2021 (Sports 9(2):32) re-examine (1-5, 8-12, 15 and more). Its gaps are
closed and the open end is cut at 20, so that sets of 15-20 and of 40 are told apart: common
practice, no source. The paper's point is that muscle grows in all of them near failure."""


@dataclass(frozen=True)
class Band:
    """Values from `low` (counted) up to `high` (not counted); both null: value unknown."""

    name: str
    low: float | None
    high: float | None

    @property
    def is_unknown(self) -> bool:
        """Say whether the band is the one of unknown values."""
        return self.low is None and self.high is None

    def holds(self, value: pl.Expr) -> pl.Expr:
        """Say whether `value` lies in the band."""
        if self.is_unknown:
            return value.is_null()
        inside = pl.lit(True)
        if self.low is not None:
            inside = inside & (value >= self.low)
        if self.high is not None:
            inside = inside & (value < self.high)
        return inside.fill_null(False)


EFFORT_BANDS: tuple[Band, ...] = (
    Band("to failure", None, 0.5),
    Band("1 in reserve", 0.5, 1.5),
    Band("2 in reserve", 1.5, 2.5),
    Band("3-4 in reserve", 2.5, 4.5),
    Band("5 and more in reserve", 4.5, None),
    Band("not logged", None, None),
)
"""Proximity to failure by RIR, rounded to whole reps (a half counts up)."""

LOAD_BANDS: tuple[Band, ...] = (
    Band("below 60 %", None, 0.60),
    Band("60-70 %", 0.60, 0.70),
    Band("70-80 %", 0.70, 0.80),
    Band("80-90 %", 0.80, 0.90),
    Band("90 % and more", 0.90, None),
    Band("not known", None, None),
)
"""Load as a share of e1RM, in steps of ten points from 60 %: common practice, no source."""
