"""The state of every lift of a log of any size, part by part, here or on a cluster."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

import polars as pl

from plateline import trend

if TYPE_CHECKING:
    from plateline.report.cluster import Cluster
    from plateline.report.parts import LogPart, Source

__all__ = ["PART_CLIENTS", "status_by_parts"]

PART_CLIENTS = 500
"""Clients in a part: some ten thousand lifts, so a part's fixed cost is not felt, in some
hundred megabytes."""


@dataclass(frozen=True)
class _StatusOf:
    """States the lifts of a part; travels to the workers with what the whole log shares."""

    as_of: dt.date
    common: trend.Common | None

    def __call__(self, part: LogPart) -> pl.DataFrame:
        book = part.read()
        return trend.lift_status(
            book.sets, self.as_of, catalogue=book.catalogue, checkins=book.checkins,
            clients=book.clients, plan=book.plan, common=self.common,
        )  # fmt: skip


def status_by_parts(
    source: Source, as_of: dt.date, cluster: Cluster | None = None, size: int = PART_CLIENTS
) -> Iterator[pl.DataFrame]:
    """Yield LIFT_STATUS_DETAIL of a log's clients, part after part, in the order of clients.

    Parameters
    ----------
    source
        The log.
    as_of
        The day to look from.
    cluster
        Where to work on the parts; None for this process, one after the other.
    size
        Clients in a part. It changes nothing in the result.
    """
    from plateline.report.parts import part_sizes

    begun = [client for client, first in source.first_days.items() if first <= as_of]
    work: Callable[[LogPart], pl.DataFrame] = _StatusOf(as_of, source.common(as_of))
    parts = (source.part(clients) for clients in part_sizes(begun, size, source.sets))
    yield from cluster.map(work, parts) if cluster else map(work, parts)
