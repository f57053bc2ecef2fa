"""Every weekly table in one pass over the sets."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import polars as pl

from plateline.errors import OutputError
from plateline.load.bouts import Bouts, bouts_in_parts
from plateline.load.muscles import weekly_muscles_of, weekly_patterns_of, weekly_positions_of
from plateline.load.periods import weekly_load_of
from plateline.load.spread import effort_of, intensity_of, rep_zones_of
from plateline.load.zones import EFFORT_BANDS, LOAD_BANDS, REP_RANGES, Band, RepZone

__all__ = ["weekly_tables", "write_weekly_tables"]

WEEKLY_TABLES: dict[str, Callable[[Bouts], pl.DataFrame]] = {
    "weekly_load": weekly_load_of,
    "weekly_muscles": lambda bouts: weekly_muscles_of(bouts.by_week),
    "weekly_positions": lambda bouts: weekly_positions_of(bouts.by_week),
    "weekly_patterns": lambda bouts: weekly_patterns_of(bouts.by_week),
    "rep_zones": rep_zones_of,
    "effort": effort_of,
    "intensity": intensity_of,
}
"""The weekly tables by the name of the public function that gives each alone."""


def weekly_tables(
    sets: Any,
    *,
    catalogue: Any = None,
    checkins: Any = None,
    zones: tuple[RepZone, ...] = REP_RANGES,
    efforts: tuple[Band, ...] = EFFORT_BANDS,
    bands: tuple[Band, ...] = LOAD_BANDS,
) -> dict[str, pl.DataFrame]:
    """Return the weekly tables by name, made from one summing of the sets.

    Names: `weekly_load, weekly_muscles, weekly_positions, weekly_patterns, rep_zones, effort,
    intensity`; each is what the function of that name returns (with these `zones`, `efforts` and
    `bands`). A lazy frame (``pl.scan_parquet(...)``) goes through the streaming engine, so the sets
    may be larger than memory; the tables themselves are in memory (`write_weekly_tables` writes
    them instead).

    Parameters
    ----------
    sets
        SETS frame (Polars eager or lazy, pandas, Arrow).
    catalogue
        CATALOGUE frame; the one that ships where none is given.
    checkins
        CHECKINS frame; without it the body mass that is moved is unknown.
    zones, efforts, bands
        Rep zones, bands of proximity to failure and of load, lowest first.
    """
    parts: dict[str, list[pl.DataFrame]] = {name: [] for name in WEEKLY_TABLES}
    for part in bouts_in_parts(
        sets, catalogue=catalogue, checkins=checkins, zones=zones, efforts=efforts, bands=bands
    ):
        for name, table in _made(part):
            parts[name].append(table)
    return {name: pl.concat(tables) for name, tables in parts.items()}


def write_weekly_tables(
    sets: Any, folder: str | Path, *, catalogue: Any = None, checkins: Any = None
) -> dict[str, Path]:
    """Write the weekly tables as `<name>.parquet` and return where they are.

    For logs whose tables do not fit into memory: clients are worked on some at a time. Files are
    written aside and renamed when all are whole.

    Parameters
    ----------
    sets, catalogue, checkins
        As for `weekly_tables`.
    folder
        Where to; made where it does not exist.

    Raises
    ------
    plateline.errors.OutputError
        When the folder cannot be written.
    """
    import pyarrow.parquet as parquet

    home = Path(folder)
    aside = {name: home / f".{name}.parquet.part" for name in WEEKLY_TABLES}
    writers: dict[str, parquet.ParquetWriter] = {}
    try:
        home.mkdir(parents=True, exist_ok=True)
        for part in bouts_in_parts(sets, catalogue=catalogue, checkins=checkins):
            for name, table in _made(part):
                arrow = table.to_arrow()
                if name not in writers:
                    writers[name] = parquet.ParquetWriter(aside[name], arrow.schema)
                writers[name].write_table(arrow)
        for writer in writers.values():
            writer.close()
        return {name: path.replace(home / f"{name}.parquet") for name, path in aside.items()}
    except OSError as error:
        raise OutputError(
            f"The weekly tables cannot be written to {home}: {error.strerror or error}."
        ) from None
    finally:
        for name, writer in writers.items():
            writer.close()
            aside[name].unlink(missing_ok=True)


def _made(bouts: Bouts) -> Iterator[tuple[str, pl.DataFrame]]:
    """Make the tables one by one, the last first: muscles are then summed from positions."""
    for name in reversed(WEEKLY_TABLES):
        yield name, WEEKLY_TABLES[name](bouts)
