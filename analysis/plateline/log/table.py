"""A file as rows below a header: the delimiter that fits, and where the header stands."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from plateline.errors import InputFileError
from plateline.log.headers import Header
from plateline.log.rows import DELIMITERS, MOST_COLUMNS, SPACES, Row, evenness, split_rows, unwrap
from plateline.log.table_header import find_header, header_score, headers_at, with_units

__all__ = ["Table", "read_table", "sheet_title", "table_of"]


@dataclass
class Table:
    """A file as rows below a header.

    Attributes
    ----------
    name
        What `source_file` says.
    headers
        One per column; empty where the file has none.
    header_line
        The header's line; 0 where there is none.
    above, rows
        What stands above the header, and every row below it.
    headed_by
        The rows of the header, where they stand below another table of the same file.
    """

    name: str
    headers: list[Header]
    header_line: int
    above: list[Row]
    rows: list[Row]
    delimiter: str = ","
    said: list[str] = field(default_factory=list)
    header_row: Row | None = None
    headed_by: list[Row] = field(default_factory=list)


_DRAWN = re.compile("[│┃║]")
"""Lines that programs draw between columns."""


def sheet_title(name: str) -> str:
    """Return the title of a sheet from `book.xlsx [Title]`; nothing where a file has but one."""
    return name[name.rfind("[") + 1 : -1] if name.endswith("]") else ""


def read_table(text: str, name: str) -> Table:
    """Find delimiter and header, and split the whole text.

    Raises
    ------
    InputFileError
        When a row has more cells than any log.
    """
    body, given, skipped = _given_delimiter(_DRAWN.sub("|", text))
    start = body[:400_000]
    cut = start.rfind("\n")
    sample = start if len(start) == len(body) or cut < 0 else start[:cut]
    best: tuple[tuple[float, ...], str, int | None] | None = None
    for delimiter in (given,) if given else (*DELIMITERS, SPACES):
        rows = unwrap(split_rows(sample, delimiter, limit=200), delimiter)
        found = find_header(rows)
        score = (header_score(rows[found].cells) if found is not None else 0.0, evenness(rows))
        if best is None or score > best[0]:
            best = (score, delimiter, found)
    assert best is not None
    delimiter = best[1]
    rows = unwrap(split_rows(body, delimiter), delimiter)
    if skipped:
        rows = [Row(r.line + skipped, r.cells, r.text) for r in rows]
    widest = max((len(r.cells) for r in rows), default=0)
    if widest > MOST_COLUMNS:
        line = next(r.line for r in rows if len(r.cells) > MOST_COLUMNS)
        raise InputFileError(
            f"{name}, line {line} has more than {MOST_COLUMNS:,} columns; a log has a row per set, "
            "and at most a few columns for each."
        )
    return table_of(rows, name, delimiter)


def table_of(rows: list[Row], name: str, delimiter: str = ",") -> Table:
    """Return rows as a table, with the header where there is one."""
    found = find_header(rows)
    if found is None:
        return Table(name, [], 0, [], rows, delimiter)
    headers, last = headers_at(rows, found)
    if last + 1 < len(rows):
        headers = with_units(headers, rows[last + 1].cells)
    return Table(
        name, headers, rows[found].line, rows[:found], rows[last + 1 :], delimiter, [], rows[found]
    )


def _given_delimiter(text: str) -> tuple[str, str | None, int]:
    """Read the `sep=;` line that spreadsheets put above a CSV file."""
    first, _, rest = text.partition("\n")
    found = re.fullmatch(r'"?sep=(.)"?[,;\s]*', first.strip(" "), re.IGNORECASE)
    if found or first.strip().casefold() == "sep=":
        sign = found.group(1) if found else "\t"
        return rest, sign if sign in DELIMITERS else None, 1
    return text, None, 0
