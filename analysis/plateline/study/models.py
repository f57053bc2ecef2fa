"""The models of the study, each as rows of one table of effects.

The same question is asked in ways that fail differently. *Within lifters* compares a person
with themselves and is blind to nothing that stays the same for a person, training age above
all. *Within lifts* compares blocks of one lift, and pays with few lifts. *Between lifters*
compares people, and rests on what is known of them. The *naive* model is what a spreadsheet
would do and stands there as a warning.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import combinations

import numpy as np
import polars as pl

from plateline.study.design import (
    Design,
    adjustment_columns,
    reference,
    spline_basis,
    zone_columns,
)
from plateline.study.pooling import Pooled, combine, pool
from plateline.study.zones import ZONES

__all__ = [
    "DOSE_REPS",
    "EFFECTS",
    "codes",
    "counts",
    "effect_rows",
    "effects_frame",
    "informative_zones",
    "own_contrasts",
    "primary_model",
    "primary_rows",
    "zone_contrasts",
]

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

MIN_OWN_CONTRASTS = 10
"""Fewest lifters with two zones (or half of a smaller group, and three) for which the comparison
within lifters is the primary one."""

DOSE_REPS = (3, 5, 8, 10, 12, 15, 20)
DOSE_REFERENCE = 8.0


def effect_rows(blocks: pl.DataFrame) -> list[dict]:
    """Return rows of EFFECTS for every model but the mixed one, the primary model's first.

    Parameters
    ----------
    blocks
        As `study_blocks` returns them, with `slope_pct_week`, `se_pct_week`, `kind` and
        `training_age_years`.
    """
    tables = {
        WITHIN: list(_fixed(blocks, ["client"], WITHIN)),
        ALL_BLOCKS: list(_all_blocks(blocks)),
        OWN_CONTRASTS: list(_own_contrasts(blocks)),
        WITHIN_LIFTS: list(_fixed(blocks, ["client", "exercise"], WITHIN_LIFTS)),
        BETWEEN: list(_between(blocks)),
    }
    first = primary_model(blocks)
    order = [first, *(name for name in tables if name != first)]
    return [row for name in order for row in tables[name]]


def primary_rows(blocks: pl.DataFrame, *, exposures: bool = True) -> list[dict]:
    """Return the zone contrasts of the primary model alone, for sensitivity checks."""
    if blocks.height < 4:
        return []
    if primary_model(blocks) == WITHIN:
        rows = _fixed(blocks, ["client"], WITHIN, exposures=exposures)
    else:
        rows = _all_blocks(blocks, exposures=exposures)
    kept = []
    for row in rows:  # zone contrasts come first; the rest need not be computed
        if row["term"] != "rep zone":
            break
        kept.append(row)
    return kept


def primary_model(blocks: pl.DataFrame) -> str:
    """Return the model to read first: within lifters where enough of them have two zones."""
    zones = blocks.group_by("client").agg(zones=pl.col("zone").n_unique())["zones"]
    both = int((zones > 1).sum())
    enough = both >= min(MIN_OWN_CONTRASTS, max(3, len(zones) // 2))
    return WITHIN if enough else ALL_BLOCKS


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


def _row(term: str, contrast: str, estimate, size: dict, model: str) -> dict:
    effect, low, high, p = estimate
    return {
        "term": term, "contrast": contrast, "effect_pct_week": effect, "low": low, "high": high,
        "p": p, **size, "model": model,
    }  # fmt: skip


def _zone_rows(fit: Pooled, design: Design, blocks: pl.DataFrame, model: str) -> Iterator[dict]:
    size, base = counts(blocks), reference(blocks)
    present = [base, *(z for z in ZONES if z in design.names)]
    for longer, shorter in zone_contrasts(present):
        weights = {z: s for z, s in ((longer, 1.0), (shorter, -1.0)) if z != base}
        yield _row(
            "rep zone",
            f"{longer} against {shorter}",
            fit.contrast(design.pick(weights)),
            size,
            model,
        )


def informative_zones(blocks: pl.DataFrame) -> bool:
    """Say whether at least two zones occur, at the start of blocks and over them."""
    return all(blocks[name].n_unique() > 1 for name in ("zone", "start_zone"))


def _informative(blocks: pl.DataFrame, groups: list[str]) -> pl.DataFrame:
    """Keep groups of two blocks or more: others say nothing about a contrast within groups."""
    return blocks.filter(pl.len().over(groups) > 1)


def _fixed(
    blocks: pl.DataFrame, groups: list[str], model: str, *, exposures: bool = True
) -> Iterator[dict]:
    """Compare blocks of the same lifter (or lift), whose constant is swept out."""
    some = _informative(blocks, groups)
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
        yield from _zone_rows(fit, design, some, model)
        yield from _dose_rows(some, fitted, model)
        yield from _other_rows(some, fit, design, model)


def _varies(blocks: pl.DataFrame, groups: list[str], column: str) -> bool:
    return bool((blocks.group_by(groups).agg(n=pl.col(column).n_unique())["n"] > 1).any())


def _all_blocks(blocks: pl.DataFrame, *, exposures: bool = True) -> Iterator[dict]:
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
        yield from _zone_rows(fit, design, blocks, ALL_BLOCKS)
        yield from _dose_rows(blocks, fitted, ALL_BLOCKS)
        yield from _other_rows(blocks, fit, design, ALL_BLOCKS)


def _dose_rows(blocks: pl.DataFrame, fitted, model: str) -> Iterator[dict]:
    """Dose and response: per doubling of reps, and a spline at round numbers of reps."""
    logs, start = (np.log2(blocks[name].to_numpy()) for name in ("reps", "start_reps"))
    if np.ptp(logs) < 0.3:
        return
    size = counts(blocks)
    name = ("log2 reps",)
    fit, design = fitted(Design(logs[:, None], name), Design(start[:, None], name))
    yield _row(
        "reps",
        "for each doubling of reps",
        fit.contrast(design.pick({"log2 reps": 1.0})),
        size,
        model,
    )
    basis = spline_basis(logs, logs)
    if basis.shape[1] < 2 or len(logs) < 40:
        return
    names = tuple(f"reps spline {i}" for i in range(basis.shape[1]))
    fit, design = fitted(Design(basis, names), Design(spline_basis(start, logs), names))
    here = spline_basis(np.log2([DOSE_REFERENCE]), logs)[0]
    within = np.quantile(2**logs, (0.02, 0.98))
    for reps in DOSE_REPS:
        if reps == DOSE_REFERENCE or not within[0] <= reps <= within[1]:
            continue
        there = spline_basis(np.log2([float(reps)]), logs)[0]
        vector = design.pick(dict(zip(names, there - here, strict=True)))
        yield _row(
            "reps, spline",
            f"{reps} against {DOSE_REFERENCE:g} reps",
            fit.contrast(vector),
            size,
            model,
        )


def _other_rows(blocks: pl.DataFrame, fit: Pooled, design: Design, model: str) -> Iterator[dict]:
    """Effort, volume and frequency, from the same fit."""
    size = counts(blocks)
    for name, term, contrast in (
        ("rir", "reps in reserve", "for each rep more in reserve"),
        ("log2 hard sets", "hard sets a week", "for each doubling of hard sets"),
        ("sessions", "sessions a week", "for each session more a week"),
    ):
        if name in design.names:
            yield _row(term, contrast, fit.contrast(design.pick({name: 1.0})), size, model)


def _own_contrasts(blocks: pl.DataFrame) -> Iterator[dict]:
    """Mean of each lifter's own difference between zones, with room for people to differ."""
    for longer, shorter in zone_contrasts(blocks["zone"].unique()):
        own = own_contrasts(blocks, longer, shorter)
        if own.height < 3:
            continue
        both = combine(own["effect"].to_numpy(), own["se"].to_numpy())
        some = blocks.join(own.select("client"), on="client", how="semi").filter(
            pl.col("zone").is_in([longer, shorter])
        )
        yield _row(
            "rep zone", f"{longer} against {shorter}", (both.effect, both.low, both.high, both.p),
            counts(some), OWN_CONTRASTS,
        )  # fmt: skip


