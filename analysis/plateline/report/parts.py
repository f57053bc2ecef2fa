"""A log of any size, worked on in parts: where its clients are, and what the parts share.

A log that fits into memory is divided in memory; a partitioned logbook is read part by part,
here or on a cluster's workers. Either way each part, with what the whole log shares, gives to
the bit what the whole would give for its clients.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Protocol

import polars as pl

from plateline import trend
from plateline.errors import NoResultError
from plateline.exercises.logbook import Logbook
from plateline.exercises.store_parts import Store, is_store, open_store

__all__ = ["LogPart", "Source", "open_source", "part_sizes"]


class LogPart(Protocol):
    """Some clients of a log, read when it is asked for."""

    def read(self) -> Logbook:
        """Return their logbook."""
        ...


@dataclass(frozen=True)
class _InMemory:
    """A part that was read already, and travels with its sets."""

    logbook: Logbook

    def read(self) -> Logbook:
        return self.logbook


@dataclass(frozen=True)
class Source:
    """A log, whole in memory or partitioned on disk.

    Attributes
    ----------
    first_day, last_day
        Of the whole log.
    first_days
        The first day of each client, in the order of clients.
    whole
        The logbook, or the partitioned store it stands in.
    """

    first_day: dt.date
    last_day: dt.date
    first_days: dict[str, dt.date]
    whole: Logbook | Store

    @property
    def clients(self) -> list[str]:
        """The client ids, sorted."""
        return list(self.first_days)

    def part(self, clients: Collection[str]) -> LogPart:
        """Return the part of the log that is about some clients."""
        if isinstance(self.whole, Store):
            return self.whole.part(clients)
        from plateline.report.shared import logbook_of

        return _InMemory(logbook_of(self.whole, clients))

    def common(self, as_of: dt.date) -> trend.Common | None:
        """Learn what the lifts of the whole log have in common at a day."""
        begun = [client for client, first in self.first_days.items() if first <= as_of]
        book = self.part(trend.reference(begun)).read()
        return trend.learn_common(
            book.sets.filter(pl.col("date") <= as_of), as_of, catalogue=book.catalogue,
            checkins=book.checkins, plan=book.plan, first_day=self.first_day,
        )  # fmt: skip


def open_source(logs: Sequence[Path], reading: dict[str, Any]) -> Source:
    """Open a log: a partitioned logbook given alone is not read, anything else is.

    Parameters
    ----------
    logs, reading
        What `read_logbook` takes.

    Raises
    ------
    UsageError, NoResultError
        When the log cannot be read, or holds no set.
    """
    logs = list(logs)
    beside = {name: reading.get(name) for name in ("clients", "checkins", "plan", "exercises")}
    if len(logs) == 1 and is_store(logs[0]):
        store = open_store(logs[0], **beside)
        firsts = {member.client: member.first for member in store.members}
        last = max(member.last for member in store.members)
        return Source(min(firsts.values()), last, firsts, store)
    from plateline.exercises import read_logbook

    book = read_logbook(logs, **reading)
    if book.sets.is_empty():
        raise NoResultError("There is no set in the log that could be read.")
    days = book.sets.group_by("client").agg(pl.col("date").min().alias("first")).sort("client")
    last = book.sets["date"].max()
    firsts = dict(days.iter_rows())
    return Source(
        min(firsts.values()), last if isinstance(last, dt.date) else max(firsts.values()), firsts,
        book,
    )  # fmt: skip


def part_sizes(clients: Sequence[str], size: int) -> Iterator[list[str]]:
    """Yield clients in parts of a size."""
    for start in range(0, len(clients), size):
        yield list(clients[start : start + size])
