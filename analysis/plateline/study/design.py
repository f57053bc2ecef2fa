"""Design matrices of the study: exposures, what they are compared with, and what is adjusted."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import polars as pl

from plateline.study.zones import ZONES

__all__ = [
    "FEWEST_LIFTERS",
    "REFERENCE_ZONE",
    "Design",
    "adjustment_columns",
    "compared_zones",
    "in_compared_zones",
    "reference",
    "spline_basis",
    "zone_columns",
]

REFERENCE_ZONE = "6-12 reps"
FEWEST_LIFTERS = 5
"""A zone in which fewer lifters had a block from beginning to end is not compared: errors robust
within lifters say nothing of three of them (common practice, no source)."""
LEAST_SPREAD = 0.05
"""An exposure whose standard deviation over the blocks is below this (a twentieth of a rep in
reserve or of a session a week, 3.5 % of the sets) was not varied: what is left of it is
rounding, and a slope on rounding can be anything."""
ALIKE = 0.98
"""From this correlation on two exposures are one, and the first of them stands for both."""
KNOTS_APART = 0.15
"""Knots closer than this share of the outer knots' distance bend a curve within a few rows."""
MIN_BLOCKS = 10
"""An exercise with fewer blocks than this is counted with the others of its kind."""


@dataclass(frozen=True)
class Design:
    """Columns of a design matrix with their names."""

    matrix: np.ndarray
    names: tuple[str, ...]

    def __add__(self, other: Design) -> Design:
        return Design(np.column_stack([self.matrix, other.matrix]), self.names + other.names)

    def unit(self, **weights: float) -> np.ndarray:
        """Return the vector that picks columns by name, for `Pooled.contrast`."""
        return np.array([weights.get(name, 0.0) for name in self.names])

    def pick(self, weights: dict[str, float]) -> np.ndarray:
        """Return the vector that picks columns by name, for names that are no identifiers."""
        return np.array([weights.get(name, 0.0) for name in self.names])


def compared_zones(blocks: pl.DataFrame) -> list[str]:
    """Return the zones with enough lifters to be compared, shortest sets first."""
    lifters = (
        blocks.filter(pl.col("zone") == pl.col("start_zone"))
        .group_by("zone")
        .agg(pl.col("client").n_unique())
    )
    enough = set(lifters.filter(pl.col("client") >= FEWEST_LIFTERS)["zone"])
    return [zone for zone in ZONES if zone in enough]


def in_compared_zones(blocks: pl.DataFrame) -> pl.DataFrame:
    """Keep the blocks whose zone has enough lifters to be compared."""
    return blocks.filter(pl.col("zone").is_in(compared_zones(blocks)))


def zone_columns(blocks: pl.DataFrame, column: str = "zone") -> Design:
    """Return a dummy for every zone that occurs but the reference.

    `column` is `zone` (of the whole block) or `start_zone` (of its first sessions: the
    instrument); the zones are those of `zone` in both.
    """
    zone = blocks[column]
    present = [z for z in ZONES if z != reference(blocks) and (blocks["zone"] == z).any()]
    matrix = np.column_stack([(zone == z).to_numpy().astype(float) for z in present] or
                             [np.empty((blocks.height, 0))])  # fmt: skip
    return Design(matrix, tuple(present))


def reference(blocks: pl.DataFrame) -> str:
    """Return the zone that others are compared with: 6-12 reps, or else the most frequent."""
    counts = {z: int((blocks["zone"] == z).sum()) for z in ZONES}
    return REFERENCE_ZONE if counts[REFERENCE_ZONE] else max(counts, key=lambda z: counts[z])


