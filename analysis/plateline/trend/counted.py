"""The sets that count, in arrays: evidence without mistyped and easy sets."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import polars as pl

from plateline.strength.arrays import Floats, Whole
from plateline.strength.easy import without_easy_sets
from plateline.strength.sessions import MOST_BEFORE, SET_FATIGUE
from plateline.trend.assumptions import DAY_SD_PCT, LATER_SET_SD_PCT
from plateline.trend.slips import slips

__all__ = ["Counted", "counted_sets"]


@dataclass(frozen=True)
class Counted:
    """One entry a set, in the order of lift, day and set.

    Attributes
    ----------
    frame
        The sets' evidence (see `plateline.strength.set_evidence`).
    lift, day
        Number of the lift, in the order of client and exercise; days since 1970.
    index
        What was done of the lift before on that day, in sets (see `sets_before` of the evidence).
    y
        What the set says about strength (%), on the population's curve, fresh.
    log_load
        100 ln load.
    var
        Variance of `y`.
    first
        Place of the first set of each lift and day.
    left_out
        Mistyped sets beside each lift and day; one entry a place in `first`.
    """

    frame: pl.DataFrame
    lift: Whole
    day: Whole
    index: Floats
    y: Floats
    log_load: Floats
    var: Floats
    first: Whole
    left_out: Whole


def counted_sets(evidence: pl.DataFrame) -> Counted:
    """Return the sets that count; every lift keeps at least one."""
    sets = _arrays(evidence)
    slip = slips(sets.lift, sets.day, sets.y, sets.log_load, sets.var + DAY_SD_PCT**2)
    left_out = np.zeros(len(sets.first), dtype=np.int64)
    if slip.any():
        beside = np.add.reduceat(slip.astype(np.int64), sets.first)
        every = np.diff(np.r_[sets.first, len(slip)])
        left_out = beside[beside < every]
        sets = _arrays(sets.frame.filter(pl.Series(~slip)))
    return replace(_arrays(without_easy_sets(sets.frame)), left_out=left_out)


def _arrays(evidence: pl.DataFrame) -> Counted:
    """Return evidence in arrays."""
    lift = evidence.select(pl.struct("client", "exercise").rle_id()).to_series()
    lift = lift.to_numpy().astype(np.int64)
    day = evidence["date"].to_physical().to_numpy().astype(np.int64)
    index = np.minimum(evidence["sets_before"].to_numpy(), MOST_BEFORE)
    first = np.flatnonzero(np.r_[True, (np.diff(lift) != 0) | (np.diff(day) != 0)])
    return Counted(
        frame=evidence,
        lift=lift,
        day=day,
        index=index,
        y=100 * (evidence["log_strength"].to_numpy() + SET_FATIGUE * index),
        log_load=100 * np.log(evidence["total_kg"].to_numpy()),
        var=(100 * evidence["error_sd"].to_numpy()) ** 2 + (LATER_SET_SD_PCT * index) ** 2,
        first=first,
        left_out=np.zeros(len(first), dtype=np.int64),
    )
