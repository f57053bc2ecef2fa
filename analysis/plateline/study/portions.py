"""From a log of any size to blocks: whole clients at a time, so memory does not grow with it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import polars as pl

from plateline.study.blocks import BLOCK_MOMENTS, BlocksBy, block_moments, split_blocks
from plateline.study.naive import NAIVE_LIFTS, naive_lifts
from plateline.study.rep_sessions import study_sessions

__all__ = ["PORTION_SETS", "Gathered", "gather", "portions"]

PORTION_SETS = 400_000
"""Sets taken at once: some hundred megabytes at work."""


@dataclass(frozen=True)
class Gathered:
    """What the study needs of a log.

    Attributes
    ----------
    moments
        BLOCK_MOMENTS, of every block long enough.
    naive
        NAIVE_LIFTS, for the comparison with what a spreadsheet would do.
    counts
        `sets, lifters, lifts, sessions` of the log, `blocks` found and `last_date`.
    """

    moments: pl.DataFrame
    naive: pl.DataFrame
    counts: dict


def portions(sets: pl.DataFrame, size: int = PORTION_SETS) -> Iterator[pl.DataFrame]:
    """Cut sets, sorted by client, into portions of whole clients."""
    ends = sets.select(pl.col("client").rle()).unnest("client")["len"].cum_sum().to_list()
    start = 0
    for place, end in enumerate(ends):
        if end - start >= size or place == len(ends) - 1:
            yield sets.slice(start, end - start)
            start = end


def gather(
    parts: Iterable[pl.DataFrame],
    *,
    catalogue: pl.DataFrame | None = None,
    checkins: pl.DataFrame | None = None,
    plan: pl.DataFrame | None = None,
    by: BlocksBy = "rep range",
    weeks: float = 8.0,
) -> Gathered:
    """Go through portions of whole clients and keep only what the models need.

    Raises
    ------
    UsageError
        As `split_blocks`.
    """
    moments, naive = [], []
    counts = {"sets": 0, "lifters": 0, "lifts": 0, "sessions": 0, "blocks": 0, "last_date": None}
    for sets in parts:
        sessions = study_sessions(sets, catalogue=catalogue, checkins=checkins)
        split = split_blocks(sessions, by, plan=plan, weeks=weeks)
        moments.append(block_moments(split))
        naive.append(naive_lifts(sessions))
        counts["sets"] += sets.height
        counts["lifters"] += sets["client"].n_unique()
        counts["lifts"] += sessions.select(pl.struct("client", "exercise").n_unique()).item()
        counts["sessions"] += sessions.height
        counts["blocks"] += split.select(pl.struct("client", "exercise", "block").n_unique()).item()
        last = sets["date"].max()
        counts["last_date"] = max(filter(None, (counts["last_date"], last)), default=None)
    return Gathered(
        pl.concat(moments) if moments else pl.DataFrame(schema=BLOCK_MOMENTS),
        pl.concat(naive) if naive else pl.DataFrame(schema=NAIVE_LIFTS),
        counts,
    )
