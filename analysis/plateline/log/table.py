"""From text to rows: the delimiter, quotes, line numbers and where the header stands."""

from __future__ import annotations

import csv
import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import NamedTuple

from plateline.errors import InputFileError
from plateline.log.dates import date_within, looks_like_date
from plateline.log.headers import UNIT_WORDS, Header, read_header

__all__ = ["MOST_COLUMNS", "Row", "Table", "find_header", "read_table", "split_rows", "table_of"]

DELIMITERS = (",", ";", "\t", "|")
SPACES = "  "
"""Stands for "two spaces or more", the delimiter of tables that were aligned by hand."""

MOST_COLUMNS = 2000
"""Cells in one row beyond which a file is no log (a wide log of a year has some 400)."""

HEADER_WITHIN = 60
"""Rows from the top in which the header must stand."""

MOST_SET_NUMBERS = 20
"""A header cell that is a number up to this can count the sets of a wide log."""

LONGEST_QUOTED = 200
"""Lines that one quoted cell may span."""

_STRONG = frozenset({"date", "exercise", "load", "reps", "notation", "set_count", "set_order"})


class Row(NamedTuple):
    """One row of a file: the line it starts on (1 is the first), its cells, its text."""

    line: int
    cells: list[str]
    text: str


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
    """

    name: str
    headers: list[Header]
    header_line: int
    above: list[Row]
    rows: list[Row]
    delimiter: str = ","
    said: list[str] = field(default_factory=list)
    header_row: Row | None = None


def split_rows(text: str, delimiter: str, *, limit: int | None = None) -> list[Row]:
    """Split text into rows, keeping the line on which each starts.

    A quoted cell may hold line ends. A quote that is never closed is a slip, and only its
    own line is then read as it stands; the lines after it are not swallowed.
    """
    lines = text.split("\n")
    if lines and lines[-1] == "":
        lines.pop()
    rows: list[Row] = []
    position = 0
    width = _usual_width(lines[:400], delimiter)
    while position < len(lines) and (limit is None or len(rows) < limit):
        line = lines[position]
        start = position
        if '"' not in line:
            cells = _split_plain(line, delimiter)
        elif line.count('"') % 2 == 0:
            cells = _split_quoted(line, delimiter)
        else:
            joined, end = _join(lines, position, delimiter, width)
            if joined is None:
                cells = [c[1:] if c.startswith('"') and c.count('"') == 1 else c
                         for c in _split_plain(line, delimiter)]  # fmt: skip
            else:
                cells, line, position = joined, "\n".join(lines[position:end]), end - 1
        rows.append(Row(start + 1, cells, line))
        position += 1
    return rows


def _usual_width(lines: Sequence[str], delimiter: str) -> int:
    """Return how many cells most lines have, quotes left aside."""
    counts = Counter(line.count(delimiter) + 1 for line in lines if line.strip())
    return counts.most_common(1)[0][0] if counts else 1


def _split_plain(line: str, delimiter: str) -> list[str]:
    if delimiter == SPACES:
        return re.split(r"\t+| {2,}", line.strip()) if line.strip() else [""]
    cells = line.split(delimiter)
    return cells[: MOST_COLUMNS + 1] if len(cells) > MOST_COLUMNS else cells


def _split_quoted(line: str, delimiter: str) -> list[str]:
    if delimiter == SPACES:
        return _split_plain(line, delimiter)
    try:
        records = list(csv.reader([line], delimiter=delimiter, skipinitialspace=True))
    except csv.Error:
        return _split_plain(line, delimiter)
    return records[0] if len(records) == 1 else _split_plain(line, delimiter)


def _join(
    lines: Sequence[str], start: int, delimiter: str, width: int
) -> tuple[list[str] | None, int]:
    """Join a line with an open quote to those that close it, if they are one row."""
    if delimiter == SPACES:
        return None, start
    for end in range(start + 2, min(len(lines), start + LONGEST_QUOTED) + 1):
        added = lines[end - 1]
        if width > 2 and added.partition('"')[0].count(delimiter) >= width - 1:
            return None, start  # a whole row: the quote was never meant to reach here
        if added.count('"') % 2 == 0:
            continue
        try:
            chunk = [piece + "\n" for piece in lines[start:end]]
            records = list(csv.reader(chunk, delimiter=delimiter, skipinitialspace=True))
        except csv.Error:
            return None, start
        if len(records) == 1 and len(records[0]) <= max(width, 1) + 2:
            return records[0], end
        return None, start
    return None, start


def read_table(text: str, name: str) -> Table:
    """Find delimiter and header, and split the whole text.

    Raises
    ------
    InputFileError
        When a row has more cells than any log.
    """
    body, given, skipped = _given_delimiter(text)
    start = body[:400_000]
    cut = start.rfind("\n")
    sample = start if len(start) == len(body) or cut < 0 else start[:cut]
    best: tuple[tuple[float, ...], str, int | None] | None = None
    for delimiter in (given,) if given else (*DELIMITERS, SPACES):
        rows = _unwrap(split_rows(sample, delimiter, limit=200), delimiter)
        found = find_header(rows)
        score = (_header_score(rows[found].cells) if found is not None else 0.0, _evenness(rows))
        if best is None or score > best[0]:
            best = (score, delimiter, found)
    assert best is not None
    delimiter = best[1]
    rows = _unwrap(split_rows(body, delimiter), delimiter)
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
    headers, last = _headers_at(rows, found)
    if last + 1 < len(rows):
        headers = _with_units(headers, rows[last + 1].cells)
    return Table(
        name, headers, rows[found].line, rows[:found], rows[last + 1 :], delimiter, [], rows[found]
    )


def _with_units(headers: list[Header], below: Sequence[str]) -> list[Header]:
    """Give headers the units of a line of units below them: `kg`, `s`, `min`."""
    if not is_unit_line(below):
        return headers
    return [
        replace(h, unit=UNIT_WORDS[below[i].strip(" ()[].").casefold()])
        if i < len(below) and below[i].strip() and h.columns
        else h
        for i, h in enumerate(headers)
    ]


def is_unit_line(cells: Sequence[str]) -> bool:
    """Say whether a row names units and nothing else."""
    filled = [c.strip(" ()[].").casefold() for c in cells if c.strip()]
    return bool(filled) and all(f in UNIT_WORDS for f in filled)


def _given_delimiter(text: str) -> tuple[str, str | None, int]:
    """Read the `sep=;` line that spreadsheets put above a CSV file."""
    first, _, rest = text.partition("\n")
    found = re.fullmatch(r'"?sep=(.)"?[,;\s]*', first.strip(" "), re.IGNORECASE)
    if found or first.strip().casefold() == "sep=":
        sign = found.group(1) if found else "\t"
        return rest, sign if sign in DELIMITERS else None, 1
    return text, None, 0


def _unwrap(rows: list[Row], delimiter: str) -> list[Row]:
    """Take off what wraps whole rows: quotes around the line, pipes of a text table."""
    filled = [r for r in rows[:50] if any(c.strip() for c in r.cells)]
    if not filled:
        return rows
    wrapped = sum(len(r.cells) == 1 and delimiter in r.cells[0] for r in filled)
    if wrapped > 0.8 * len(filled):
        return [
            Row(r.line, _split_quoted(r.cells[0], delimiter), r.text) if len(r.cells) == 1 else r
            for r in rows
        ]
    if delimiter == "|":
        edged = sum(
            len(r.cells) > 2 and not r.cells[0].strip() and not r.cells[-1].strip() for r in filled
        )
        if edged > 0.5 * len(filled):
            return [_without_edges(r) for r in rows]
    return rows


def _without_edges(row: Row) -> Row:
    cells = row.cells
    if len(cells) > 1 and not cells[0].strip():
        cells = cells[1:]
    if len(cells) > 1 and not cells[-1].strip():
        cells = cells[:-1]
    if all(re.fullmatch(r"\s*:?-{2,}:?\s*", c) for c in cells):
        cells = [""] * len(cells)
    return Row(row.line, cells, row.text)


def _evenness(rows: Sequence[Row]) -> float:
    """Return the share of rows that have the usual number of cells, 0 where that is one."""
    widths = Counter(len(r.cells) for r in rows if any(c.strip() for c in r.cells))
    if not widths:
        return 0.0
    width, count = widths.most_common(1)[0]
    return count / sum(widths.values()) if width > 1 else 0.0


def _header_score(cells: Sequence[str]) -> float:
    """Return how much a row looks like a header: the columns it names that matter."""
    if sum(bool(c.strip()) for c in cells) < 2 or len(cells) > MOST_COLUMNS:
        return 0.0
    strong: set[str] = set()
    others: set[str] = set()
    dates = 0
    unknown = 0
    for cell in cells:
        text = cell.strip()
        if not text:
            continue
        header = read_header(text)
        if header.column is None:
            is_date = date_within(text) is not None
            dates += is_date
            is_set_number = text.isdecimal() and len(text) <= 2 and int(text) <= MOST_SET_NUMBERS
            unknown += (
                not is_date and not is_set_number and bool(re.fullmatch(r"[+-]?[\d.,]+", text))
            )
        elif _STRONG.intersection(header.columns):
            strong.add(header.column if header.number is None else f"{header.column} n")
        else:
            others.add(header.column)
    if unknown > len(strong) + len(others):
        return 0.0
    if dates >= 2 and not (strong - {"exercise"}):
        return 1.0 + min(dates, 3) + len(strong)
    if not strong or (dates and strong <= {"exercise"}):
        return 0.0
    return len(strong) + 0.25 * min(len(others), 8)


def find_header(rows: Sequence[Row]) -> int | None:
    """Return the position of the header among the first rows, None where there is none."""
    best, position = 0.0, None
    for index, row in enumerate(rows[:HEADER_WITHIN]):
        score = _header_score(row.cells)
        if score > best:
            best, position = score, index
    if best >= 1.75:
        return position
    return next((i for i, r in enumerate(rows[:10]) if _heads_sets(r, rows[i + 1 : i + 9])), None)


def _heads_sets(row: Row, below: Sequence[Row]) -> bool:
    """Say whether a row with a date header stands above cells of sets: exercises side by side."""
    names = [read_header(c.strip()) for c in row.cells]
    days = [i for i, h in enumerate(names) if h.column == "date"]
    if len(days) != 1 or sum(bool(h.text) for h in names) < 2 or any(map(_has_digit, row.cells)):
        return False
    filled = [r for r in below if len(r.cells) > days[0] and any(c.strip() for c in r.cells)]
    return bool(filled) and all(
        looks_like_date(r.cells[days[0]])
        or not r.cells[days[0]].strip()
        or re.fullmatch(r"\d{5}", r.cells[days[0]].strip())
        for r in filled
    )


def _has_digit(text: str) -> bool:
    return bool(re.search(r"\d", text))


def _headers_at(rows: Sequence[Row], found: int) -> tuple[list[Header], int]:
    """Read the header, joined with a line of set numbers above it or of columns below it."""
    upper = rows[found].cells
    below = rows[found + 1].cells if found + 1 < len(rows) else []
    names = [read_header(c.strip()) for c in upper]
    lower = [read_header(c.strip()) for c in below]
    seen = [h.column for h in lower if h.column in ("load", "reps", "rir", "rpe")]
    filled = [c for c in below if c.strip()]
    if len(seen) >= 4 and len(seen) >= 0.8 * len(filled):
        return _two_lines(upper, below), found + 1
    above = rows[found - 1].cells if found else []
    repeated = Counter(h.column for h in names if h.column in ("load", "reps"))
    if above and max(repeated.values(), default=0) > 1:
        labels = [c for c in above if c.strip()]
        numbered = sum(read_header(c.strip()).number is not None for c in labels)
        has_exercise = any(h.column == "exercise" for h in names)
        if labels and (numbered >= 0.5 * len(labels) or (len(labels) >= 2 and not has_exercise)):
            return _two_lines(above, upper), found
    return names, found


def _two_lines(upper: Sequence[str], lower: Sequence[str]) -> list[Header]:
    """Join two header lines; a label above stands for the empty cells to its right too."""
    width = max(len(upper), len(lower))
    top = [c.strip() for c in upper] + [""] * (width - len(upper))
    low = [c.strip() for c in lower] + [""] * (width - len(lower))
    headers: list[Header] = []
    label = ""
    for above, below in zip(top, low, strict=True):
        label = above or label
        own = read_header(below) if below else Header("")
        group = read_header(label) if label else Header("")
        if not below:
            headers.append(read_header(above) if above else Header(""))
        elif group.number is not None and own.columns:
            headers.append(
                Header(f"{label} {below}", own.columns, own.unit or group.unit, group.number)
            )
        elif group.columns and group.column not in ("load", "reps", "notation"):
            headers.append(own)
        elif label and own.columns:
            headers.append(Header(f"{label} {below}", own.columns, own.unit, None, rest=label))
        else:
            headers.append(own)
    return headers
