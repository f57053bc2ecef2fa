"""What the commands that write one table share: reading the logbook, and the CSV itself."""

from __future__ import annotations

import contextlib
import datetime as dt
import os
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

from plateline.errors import NoResultError, OutputError

if TYPE_CHECKING:
    from collections.abc import Iterable

    import polars as pl

    from plateline.exercises import Logbook

__all__ = ["read_for", "write_csv", "write_csv_parts"]


def read_for(
    logs: tuple[Path, ...], as_of: dt.date | None, options: dict[str, Any]
) -> tuple[Logbook, dt.date]:
    """Read the logbook and settle the day to look from: the last one in the log by default.

    Raises
    ------
    NoResultError
        When there is no set on or before that day.
    """
    from plateline.exercises import read_logbook

    book = read_logbook(logs, **options)
    if book.sets.is_empty():
        raise NoResultError("There is no set in the log that could be read.")
    dates = book.sets["date"]
    first, last = cast(dt.date, dates.min()), cast(dt.date, dates.max())
    day = as_of or last
    if first > day:
        raise NoResultError(f"There is nothing on or before {day}: the log starts on {first}.")
    return book, day


def write_csv(table: pl.DataFrame, out: Path) -> None:
    """Write a table aside, then rename it, so that no half-written file is ever seen.

    Raises
    ------
    OutputError
        When the place cannot be written.
    """
    write_csv_parts([table], out)


def write_csv_parts(tables: Iterable[pl.DataFrame], out: Path) -> None:
    """Write tables of the same columns as one, each as it comes; aside, then rename it.

    Raises
    ------
    OutputError
        When the place cannot be written.
    """
    aside = out.with_name(f".{out.name}.{os.getpid()}.part")
    try:
        out.parent.mkdir(parents=True, exist_ok=True)
        with aside.open("wb") as stream:
            for place, table in enumerate(tables):
                table.write_csv(stream, include_header=place == 0, float_precision=4)
        aside.replace(out)
    except OSError as problem:
        reason = problem.strerror or str(problem)
        raise OutputError(f"{out} cannot be written: {reason}.") from problem
    finally:
        # Gone by now, unless something went wrong: a full disk, a damaged part, Ctrl-C.
        with contextlib.suppress(OSError):
            aside.unlink(missing_ok=True)
