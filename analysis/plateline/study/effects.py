"""The table of effects: its contract, and how a row of it is made."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import combinations

import numpy as np
import polars as pl

from plateline.study.design import Design, reference
from plateline.study.pooling import Pooled
from plateline.study.zones import ZONES

__all__ = [
    "ALL_BLOCKS", "BETWEEN", "EFFECTS", "OWN_CONTRASTS", "WITHIN", "WITHIN_LIFTS", "codes", "counts",
    "effect_row", "effects_frame", "informative_zones", "with_company", "zone_contrasts", "zone_rows",
]  # fmt: skip

EFFECTS = {
    "term": pl.String,
    "contrast": pl.String,
    "effect_pct_week": pl.Float64,
    "low": pl.Float64,
    "high": pl.Float64,
    "p": pl.Float64,
    "n_lifters": pl.Int64,
    "n_lifts": pl.Int64,
    "n_blocks": pl.Int64,
    "model": pl.String,
}
"""The contract of `effects.csv`: 95 % intervals, % a week, p not adjusted for their number."""

WITHIN = "within lifters"
WITHIN_LIFTS = "within lifts"
BETWEEN = "between lifters"
ALL_BLOCKS = "all blocks, adjusted"
OWN_CONTRASTS = "lifters' own contrasts"


def effects_frame(rows: Iterable[dict]) -> pl.DataFrame:
    """Return rows as a frame of EFFECTS."""
    return pl.DataFrame(list(rows), schema=EFFECTS)


def zone_contrasts(zones: Iterable[str]) -> Iterator[tuple[str, str]]:
    """Yield every pair of zones once, the longer sets first."""
    for shorter, longer in combinations([z for z in ZONES if z in set(zones)], 2):
        yield longer, shorter


def codes(blocks: pl.DataFrame, columns: list[str]) -> np.ndarray:
    """Return whole numbers from 0 for the groups that the columns make."""
    return (blocks.select(pl.struct(columns).rank("dense")).to_series().to_numpy() - 1).astype(int)


def counts(blocks: pl.DataFrame) -> dict[str, int]:
    """Return the three counts of a row of effects."""
    return {
        "n_lifters": blocks["client"].n_unique(),
        "n_lifts": blocks.select(pl.struct("client", "exercise").n_unique()).item(),
        "n_blocks": blocks.height,
    }


def effect_row(term: str, contrast: str, estimate: tuple, size: dict[str, int], model: str) -> dict:
    """Return a row of EFFECTS; `estimate` is effect, low, high and p, `size` from `counts`."""
    effect, low, high, p = estimate
    return {
        "term": term, "contrast": contrast, "effect_pct_week": effect, "low": low, "high": high,
        "p": p, **size, "model": model,
    }  # fmt: skip


def zone_rows(fit: Pooled, design: Design, blocks: pl.DataFrame, model: str) -> Iterator[dict]:
    """Yield a row of EFFECTS for every pair of zones in a fit."""
    size, base = counts(blocks), reference(blocks)
    present = [base, *(z for z in ZONES if z in design.names)]
    for longer, shorter in zone_contrasts(present):
        weights = {z: s for z, s in ((longer, 1.0), (shorter, -1.0)) if z != base}
        yield effect_row(
            "rep zone",
            f"{longer} against {shorter}",
            fit.contrast(design.pick(weights)),
            size,
            model,
        )


def informative_zones(blocks: pl.DataFrame) -> bool:
    """Say whether at least two zones occur, at the start of blocks and over them."""
    return all(blocks[name].n_unique() > 1 for name in ("zone", "start_zone"))


def with_company(blocks: pl.DataFrame, groups: list[str]) -> pl.DataFrame:
    """Keep groups of two blocks or more: others say nothing about a contrast within groups."""
    return blocks.filter(pl.len().over(groups) > 1)
