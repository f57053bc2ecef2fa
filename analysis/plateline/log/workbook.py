"""Workbooks (.xlsx, .xlsm, .xlsb, .xls, .ods): every visible sheet that holds a log, as a table."""

from __future__ import annotations

import zipfile
from pathlib import Path

from plateline.errors import InputFileError
from plateline.log.rows import MOST_COLUMNS, Row
from plateline.log.table import Table, table_of

__all__ = ["read_workbook"]

LARGEST_UNPACKED = 2 * 2**30
"""Bytes of a workbook's parts, unpacked, beyond which it is refused unread."""


def read_workbook(path: Path, name: str) -> list[Table]:
    """Return one table per visible sheet; `source_line` is then the row of the sheet.

    Raises
    ------
    InputFileError
        When the file is no workbook, is locked or is too large.
    """
    import fastexcel

    try:
        with zipfile.ZipFile(path) as packed:
            unpacked = sum(part.file_size for part in packed.infolist())
    except (OSError, zipfile.BadZipFile):
        unpacked = 0
    if unpacked > LARGEST_UNPACKED:
        raise InputFileError(
            f"{name} unpacks to {unpacked / 2**30:.0f} GiB; export it as CSV instead."
        )
    try:
        book = fastexcel.read_excel(path)
        sheets = [
            (title, sheet.to_polars())
            for title in book.sheet_names
            if (
                sheet := book.load_sheet(title, header_row=None, skip_rows=0, dtypes="string")
            ).visible
            == "visible"
        ]
    except Exception as fault:
        # The reader has an error class for every format; all mean the same to a person.
        raise InputFileError(
            f"{name} is no workbook that can be read ({str(fault).splitlines()[0][:120]}). Save it "
            "again without a password, or export it as CSV."
        ) from fault
    filled = [(title, frame) for title, frame in sheets if frame.width and frame.height]
    if not filled:
        raise InputFileError(f"{name} is empty; a log has one row per set.")
    tables = []
    for title, frame in filled:
        if frame.width > MOST_COLUMNS:
            raise InputFileError(
                f"{name}, sheet {title!r} has {frame.width:,} columns; a log has a row per set."
            )
        rows = [
            Row(line, cells := [_cell(c) for c in values], ",".join(cells))
            for line, values in enumerate(frame.iter_rows(), 1)
        ]
        shown = name if len(filled) == 1 else f"{name} [{title}]"
        tables.append(table_of(rows, shown))
    return tables


def _cell(value: str | None) -> str:
    """Return a cell's text; a day comes with a midnight that nobody typed."""
    return "" if value is None else value.removesuffix(" 00:00:00")
