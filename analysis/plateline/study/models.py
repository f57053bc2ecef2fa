"""The models of the study, each as rows of one table of effects.

The same question is asked in ways that fail differently. *Within lifters* compares a person
with themselves and is blind to nothing that stays the same for a person, training age above
all. *Within lifts* compares blocks of one lift, and pays with few lifts. *Between lifters*
compares people, and rests on what is known of them. The *naive* model is what a spreadsheet
would do and stands there as a warning.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import polars as pl

from plateline.study.between import between_rows
from plateline.study.design import (
    Design,
    adjustment_columns,
    in_compared_zones,
    zone_columns,
)
from plateline.study.dose import dose_rows, other_rows
from plateline.study.effects import (
    ALL_BLOCKS,
    BETWEEN,
    OWN_CONTRASTS,
    WITHIN,
    WITHIN_LIFTS,
    codes,
    informative_zones,
    with_company,
    zone_rows,
)
from plateline.study.own import own_rows
from plateline.study.pooling import Pooled, pool

__all__ = ["contrasts_within", "effect_rows", "primary_model", "primary_rows"]

MIN_OWN_CONTRASTS = 10
"""Fewest lifters with two zones (or half of a smaller group, and three) for which the comparison
within lifters is the primary one."""

GROUPS = {WITHIN: ["client"], WITHIN_LIFTS: ["client", "exercise"]}
"""Whose constant is swept out, by model."""


def effect_rows(blocks: pl.DataFrame) -> list[dict]:
    """Return rows of EFFECTS for every model but the mixed one, the primary model's first.

    Parameters
    ----------
    blocks
        As `study_blocks` returns them, with `slope_pct_week`, `se_pct_week`, `kind` and
        `training_age_years`.
    """
    blocks = in_compared_zones(blocks)
    tables = {
        WITHIN: list(_within(blocks, WITHIN)),
        ALL_BLOCKS: list(_all_blocks(blocks)),
        OWN_CONTRASTS: list(own_rows(blocks)),
        WITHIN_LIFTS: list(_within(blocks, WITHIN_LIFTS)),
        BETWEEN: list(between_rows(blocks)),
    }
    first = primary_model(blocks)
    order = [first, *(name for name in tables if name != first)]
    return [row for name in order for row in tables[name]]


def primary_rows(blocks: pl.DataFrame, *, exposures: bool = True) -> list[dict]:
    """Return the zone contrasts of the primary model alone, for sensitivity checks."""
    blocks = in_compared_zones(blocks)
    if blocks.height < 4:
        return []
    if primary_model(blocks) == WITHIN:
        return contrasts_within(blocks, WITHIN, exposures=exposures)
    return list(_all_blocks(blocks, exposures=exposures, zones_only=True))


def contrasts_within(blocks: pl.DataFrame, model: str, *, exposures: bool = True) -> list[dict]:
    """Return the zone contrasts within lifters (`WITHIN`) or within lifts (`WITHIN_LIFTS`)."""
    kept = in_compared_zones(blocks)
    return list(_within(kept, model, exposures=exposures, zones_only=True))


def primary_model(blocks: pl.DataFrame) -> str:
    """Return the model to read first: within lifters where enough of them have two zones."""
    zones = blocks.group_by("client").agg(zones=pl.col("zone").n_unique())["zones"]
    both = int((zones > 1).sum())
    enough = both >= min(MIN_OWN_CONTRASTS, max(3, len(zones) // 2))
    return WITHIN if enough else ALL_BLOCKS


def _within(
    blocks: pl.DataFrame, model: str, *, exposures: bool = True, zones_only: bool = False
) -> Iterator[dict]:
    """Compare blocks of the same lifter (or lift), whose constant is swept out."""
    groups = GROUPS[model]
    some = with_company(blocks, groups)
    if some.select(pl.col("client").n_unique()).item() < 2:
        return
    group, cluster = codes(some, groups), codes(some, ["client"])
    adjust = adjustment_columns(some, training_age=False, exposures=exposures)
    y, se = some["slope_pct_week"].to_numpy(), some["se_pct_week"].to_numpy()

    def fitted(exposure: Design, start: Design) -> tuple[Pooled, Design]:
        design, instrument = exposure + adjust, (start + adjust).matrix
        return pool(y, se, design.matrix, cluster, group, instrument=instrument), design

    zones = zone_columns(some)
    if informative_zones(some) and _varies(some, groups, "start_zone"):
        fit, design = fitted(zones, zone_columns(some, "start_zone"))
        yield from zone_rows(fit, design, some, model)
        if zones_only:
            return
        yield from dose_rows(some, fitted, model)
        yield from other_rows(some, fit, design, model)


def _varies(blocks: pl.DataFrame, groups: list[str], column: str) -> bool:
    return bool((blocks.group_by(groups).agg(n=pl.col(column).n_unique())["n"] > 1).any())


def _all_blocks(
    blocks: pl.DataFrame, *, exposures: bool = True, zones_only: bool = False
) -> Iterator[dict]:
    """Pool all blocks, adjusted for training age and the rest; lifters are clusters."""
    if blocks["client"].n_unique() < 2:
        return
    adjust = adjustment_columns(blocks, training_age=True, exposures=exposures)
    one = Design(np.ones((blocks.height, 1)), ("constant",))
    y, se = blocks["slope_pct_week"].to_numpy(), blocks["se_pct_week"].to_numpy()
    cluster = codes(blocks, ["client"])

    def fitted(exposure: Design, start: Design) -> tuple[Pooled, Design]:
        design, instrument = exposure + adjust + one, (start + adjust + one).matrix
        return pool(y, se, design.matrix, cluster, instrument=instrument), design

    if informative_zones(blocks):
        zones = zone_columns(blocks)
        fit, design = fitted(zones, zone_columns(blocks, "start_zone"))
        yield from zone_rows(fit, design, blocks, ALL_BLOCKS)
        if zones_only:
            return
        yield from dose_rows(blocks, fitted, ALL_BLOCKS)
        yield from other_rows(blocks, fit, design, ALL_BLOCKS)
