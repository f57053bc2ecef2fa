"""What the study needs of a log, gathered part by part on a cluster."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import polars as pl

from plateline.study.portions import Gathered, gather

if TYPE_CHECKING:
    from plateline.exercises import Logbook
    from plateline.report.cluster import Cluster
    from plateline.study.blocks import BlocksBy

__all__ = ["PART_CLIENTS", "gather_on_cluster", "merged"]

PART_CLIENTS = 500
"""Clients in a part."""


@dataclass(frozen=True)
class _Gather:
    """Gathers from a part; travels to the workers."""

    by: BlocksBy
    weeks: float

    def __call__(self, part: Logbook) -> Gathered:
        return gather(
            [part.sets], catalogue=part.catalogue, checkins=part.checkins, plan=part.plan,
            by=self.by, weeks=self.weeks,
        )  # fmt: skip


def gather_on_cluster(
    cluster: Cluster, logbook: Logbook, *, by: BlocksBy, weeks: float, size: int = PART_CLIENTS
) -> Gathered:
    """Gather what the study needs of a logbook; the same as `gather` on one machine."""
    from plateline.report.parts import part_sizes
    from plateline.report.shared import logbook_of

    clients = logbook.sets["client"].unique().sort().to_list()
    parts = (logbook_of(logbook, some) for some in part_sizes(clients, size))
    return merged(list(cluster.map(_Gather(by, weeks), parts)))


def merged(parts: Sequence[Gathered]) -> Gathered:
    """Put together what was gathered from the parts of a log, in their order."""
    counts = dict(parts[0].counts)
    for part in parts[1:]:
        for name, count in part.counts.items():
            if name == "last_date":
                counts[name] = max(filter(None, (counts[name], count)), default=None)
            else:
                counts[name] += count
    return Gathered(
        pl.concat(part.moments for part in parts), pl.concat(part.naive for part in parts), counts
    )
