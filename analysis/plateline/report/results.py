"""Everything that a batch of reports shows, kept so that a client can be read alone.

``compute_results`` (in `compute`) turns a logbook into frames, for all clients at once; every
frame has a `client` column. ``Results.save`` writes one Parquet file a client, so the process
that makes a client's page opens nothing of anybody else.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import json
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

import polars as pl

from plateline.errors import InputFileError, UnknownNameError
from plateline.report.compute import compute_frames
from plateline.report.months import as_month, last_full_month
from plateline.report.shared import Shared, learn_shared, logbook_of
from plateline.words import REJECTED

if TYPE_CHECKING:
    from plateline.exercises.logbook import Logbook

__all__ = [
    "Results",
    "Shared",
    "compute_results",
    "is_results_folder",
    "last_full_month",
    "learn_shared",
    "logbook_of",
]

_RECORD = "results.json"
_FORMAT = 1


@dataclass(frozen=True)
class Results:
    """The frames behind the reports of one month, for one client or for many.

    Attributes
    ----------
    month
        First day of the month that is reported.
    frames
        Frames by name; each has a `client` column. ``results.frames["clients"]`` has one row
        per client and gives their order.
    stray
        REJECTED: the rows that could not be read and belong to nobody that can be told. They
        are for the coach, and neither kept with a client nor saved.
    """

    month: dt.date
    frames: dict[str, pl.DataFrame] = field(repr=False)
    stray: pl.DataFrame = field(default_factory=lambda: pl.DataFrame(schema=REJECTED), repr=False)

    @property
    def clients(self) -> list[str]:
        """The client ids, sorted."""
        return self.frames["clients"]["client"].to_list()

    def of(self, client: str) -> Results:
        """Return the results of one client only.

        Raises
        ------
        UnknownNameError
            When there is no such client.
        """
        if client not in self.clients:
            raise UnknownNameError.among("client", client, self.clients)
        kept = {name: frame.filter(client=client) for name, frame in self.frames.items()}
        return Results(self.month, kept)

    @classmethod
    def merged(cls, parts: Sequence[Results], shared: Shared) -> Results:
        """Put the results of all parts of a logbook together; clients are in order again."""
        first = parts[0]
        order = pl.concat(part.frames["clients"].select("client") for part in parts).sort("client")
        frames = {
            name: order.join(
                pl.concat(part.frames[name] for part in parts),
                on="client",
                how="inner",
                maintain_order="left_right",
            ).select(frame.columns)
            for name, frame in first.frames.items()
        }
        return cls(first.month, frames, shared.stray)

    def save(self, folder: Path) -> None:
        """Write one Parquet file per client into `folder`, which is made where needed.

        The file's name is a digest of the client's id, so any text is a sound id and no file
        name tells who is in it.
        """
        folder.mkdir(parents=True, exist_ok=True)
        packed = self.frames["clients"].select("client")
        for name, frame in self.frames.items():
            nested = frame.group_by("client", maintain_order=True).agg(
                pl.struct(pl.all()).alias(name)
            )
            packed = packed.join(nested, on="client", how="left", maintain_order="left")
        for row, client in enumerate(self.clients):
            packed[row : row + 1].write_parquet(folder / _file_of(client), statistics=False)
        record = {"format": _FORMAT, "month": self.month.isoformat()}
        (folder / _RECORD).write_text(json.dumps(record), encoding="utf-8")

    @classmethod
    def load(cls, folder: Path, client: str) -> Results:
        """Read one client's results; nothing of another client is opened.

        Raises
        ------
        InputFileError
            When the folder holds no results.
        UnknownNameError
            When there is no file for this client.
        """
        try:
            record = json.loads((folder / _RECORD).read_text(encoding="utf-8"))
            month = dt.date.fromisoformat(record["month"])
        except (OSError, ValueError, KeyError):
            raise InputFileError(
                f"{folder} holds no saved results (no readable {_RECORD})."
            ) from None
        path = folder / _file_of(client)
        if not path.is_file():
            raise UnknownNameError(
                f"There are no saved results of a client {client!r} in {folder}."
            )
        packed = pl.read_parquet(path)
        names = [name for name in packed.columns if name != "client"]
        return cls(month, {name: _unpacked(packed[name], client) for name in names})


def _unpacked(column: pl.Series, client: str) -> pl.DataFrame:
    """Return a list of rows as a frame again, with the client in front."""
    rows = column.explode()
    if isinstance(rows.dtype, pl.Struct) and column.list.len().sum():
        frame = rows.struct.unnest()
    else:
        fields = rows.dtype.fields if isinstance(rows.dtype, pl.Struct) else []
        frame = pl.DataFrame(schema={field.name: field.dtype for field in fields})
    return frame.insert_column(0, pl.Series("client", [client] * len(frame), dtype=pl.String))


def _file_of(client: str) -> str:
    return hashlib.blake2b(client.encode(), digest_size=12).hexdigest() + ".parquet"


def is_results_folder(path: Path) -> bool:
    """Tell whether a folder was written by `Results.save`."""
    return (path / _RECORD).is_file()


def compute_results(
    logbook: Logbook, month: dt.date | str | None = None, *, shared: Shared | None = None
) -> Results:
    """Compute every frame that the reports of a month show, for all clients at once.

    Parameters
    ----------
    logbook
        What `read_logbook` returned.
    month
        Any day of the month, or text like `2026-03`; left out, the log's last full month.
    shared
        Where the logbook is a part (`logbook_of`) of a larger one: what `learn_shared` learned
        of the whole. Parts give, to the bit, what the whole gives for their clients.

    Raises
    ------
    UsageError
        When the month is not a month.
    NoResultError
        When the log has no set up to the end of that month.
    """
    first = as_month(month) or last_full_month(logbook.sets)
    if shared is not None:
        return Results(first, compute_frames(logbook, first, shared))
    learned = learn_shared(logbook, first)
    return Results(first, compute_frames(logbook, first, learned), learned.stray)
