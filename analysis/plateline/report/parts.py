"""A log of any size, worked on in parts: where its clients are, and what the parts share.

A log that fits into memory is divided in memory; a partitioned logbook is read part by part,
here or on a cluster's workers. Either way each part, with what the whole log shares, gives to
the bit what the whole would give for its clients.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol

import polars as pl

from plateline import trend
from plateline.errors import InputFileError, NoResultError
from plateline.exercises.logbook import Logbook
from plateline.exercises.store_parts import Store, open_store
from plateline.log.files import is_store
from plateline.report.months import month_end
from plateline.report.shared import Shared, learn_shared, logbook_of

if TYPE_CHECKING:
    from plateline.report.results import Results

__all__ = ["LogPart", "Source", "Span", "compute_part", "open_source", "part_sizes", "parts_of"]

READ_CLIENTS = 500
"""Clients of a partitioned logbook that are looked through at once."""

MOST_SETS = 500_000
"""Sets in a part, unless one client alone has more: what keeps memory within a gigabyte."""


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
class Span:
    """A client's first and last day in the log; its sets, those of a month, and source rows."""

    client: str
    first: dt.date
    last: dt.date
    sets_in_month: int
    sets: int
    rows: int


@dataclass(frozen=True)
class Source:
    """A log, whole in memory or partitioned on disk.

    Attributes
    ----------
    first_day, last_day
        Of the whole log.
    first_days
        The first day of each client, in the order of clients.
    sets
        How many sets each client has; of a partitioned logbook told from the size of its files.
    whole
        The logbook, or the partitioned store it stands in.
    """

    first_day: dt.date
    last_day: dt.date
    first_days: dict[str, dt.date]
    sets: dict[str, int]
    whole: Logbook | Store

    @property
    def clients(self) -> list[str]:
        """The client ids, sorted."""
        return list(self.first_days)

    @property
    def beside(self) -> Logbook:
        """What stands beside the sets; of a partitioned logbook there are no sets in it."""
        return self.whole.beside if isinstance(self.whole, Store) else self.whole

    @property
    def inputs(self) -> tuple[Path, ...]:
        """The files and folders that were read, for the record of a run."""
        if isinstance(self.whole, Store):
            return (self.whole.path, *self.whole.beside.inputs)
        return self.whole.inputs

    def part(self, clients: Collection[str]) -> LogPart:
        """Return the part of the log that is about some clients."""
        if isinstance(self.whole, Store):
            return self.whole.part(clients)
        return _InMemory(logbook_of(self.whole, clients))

    def common(self, as_of: dt.date) -> trend.Common | None:
        """Learn what the lifts of the whole log have in common at a day."""
        begun = [client for client, first in self.first_days.items() if first <= as_of]
        book = self.part(trend.reference(begun)).read()
        known = pl.col("date") <= as_of
        return trend.learn_common(
            book.sets.filter(known), as_of, catalogue=book.catalogue,
            checkins=book.checkins.filter(known), plan=book.plan, first_day=self.first_day,
        )  # fmt: skip

    def shared(self, month: dt.date) -> Shared:
        """Learn what all clients share, for the reports of a month.

        Raises
        ------
        NoResultError
            When the log has no set up to the end of that month.
        """
        if isinstance(self.whole, Logbook):
            return learn_shared(self.whole, month)
        end, eve = month_end(month), month - dt.timedelta(days=1)
        if self.first_day > end:
            raise NoResultError(f"The log has no set up to {end.day} {end:%B %Y}.")
        # What could not be read when the logbook was filled is told there and then.
        rejected = self.beside.rejected.with_columns(client=pl.lit(None, pl.String))
        return Shared(
            now=self.common(end),
            before=self.common(eve) if self.first_day <= eve else None,
            last_day=self.last_day,
            rejected=rejected.select("client", *self.beside.rejected.columns),
            assumptions=None,
            clients=len(self.first_days),
        )

    def spans(self, month: dt.date, clients: Collection[str] | None = None) -> list[Span]:
        """Return when each client (or each of some) trained, and how much in a month."""
        chosen = self.clients if clients is None else sorted(clients)
        if isinstance(self.whole, Logbook):
            return _spans(self.whole.sets.filter(pl.col("client").is_in(chosen)), month)
        return [
            span
            for some in part_sizes(chosen, READ_CLIENTS)
            for span in _spans(_days_of(self.whole, some), month)
        ]

    def account(self, spans: Sequence[Span]) -> dict[str, int | list[str]]:
        """Return the account of the log's rows; of a partitioned logbook all were accepted."""
        if isinstance(self.whole, Logbook):
            return self.whole.account
        rows, sets = sum(span.rows for span in spans), sum(span.sets for span in spans)
        return {
            "rows": rows, "accepted": rows, "rejected": 0, "duplicates": 0, "blank": 0,
            "sets": sets, "assumptions": [],
        }  # fmt: skip


