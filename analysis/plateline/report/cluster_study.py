"""What the study needs of a log, gathered part by part, here or on a cluster."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import polars as pl

from plateline.study.portions import Gathered, gather

if TYPE_CHECKING:
    from plateline.report.cluster import Cluster
    from plateline.report.parts import LogPart
    from plateline.study.blocks import BlocksBy

__all__ = ["PART_CLIENTS", "PartGathered", "gather_parts"]

PART_CLIENTS = 500
"""Clients in a part of a log in memory."""


@dataclass(frozen=True)
class PartGathered:
    """What the study needs of a part or of a whole log: with its clients, and its lifts' names.

    `last_dates`: when each client logged last, where a key was given (see `study_of`).
    """

    gathered: Gathered = field(repr=False)
    clients: pl.DataFrame = field(repr=False)
    names: pl.DataFrame = field(repr=False)
    last_dates: pl.DataFrame | None = field(repr=False, default=None)


@dataclass(frozen=True)
class _Gather:
    """Reads a part and gathers from it; travels to the workers."""

    by: BlocksBy
    weeks: float
    key: bytes | None = field(repr=False)

    def __call__(self, part: LogPart) -> PartGathered:
        from plateline.study.pseudonyms import last_dates_of, pseudonymous

        book, last_dates = part.read(), None
        if self.key is not None:
            last_dates = last_dates_of(book, self.key)
            book = pseudonymous(book, self.key)
        found = gather(
            [book.sets], catalogue=book.catalogue, checkins=book.checkins, plan=book.plan,
            by=self.by, weeks=self.weeks,
        )  # fmt: skip
        return PartGathered(found, book.clients, book.names, last_dates)


def gather_parts(
    parts: Iterable[LogPart], *, by: BlocksBy, weeks: float, key: bytes | None = None,
    cluster: Cluster | None = None,
) -> PartGathered:  # fmt: skip
    """Gather what the study needs of a log, part after part; the same as `gather` of the whole.

    Parameters
    ----------
    parts
        Parts of the log, in the order of clients.
    by, weeks
        As for `gather`.
    key
        A key to replace the clients' ids by, before anything is gathered.
    cluster
        Where to work on the parts; None for this process, one after the other.
    """
    work = _Gather(by, weeks, key)
    found = list(cluster.map(work, parts) if cluster else map(work, parts))
    return PartGathered(
        _merged([part.gathered for part in found]),
        pl.concat(part.clients for part in found),
        pl.concat(part.names for part in found),
        pl.concat([part.last_dates for part in found if part.last_dates is not None])
        if key is not None
        else None,
    )


def _merged(parts: Sequence[Gathered]) -> Gathered:
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