def adjustment_columns(
    blocks: pl.DataFrame, *, training_age: bool, exposures: bool = True
) -> Design:
    """Return what every contrast is adjusted for.

    Parameters
    ----------
    training_age
        Add a spline in the logarithm of training age (not where lifters have a constant of
        their own), with a mark for lifters who do not state it. How much sooner beginners slow
        down is adjusted for in any case.
    exposures
        Add reps in reserve, hard sets and sessions a week.
    """
    columns: dict[str, np.ndarray] = {}
    label = blocks["kind"]
    for name, count in (
        label.value_counts(sort=True).sort("count", "kind", descending=[True, False]).iter_rows()
    ):
        if count >= MIN_BLOCKS:
            columns[f"exercise {name}"] = (label == name).to_numpy().astype(float)
    if columns and sum(column.sum() for column in columns.values()) == blocks.height:
        columns.pop(next(iter(columns)))
    columns["weeks before"] = np.log1p(blocks["weeks_before"].to_numpy())
    if exposures:
        columns |= _varied(
            {
                "rir": blocks["rir"],
                "log2 hard sets": blocks["hard_sets_week"].log(2),
                "sessions": blocks["sessions_week"],
            }
        )
    age = blocks["training_age_years"]
    known = age.is_not_null().to_numpy()
    if known.any():
        logs = np.log(np.maximum(age.fill_null(age.median()).to_numpy().astype(float), 0.1))  # type: ignore[arg-type]
        # beginners slow down sooner, and a later block is of another zone more often than not
        columns["weeks before, by training age"] = columns["weeks before"] * (logs - logs.mean())
        if training_age:
            for place, column in enumerate(spline_basis(logs, logs[known]).T):
                columns[f"training age {place + 1}"] = column
            if not known.all():
                columns["training age unknown"] = (~known).astype(float)
    names = [name for name, column in columns.items() if np.ptp(column) > 0]
    matrix = np.column_stack([columns[n] - columns[n].mean() for n in names] or
                             [np.empty((blocks.height, 0))])  # fmt: skip
    return Design(matrix, tuple(names))


def _varied(exposures: dict[str, pl.Series]) -> dict[str, np.ndarray]:
    """Return the exposures that were varied, and not in step with one before them."""
    kept: dict[str, np.ndarray] = {}
    for name, values in exposures.items():
        filled = _filled(name, values)
        if name not in filled or filled[name].std() < LEAST_SPREAD:
            continue
        if any(abs(np.corrcoef(filled[name], kept[other])[0, 1]) > ALIKE for other in kept
               if not other.endswith(" unknown")):  # fmt: skip
            continue
        kept |= filled
    return kept


def _filled(name: str, values: pl.Series) -> dict[str, np.ndarray]:
    """Return a covariate with its missing values at the mean, and a mark where they are missing."""
    known = values.is_not_null().to_numpy()
    column = values.to_numpy().astype(float)
    if not known.any():
        return {}
    out = {name: np.where(known, column, np.nanmean(column[known]))}
    if not known.all():
        out[f"{name} unknown"] = (~known).astype(float)
    return out


def _apart(knots: np.ndarray) -> np.ndarray:
    """Return the knots without those that crowd the one before; the outer two stay."""
    least = KNOTS_APART * np.ptp(knots)
    kept = [knots[0]]
    for knot in knots[1:-1]:
        if knot - kept[-1] >= least and knots[-1] - knot >= least:
            kept.append(knot)
    return np.unique([*kept, knots[-1]])


def spline_basis(x: np.ndarray, sample: np.ndarray, knots: int = 4) -> np.ndarray:
    """Return a restricted cubic spline's columns: linear outside the outer knots.

    Knots at quantiles of `sample` (5, 35, 65, 95 % for four), truncated-power form scaled by
    the square of the knots' range: Harrell 2015, Regression Modeling Strategies, 2nd ed.,
    section 2.4.5. Knots that crowd, as where people train at two or three numbers of reps, are
    one; falls back to the straight line where fewer than three are left.
    """
    quantiles = {3: (0.10, 0.50, 0.90), 4: (0.05, 0.35, 0.65, 0.95)}[knots]
    at = _apart(np.unique(np.quantile(sample, quantiles)))
    x = np.asarray(x, float)
    if len(at) < 3:
        return x[:, None]
    last, before = at[-1], at[-2]

    def cubed(knot: float) -> np.ndarray:
        return np.maximum(x - knot, 0) ** 3

    columns = [x]
    for knot in at[:-2]:
        tail = cubed(before) * (last - knot) - cubed(last) * (before - knot)
        columns.append((cubed(knot) - tail / (last - before)) / (last - at[0]) ** 2)
    return np.column_stack(columns)
