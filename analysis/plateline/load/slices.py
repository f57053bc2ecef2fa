"""A large frame of sets, some clients at a time."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import polars as pl

from plateline.load.door import polars_frame

__all__ = ["of_some_clients", "whole_clients"]

WHOLE_SETS, PART_SETS = 1_000_000, 500_000
"""Sets up to which a frame is summed at once, and else at a time, give or take a client."""


def of_some_clients(sets: Any) -> Iterator[Any]:
    """Split a large frame whose clients stand in order into slices of whole clients."""
    frame = polars_frame(sets, "sets")
    if isinstance(frame, pl.LazyFrame) or frame.height <= WHOLE_SETS:
        yield sets
        return
    has_texts = frame.schema.get("client") == pl.String
    runs = frame["client"].rle().struct.unnest() if has_texts else pl.DataFrame({"value": [None]})
    clients = runs["value"]
    if clients.has_nulls() or not (clients.is_sorted() and clients.n_unique() == clients.len()):
        yield sets
        return
    ends = runs.select(
        end=pl.col("len").cast(pl.Int64).cum_sum(),
        part=(pl.col("len").cast(pl.Int64).cum_sum() - 1) // PART_SETS,
    )
    start = 0
    for end in ends.group_by("part").agg(pl.col("end").max()).sort("part")["end"]:
        yield frame[start:end]
        start = end


def whole_clients(frame: pl.DataFrame, most: int) -> list[pl.DataFrame]:
    """Return the clients of a frame in groups with about `most` rows each; one client is whole."""
    counts = frame.group_by("client").agg(n=pl.len()).sort("client")
    groups = counts.with_columns(group=(pl.col("n").cum_sum() - 1) // most)
    return [some.select("client") for some in groups.partition_by("group", maintain_order=True)]