def own_contrasts(blocks: pl.DataFrame, longer: str, shorter: str) -> pl.DataFrame:
    """Return `client, effect, se`: each lifter's difference between two zones, adjusted.

    Only blocks that stayed in the zone they began in count, for a single lifter leaves no room
    for an instrument. What is adjusted for is estimated within lifters first; the scatter of true rates between
    the blocks of a lifter counts as error here.
    """
    kept = blocks.filter(pl.col("zone") == pl.col("start_zone"))
    some = _informative(kept, ["client"])
    if some.is_empty() or not (zones := zone_columns(some)).names:
        return pl.DataFrame(schema={"client": pl.String, "effect": pl.Float64, "se": pl.Float64})
    adjust = adjustment_columns(some, training_age=False)
    design = zones + adjust
    y, se = some["slope_pct_week"].to_numpy(), some["se_pct_week"].to_numpy()
    fit = pool(y, se, design.matrix, codes(some, ["client"]), codes(some, ["client"]))
    rest = y - adjust.matrix @ fit.effect[len(zones.names) :]
    weighed = some.select("client", "zone").with_columns(
        rest=pl.Series(rest), weight=pl.Series(1 / (se**2 + fit.tau**2))
    )
    means = weighed.group_by("client", "zone").agg(
        mean=(pl.col("weight") * pl.col("rest")).sum() / pl.col("weight").sum(),
        var=1 / pl.col("weight").sum(),
    )
    a, b = (means.filter(pl.col("zone") == zone).drop("zone") for zone in (longer, shorter))
    return (
        a.join(b, on="client", suffix="_b")
        .select(
            "client",
            effect=pl.col("mean") - pl.col("mean_b"),
            se=(pl.col("var") + pl.col("var_b")).sqrt(),
        )
        .sort("client")
    )


def _between(blocks: pl.DataFrame) -> Iterator[dict]:
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
    yield from _zone_rows(fit, design, blocks, BETWEEN)


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
