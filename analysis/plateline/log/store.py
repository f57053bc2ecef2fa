"""The logbook on disk: Parquet files, a folder a client, to which intakes add.

    LOGBOOK/
        anna/2026-01-05_2026-03-30_9f3c2a1b.parquet
        007/...

A file, once there, is never changed: an intake adds one file for each client it has new sets
of, and none where it has nothing new. New files are written beside the logbook and moved in
one by one at the end, so a crash leaves every old set readable and no file half-written; the
same intake again then completes what is missing. The client stands in every file (and folder
names hold no `=`), so `007` stays text in any reader.
"""

from __future__ import annotations

import hashlib
import os
import re
import shutil
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import polars as pl

from plateline.errors import InputFileError, OutputError
from plateline.log.account import Said
from plateline.log.intake_types import Intake
from plateline.log.overlap import drop_duplicates
from plateline.log.part import Part
from plateline.words import REJECTED, SETS, conform

__all__ = ["Added", "add_to_logbook", "client_folder", "read_store"]

STORED = SETS | {"time_s": pl.Int32}
"""Columns of a stored file: those of SETS, and the seconds since midnight where a log has them."""

WINDOWS_NAMES = frozenset(
    ["con", "prn", "aux", "nul", *(f"com{i}" for i in range(10)), *(f"lpt{i}" for i in range(10))]
)


@dataclass(frozen=True)
class Added:
    """What an intake changed in a logbook: sets added, and sets that were there already."""

    sets: int
    already_there: int
    files: tuple[Path, ...]


def client_folder(client: str) -> str:
    """Return the folder name of a client: plain letters and digits, and unlike any other's."""
    if re.fullmatch(r"[a-z0-9][a-z0-9_-]{0,59}", client) and client not in WINDOWS_NAMES:
        return client
    stem = re.sub(r"[^a-z0-9]+", "-", client.casefold()).strip("-")[:40] or "client"
    return f"{stem}~{hashlib.sha256(client.encode()).hexdigest()[:10]}"


# Nothing of the part that is read, so that all parts of a logbook say the same.
_KEPT = (
    "These are the sets that earlier intakes accepted; what they rejected, counted once or "
    "converted is told by their own rejected.csv and intake.json."
)


def read_store(path: Path, folders: Sequence[str] | None = None) -> Part:
    """Read a logbook folder as one part, rows accounted as accepted.

    Parameters
    ----------
    path
        The logbook's folder.
    folders
        The clients' folders in it that are read; all where left out.

    Raises
    ------
    InputFileError
        When a file in it cannot be read or lacks a column.
    """
    if folders is None:
        files = sorted(path.glob("*/*.parquet"))
    else:
        files = [
            file for name in sorted(folders) for file in sorted((path / name).glob("*.parquet"))
        ]
    sets = _read_files(files).sort("client", "date", maintain_order=True)
    rows = sets.select(pl.struct("source_file", "source_line").n_unique()).item()
    return Part(
        name=path.name, sets=sets, rejected=pl.DataFrame(schema=REJECTED), rows=rows, accepted=rows,
        blank=0,
        said=[Said(None, _KEPT)],
        is_store=True,
    )  # fmt: skip


def _read_files(files: Sequence[Path]) -> pl.DataFrame:
    """Read files at once where all have the same columns, which takes a fifth of the time."""
    try:
        return conform(pl.read_parquet(list(files), hive_partitioning=False), STORED)
    except (OSError, pl.exceptions.PolarsError):
        return pl.concat([_read_file(file) for file in files])


def _read_file(file: Path) -> pl.DataFrame:
    try:
        return conform(pl.read_parquet(file, hive_partitioning=False), STORED)
    except (OSError, pl.exceptions.PolarsError) as fault:
        raise InputFileError(
            f"The logbook holds {file}, which plateline did not write, or which is damaged "
            f"({str(fault).splitlines()[0][:120]}); move it out of the folder."
        ) from fault


def add_to_logbook(intake: Intake, logbook: Path | str) -> Added:
    """Add what is new in an intake to a logbook.

    A set is there already when the logbook has the same client, time, exercise, set order,
    load (to 0.1 kg), reps and side, as between overlapping exports.

    Parameters
    ----------
    intake
        From `read_intake`; exercises are stored as written.
    logbook
        The folder; made where it does not exist.

    Returns
    -------
    Added
        How many sets were added and how many were there already.

    Raises
    ------
    OutputError
        When the folder cannot be written, or another intake is writing to it.
    """
    folder = Path(logbook).absolute()
    if folder.exists() and not folder.is_dir():
        raise OutputError(f"{folder} is a file; name a folder for the logbook.")
    foreign = (
        next((p for p in folder.iterdir() if p.suffix == ".parquet"), None)
        if folder.is_dir()
        else None
    )
    if foreign is not None:
        raise OutputError(
            f"{folder} holds {foreign.name}, which is no part of a logbook; name an empty folder."
        )
    sets = intake.sets.with_columns(time_s=intake.time_s)
    aside = _claim(folder)
    try:
        return _add(sets, folder, aside)
    except OSError as fault:
        raise OutputError(f"The logbook {folder} cannot be written: {fault.strerror}.") from fault
    finally:
        shutil.rmtree(aside, ignore_errors=True)


def _claim(folder: Path) -> Path:
    """Make the place aside in which files are written; it keeps other intakes out meanwhile."""
    aside = folder.with_name(f".{folder.name}.intake")
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        if aside.exists() and not _is_alive(aside):
            shutil.rmtree(aside)
        aside.mkdir()
        (aside / "process").write_text(str(os.getpid()), encoding="ascii")
    except FileExistsError as fault:
        raise OutputError(
            f"Another intake is writing to {folder}; wait for it, or remove {aside} if none is."
        ) from fault
    except OSError as fault:
        raise OutputError(f"The logbook {folder} cannot be written: {fault.strerror}.") from fault
    return aside


def _is_alive(aside: Path) -> bool:
    try:
        process = int((aside / "process").read_text(encoding="ascii"))
        os.kill(process, 0)
    except (OSError, ValueError):
        return False
    return process != os.getpid()


def _add(sets: pl.DataFrame, folder: Path, aside: Path) -> Added:
    moves: list[tuple[Path, Path]] = []
    added = already = 0
    for (client,), new in sets.group_by("client", maintain_order=True):
        place = folder / client_folder(str(client))
        stored = [
            conform(pl.read_parquet(f, hive_partitioning=False), STORED)
            for f in sorted(place.glob("*.parquet"))
        ]
        fresh = new
        if stored:
            kept, _, _ = drop_duplicates([pl.concat(stored), new], [True, True], within=False)
            fresh = kept[1]
        already += new.height - fresh.height
        added += fresh.height
        if fresh.height:
            name = _file_name(fresh)
            path = aside / place.name / name
            path.parent.mkdir()
            conform(fresh, STORED).write_parquet(path)
            with path.open("rb") as written:
                os.fsync(written.fileno())
            moves.append((path, place / name))
    for written, place in moves:
        place.parent.mkdir(parents=True, exist_ok=True)
        written.replace(place)
    return Added(added, already, tuple(place for _, place in moves))


def _file_name(sets: pl.DataFrame) -> str:
    """Name a file by its days and its content, so that the same sets make the same file."""
    digest = hashlib.sha256()
    for row in sets.select(
        "date", "exercise", "set_order", "load_kg", "reps", "source_line"
    ).iter_rows():
        digest.update(repr(row).encode())
    return f"{sets['date'].min()}_{sets['date'].max()}_{digest.hexdigest()[:10]}.parquet"
