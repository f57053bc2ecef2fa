"""Easy sets without a reserve: less load than another set that day, and hardly more repetitions.

Such a set is a lower bound of strength far below what is known already: a warm-up that nobody
marked, a set cut short. Where the reserve was written down it says so itself; where it was not,
it must not be read as a hard one.
"""

from __future__ import annotations

import numpy as np
import polars as pl

from plateline.strength.arrays import Flags, Floats, Whole

__all__ = ["easy_sets", "follows_the_load", "without_easy_sets"]


EASY_LOAD_PCT = 8.0
EASY_SHARE = 0.7
"""Without a reserve, a set or day that is lighter by more than this, and seems weaker by at
least this share of what it is lighter, was easy: a steep rep curve takes half at most. Light
weeks take a tenth to a fifth off the load (common practice, no source)."""


def follows_the_load(lighter: Floats, weaker: Floats) -> Flags:
    """Say where strength seems to fall almost as far as the load, in %."""
    return (lighter > EASY_LOAD_PCT) & (weaker > EASY_SHARE * lighter)


def easy_sets(first: Whole, log_load: Floats, y: Floats, logged: Flags) -> Flags:
    """Say which sets seem weaker than their day's heaviest almost as far as they are lighter.

    Parameters
    ----------
    first
        Place of each day's first set; the sets of a day of a lift stand together.
    log_load, y, logged
        One entry a set: load and strength (on the population's curve) in %, whether the
        reserve is known.
    """
    sizes = np.diff(np.r_[first, len(y)])
    heaviest = np.repeat(np.maximum.reduceat(log_load, first), sizes)
    with_it = np.where(log_load >= heaviest - 1e-9, y, -np.inf)
    strongest = np.repeat(np.maximum.reduceat(with_it, first), sizes)
    return ~logged & follows_the_load(heaviest - log_load, strongest - y)


def without_easy_sets(evidence: pl.DataFrame) -> pl.DataFrame:
    """Leave easy sets out of evidence; `sets_before` counts those that are left.

    Every lift and day keeps its heaviest set. An easy set tires nobody.
    """
    if evidence.is_empty():
        return evidence
    days = evidence.select(pl.struct("client", "exercise", "date").rle_id()).to_series()
    first = np.flatnonzero(np.r_[True, np.diff(days.to_numpy().astype(np.int64)) != 0])
    easy = easy_sets(
        first,
        100 * np.log(evidence["total_kg"].to_numpy()),
        100 * evidence["log_strength"].to_numpy(),
        evidence["rir_logged"].to_numpy(),
    )
    if not easy.any():
        return evidence
    before = np.cumsum(easy) - easy
    before = before - np.repeat(before[first], np.diff(np.r_[first, len(easy)]))
    fewer = evidence.with_columns(pl.col("sets_before") - pl.Series(before))
    return fewer.filter(pl.Series(~easy))
