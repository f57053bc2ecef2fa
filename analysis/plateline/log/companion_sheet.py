"""A file beside the log, as rows of text under the contract's columns."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import polars as pl

from plateline.errors import InputFileError, MissingColumnError
from plateline.log.files import WORKBOOK_ENDINGS, decode, read_bytes
from plateline.log.headers import closest, read_header
from plateline.log.numbers import DecimalMark, decimal_mark, is_missing, plain
from plateline.log.rejected import Rejected, rejected_row
from plateline.log.rows import DELIMITERS, Row, split_rows
from plateline.log.values import Unreadable
from plateline.words import REJECTED, Schema

__all__ = ["Sheet", "read_sheet"]


SYNONYMS = "companions.csv"

_HEADER_WITHIN = 20
"""Rows from the top among which the header is looked for."""


@dataclass
class Sheet:
    """A companion file as rows of text under the contract's columns."""

    name: str
    rows: list[tuple[Row, dict[str, str]]]
    units: dict[str, str] = field(default_factory=dict)
    mark: DecimalMark | None = None
    faults: list[Rejected] = field(default_factory=list)
    _row: Row = field(default_factory=lambda: Row(0, [], ""))

    def texts(self, column: str) -> list[str]:
        """Return the filled cells of a column."""
        return [cells[column] for _, cells in self.rows if cells.get(column)]

    def fill(
        self, schema: Schema, read: Callable[[dict[str, str]], dict[str, object]]
    ) -> pl.DataFrame:
        """Read every row with `read`; rows that raise :class:`Unreadable` become faults."""
        good: list[dict[str, object]] = []
        for row, cells in self.rows:
            self._row = row
            try:
                good.append(read(cells))
            except Unreadable as fault:
                self.fault(fault)
        return pl.DataFrame(good, schema=schema, orient="row")

    def fault(self, fault: Unreadable, reason: str | None = None) -> None:
        """Keep a fault of the row that is being read."""
        self.faults.append(rejected_row(self.name, self._row, fault, reason))

    def close(self, rejected: list[pl.DataFrame] | None) -> None:
        """Hand faults over, or refuse the file when there is no place for them."""
        if not self.faults:
            return
        if rejected is not None:
            rejected.append(pl.DataFrame(self.faults, schema=REJECTED, orient="row"))
            return
        shown = " ".join(f"Line {f[1]}, {f[2]}: {f[4]}" for f in self.faults[:3])
        more = f" ({len(self.faults) - 3} more rows are at fault.)" if len(self.faults) > 3 else ""
        raise InputFileError(f"{self.name} cannot be read whole. {shown}{more}")


def read_sheet(path: Path, schema: Schema, needed: Sequence[str]) -> Sheet:
    """Read a file beside the log into rows of text.

    Raises
    ------
    InputFileError
        When the file cannot be read.
    MissingColumnError
        When a needed column is not there.
    """
    name = path.name
    data = read_bytes(path)
    if path.suffix.lower() in WORKBOOK_ENDINGS:
        from plateline.log.workbook import read_workbook

        tables = read_workbook(path, name)
        options = [[*t.above, *([t.header_row] if t.header_row else []), *t.rows] for t in tables]
        chosen, position = _header_among(options, schema)
        rows = options[chosen] if options else []
    else:
        text = decode(data, name).text
        tops = [split_rows(text, mark, limit=_HEADER_WITHIN) for mark in DELIMITERS]
        chosen, position = _header_among(tops, schema)
        rows = split_rows(text, DELIMITERS[chosen])
    header = rows[position] if rows else Row(1, [], "")
    columns = [_column(t, schema) for t in header.cells]
    for column in needed:
        if column not in columns:
            seen = [c.strip() for c in header.cells if c.strip()][:20]
            near = closest(column, seen, SYNONYMS)
            hint = f" Closest: {', '.join(map(repr, near))}." if near else ""
            raise MissingColumnError(
                f"{name} has no column {column}; its headers are {', '.join(map(repr, seen))}.{hint}"
            )
    units = {
        c: u for t, c in zip(header.cells, columns, strict=True)
        if c and (u := read_header(t.strip(), SYNONYMS).unit)
    }  # fmt: skip
    filled: list[tuple[Row, dict[str, str]]] = []
    for row in rows[position + 1 :]:
        cells: dict[str, str] = {}
        for column, cell in zip(columns, row.cells, strict=False):
            if column and cell and column not in cells and not is_missing(cell):
                cells[column] = cell.strip()
        if cells:
            filled.append((row, cells))
    numbers = [t for _, cells in filled for c, t in cells.items() if schema.get(c) == pl.Float64]
    numbers += [cells["body_mass"] for _, cells in filled if "body_mass" in cells]
    plainly = {text: plain(text) for text in set(numbers)}
    return Sheet(name, filled, units, decimal_mark(plainly[text] for text in numbers))


def _header_among(tables: Sequence[Sequence[Row]], schema: Schema) -> tuple[int, int]:
    """Return the table, and the row of it, that names the most columns."""
    best, found = -1, (0, 0)
    for number, rows in enumerate(tables):
        for position, row in enumerate(rows[:_HEADER_WITHIN]):
            known = len({c for c in (_column(t, schema) for t in row.cells) if c})
            if known > best:
                best, found = known, (number, position)
    return found


def _column(text: str, schema: Schema) -> str | None:
    """Return the column of this file that a header names."""
    return next((c for c in read_header(text.strip(), SYNONYMS).columns if c in schema), None)
