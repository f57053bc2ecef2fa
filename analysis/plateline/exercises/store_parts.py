"""A partitioned logbook read some clients at a time, so memory does not grow with the log.

What is read of a client is what `read_logbook` gives of it: flags, duplicates and labels of
lifts are a client's own affair.
"""

from __future__ import annotations

import datetime as dt
import os
from collections.abc import Collection, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import polars as pl

from plateline.errors import InputFileError, NoResultError
from plateline.exercises.logbook import Logbook
from plateline.exercises.names import label_names, relabel
from plateline.exercises.reading import BESIDE, read_beside, written_names
from plateline.log.account import assumed
from plateline.log.doubts import flag_doubts
from plateline.log.store import client_folder, read_store
from plateline.words import SETS, conform

__all__ = ["Store", "StorePart", "StoredClient", "open_store"]

BYTES_A_SET = 8
"""A set's share of a client's file in a partitioned logbook, from the demo club's."""


@dataclass(frozen=True)
class StoredClient:
    """A client in a partitioned logbook: the folder, first and last day in it, and its bytes."""

    client: str
    folder: str
    first: dt.date
    last: dt.date
    size: int


@dataclass(frozen=True)
class StorePart:
    """Some clients of a partitioned logbook, to be read where and when they are needed."""

    path: Path
    folders: tuple[str, ...]
    beside: Logbook = field(repr=False)

    def read(self) -> Logbook:
        """Read the clients' sets, and name their lifts."""
        part = read_store(self.path, self.folders)
        sets, doubts = flag_doubts(part.sets)
        known = self.beside
        names = label_names(written_names(sets, known.plan), known.catalogue)
        count = sets.height
        said = [*part.said, *doubts]
        rows = {"rows": part.rows, "accepted": part.accepted, "rejected": 0, "duplicates": 0}
        return Logbook(
            sets=conform(relabel(sets, names), SETS),
            clients=known.clients,
            checkins=known.checkins,
            plan=relabel(known.plan, names).select(known.plan.columns),
            catalogue=known.catalogue,
            names=names,
            rejected=known.rejected,
            account={
                **rows,
                "blank": 0,
                "sets": count,
                "assumptions": [s.sentence for s in said],
            },
            inputs=known.inputs,
            assumptions=assumed(said),
        )


@dataclass(frozen=True)
class Store:
    """A partitioned logbook, opened: who is in it, and what stands beside it (not its sets)."""

    path: Path
    members: Sequence[StoredClient]
    beside: Logbook = field(repr=False)

    @property
    def clients(self) -> list[str]:
        """The client ids, sorted."""
        return [member.client for member in self.members]

    @property
    def sets(self) -> dict[str, int]:
        """About how many sets each client has, told from the size of its files."""
        return {member.client: member.size // BYTES_A_SET for member in self.members}

    def part(self, clients: Collection[str]) -> StorePart:
        """Return the part of the logbook that is about some clients."""
        chosen = set(clients)
        mine = pl.col("client").is_in(sorted(chosen))
        known = self.beside
        return StorePart(
            self.path,
            tuple(member.folder for member in self.members if member.client in chosen),
            Logbook(
                sets=known.sets,
                clients=known.clients.filter(mine),
                checkins=known.checkins.filter(mine),
                plan=known.plan.filter(mine),
                catalogue=known.catalogue,
                names=known.names,
                rejected=known.rejected,
                account={},
                inputs=known.inputs,
            ),
        )


def open_store(path: Path, **named: Path | None) -> Store:
    """Look into a partitioned logbook without reading its sets.

    Parameters
    ----------
    path
        The folder that `plateline intake --into` fills. It must stand at the same path on
        every machine that reads parts of it.
    named
        `clients`, `checkins`, `plan`, `exercises`: files that do not stand in the folder.

    Raises
    ------
    NoResultError
        When there is no client in it.
    InputFileError
        When a file in it is damaged, or one beside it cannot be read.
    """
    with os.scandir(path) as folders:
        found = (_member(Path(folder.path)) for folder in folders if folder.is_dir())
        members = sorted(filter(None, found), key=lambda member: member.client)
    if not members:
        raise NoResultError(f"The logbook {path} holds no client.")
    files = {what: named.get(what) for what in BESIDE}
    return Store(path, members, read_beside(path, files))


def _member(folder: Path) -> StoredClient | None:
    """Return whose folder it is, told without opening a file where its name is the client's."""
    with os.scandir(folder) as entries:
        sizes = {e.name: e.stat().st_size for e in entries if e.name.endswith(".parquet")}
    files = sorted(sizes)
    if not files:
        return None
    try:
        client = folder.name if client_folder(folder.name) == folder.name else None
        if client is None:
            client = pl.read_parquet(
                folder / files[0], columns=["client"], n_rows=1, hive_partitioning=False
            ).item()
        # The logbook's own naming: first day, last day, digest.
        days = [tuple(map(dt.date.fromisoformat, file.split("_")[:2])) for file in files]
        first, last = min(first for first, _ in days), max(last for _, last in days)
        return StoredClient(client, folder.name, first, last, sum(sizes.values()))
    except (OSError, ValueError, pl.exceptions.PolarsError):
        raise InputFileError(
            f"The logbook holds {folder / files[0]}, which plateline did not write, or which is "
            "damaged; move it out of the folder."
        ) from None
