"""Comparison of lifters with each other, by the zones that they spend their blocks in."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import polars as pl

from plateline.study.design import Design, reference, spline_basis
from plateline.study.effects import BETWEEN, zone_rows
from plateline.study.pooling import pool
from plateline.study.zones import ZONES

__all__ = ["between_rows", "lifter_means"]


def between_rows(blocks: pl.DataFrame) -> Iterator[dict]:
    """Compare lifters by the shares of their blocks in each zone, adjusted for training age."""
    people = lifter_means(blocks)
    if people.height < 20:
        return
    present = [z for z in ZONES if z in people.columns and z != reference(blocks)]
    zones = Design(people.select(present).to_numpy(), tuple(present))
    one = Design(np.ones((people.height, 1)), ("constant",))
    columns = {}
    age = people["training_age_years"]
    if age.is_not_null().any():
        known = age.is_not_null().to_numpy()
        middle = age.median()
        logs = np.log(np.maximum(age.fill_null(middle).to_numpy().astype(float), 0.1))  # type: ignore[arg-type]
        columns |= {f"age {i}": c for i, c in enumerate(spline_basis(logs, logs[known]).T)}
        if not known.all():
            columns["age unknown"] = (~known).astype(float)
    columns["machine"] = people["machine"].to_numpy()
    columns = {name: column for name, column in columns.items() if np.ptp(column) > 0}
    rest = one + Design(
        np.column_stack(list(columns.values()) or [np.empty((people.height, 0))]), tuple(columns)
    )
    design = zones + rest
    started = Design(people.select(f"start {z}" for z in present).to_numpy(), tuple(present))
    fit = pool(
        people["slope"].to_numpy(), people["se"].to_numpy(), design.matrix,
        np.arange(people.height), instrument=(started + rest).matrix,
    )  # fmt: skip
    yield from zone_rows(fit, design, blocks, BETWEEN)


def lifter_means(blocks: pl.DataFrame) -> pl.DataFrame:
    """Return a row per lifter: pooled rate, its error, and the shares of the zones."""
    weight = 1 / (pl.col("se_pct_week") ** 2 + 0.04)
    shares = {
        prefix + z: (weight * (pl.col(column) == z)).sum() / weight.sum()
        for prefix, column in (("", "zone"), ("start ", "start_zone"))
        for z in ZONES
        if (blocks["zone"] == z).any()
    }
    return (
        blocks.group_by("client")
        .agg(
            slope=(weight * pl.col("slope_pct_week")).sum() / weight.sum(),
            se=(weight**2 * pl.col("se_pct_week") ** 2).sum().sqrt() / weight.sum(),
            machine=(weight * (pl.col("kind_of_curve") == "machine")).sum() / weight.sum(),
            training_age_years=pl.col("training_age_years").first(),
            **shares,
        )
        .sort("client")
    )
