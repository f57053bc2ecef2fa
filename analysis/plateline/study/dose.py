"""Dose and response: progress against the number of reps, and against effort, sets and frequency."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import polars as pl

from plateline.study.design import Design, spline_basis
from plateline.study.effects import counts, effect_row
from plateline.study.pooling import Pooled

__all__ = ["DOSE_REPS", "dose_rows", "other_rows"]

DOSE_REPS = range(2, 31)
DOSE_REFERENCE = 8.0
NEAR_REPS, NEAR_SHARE = 0.75, 0.10
"""A block counts for a number of reps within three quarters of a rep, or a tenth of it."""
FEWEST_BLOCKS = 5
"""A number of reps with fewer blocks near it has no point on the curve."""


def dose_rows(blocks: pl.DataFrame, fitted, model: str) -> Iterator[dict]:
    """Dose and response: per doubling of reps, and a spline at whole numbers of reps."""
    logs, start = (np.log2(blocks[name].to_numpy()) for name in ("reps", "start_reps"))
    if np.ptp(logs) < 0.3:
        return
    size = counts(blocks)
    name = ("log2 reps",)
    fit, design = fitted(Design(logs[:, None], name), Design(start[:, None], name))
    yield effect_row(
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
    for reps in DOSE_REPS:
        if reps == DOSE_REFERENCE or not _trained_near(2**logs, reps):
            continue
        there = spline_basis(np.log2([float(reps)]), logs)[0]
        vector = design.pick(dict(zip(names, there - here, strict=True)))
        yield effect_row(
            "reps, spline",
            f"{reps} against {DOSE_REFERENCE:g} reps",
            fit.contrast(vector),
            size,
            model,
        )


def _trained_near(reps: np.ndarray, whole: int) -> bool:
    """Say whether blocks were trained with about so many reps, and some with fewer and with more.

    Between two numbers of reps that nobody trained between, a spline swings freely.
    """
    low, high = np.quantile(reps, (0.02, 0.98))
    near = np.abs(reps - whole) <= max(NEAR_REPS, NEAR_SHARE * whole)
    return bool(low <= whole <= high and near.sum() >= FEWEST_BLOCKS)


def other_rows(blocks: pl.DataFrame, fit: Pooled, design: Design, model: str) -> Iterator[dict]:
    """Effort, volume and frequency, from the same fit."""
    size = counts(blocks)
    for name, term, contrast in (
        ("rir", "reps in reserve", "for each rep more in reserve"),
        ("log2 hard sets", "hard sets a week", "for each doubling of hard sets"),
        ("sessions", "sessions a week", "for each session more a week"),
    ):
        if name in design.names:
            yield effect_row(term, contrast, fit.contrast(design.pick({name: 1.0})), size, model)