def _spans(sets: pl.DataFrame, month: dt.date) -> list[Span]:
    days = pl.col("date")
    spans = (
        sets.group_by("client")
        .agg(
            days.min().alias("first"),
            days.max().alias("last"),
            days.is_between(month, month_end(month)).sum().alias("sets_in_month"),
            pl.len().alias("sets"),
            pl.struct("source_file", "source_line").n_unique().alias("rows"),
        )
        .sort("client")
    )
    return [Span(*row) for row in spans.iter_rows()]


def _days_of(store: Store, clients: Collection[str]) -> pl.DataFrame:
    """Read what spans are told from, of some clients of a partitioned logbook."""
    chosen = set(clients)
    folders = [member.folder for member in store.members if member.client in chosen]
    files = [file for name in folders for file in sorted((store.path / name).glob("*.parquet"))]
    try:
        return pl.read_parquet(
            files, columns=["client", "date", "source_file", "source_line"],
            hive_partitioning=False,
        )  # fmt: skip
    except (OSError, pl.exceptions.PolarsError) as fault:
        raise InputFileError(
            f"The logbook {store.path} holds a file that plateline did not write, or which is "
            f"damaged ({str(fault).splitlines()[0][:120]}); move it out of the folder."
        ) from None


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
        return Source(min(firsts.values()), last, firsts, store.sets, store)
    from plateline.exercises import read_logbook

    book = read_logbook(logs, **reading)
    if book.sets.is_empty():
        raise NoResultError("There is no set in the log that could be read.")
    days = (
        book.sets.group_by("client")
        .agg(pl.col("date").min().alias("first"), pl.len())
        .sort("client")
    )
    last = book.sets["date"].max()
    firsts = dict(zip(days["client"], days["first"], strict=True))
    return Source(
        min(firsts.values()), last if isinstance(last, dt.date) else max(firsts.values()), firsts,
        dict(zip(days["client"], days["len"], strict=True)), book,
    )  # fmt: skip


def parts_of(logbook: Logbook, size: int) -> Iterator[LogPart]:
    """Yield a logbook in memory in parts of so many clients."""
    for some in part_sizes(logbook.sets["client"].unique().sort().to_list(), size):
        yield _InMemory(logbook_of(logbook, some))


def compute_part(part: LogPart, shared: Shared, month: dt.date) -> Results:
    """Read a part and compute its clients' results, with what the whole log shares."""
    from plateline.report.results import compute_results

    book = part.read()
    return compute_results(book, month, shared=shared.of(book))


def part_sizes(
    clients: Sequence[str], size: int, sets: Mapping[str, int] | None = None
) -> Iterator[list[str]]:
    """Yield clients in parts of a size, or smaller ones where they have more than `MOST_SETS`."""
    part: list[str] = []
    held = 0
    for client in clients:
        more = sets[client] if sets is not None else 0
        if part and (len(part) == size or held + more > MOST_SETS):
            yield part
            part, held = [], 0
        part.append(client)
        held += more
    if part:
        yield part
