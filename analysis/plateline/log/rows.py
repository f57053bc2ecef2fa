"""From text to rows: delimiters, quotes, and the line on which each row starts."""

from __future__ import annotations

import csv
import re
from collections import Counter
from collections.abc import Sequence
from typing import NamedTuple

__all__ = [
    "DELIMITERS",
    "MOST_COLUMNS",
    "SPACES",
    "Row",
    "evenness",
    "is_rule",
    "split_rows",
    "unwrap",
]


DELIMITERS = (",", ";", "\t", "|")

SPACES = "  "
"""Stands for "two spaces or more", the delimiter of tables that were aligned by hand."""

MOST_COLUMNS = 2000
"""Cells in one row beyond which a file is no log (a wide log of a year has some 400)."""

LONGEST_QUOTED = 200
"""Lines that one quoted cell may span."""


class Row(NamedTuple):
    """One row of a file: the line it starts on (1 is the first), its cells, its text."""

    line: int
    cells: list[str]
    text: str

    @property
    def is_empty(self) -> bool:
        """Whether no cell holds anything."""
        return not any(c.strip() for c in self.cells)


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
    counts = Counter(line.count(delimiter) + 1 for line in lines if delimiter in line)
    return max(counts, key=lambda width: (counts[width], width)) if counts else 1


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


def unwrap(rows: list[Row], delimiter: str) -> list[Row]:
    """Take off what wraps whole rows: quotes around the line, pipes of a text table."""
    filled = [r for r in rows[:50] if not r.is_empty]
    if not filled:
        return rows
    wrapped = sum(len(r.cells) == 1 and delimiter in r.cells[0] for r in filled)
    if wrapped > 0.8 * len(filled):
        return [
            Row(r.line, _split_quoted(r.cells[0], delimiter), r.text) if len(r.cells) == 1 else r
            for r in rows
        ]
    if delimiter == "|":
        wide = [r.cells for r in filled if len(r.cells) > 2]
        edged = [not c[0].strip() and not c[-1].strip() for c in wide]
        if wide and edged[0] and sum(edged) >= EDGED * len(edged):
            return [_without_edges(r) for r in rows]
        return [Row(r.line, [""], r.text) if is_rule(r.text) else r for r in rows]
    return rows


def _without_edges(row: Row) -> Row:
    cells = row.cells
    if len(cells) > 1 and not cells[0].strip():
        cells = cells[1:]
    if len(cells) > 1 and not cells[-1].strip():
        cells = cells[:-1]
    if is_rule(row.text):
        cells = [""] * len(cells)
    return Row(row.line, [_EMPHASIS.sub(r"\2", c.strip()) for c in cells], row.text)


_RULE_SIGNS = "|:+-=─━═┼├┤┌┐└┘┬┴╔╗╚╝╠╣╦╩╬"
_RULE = re.compile(rf"[\s{re.escape(_RULE_SIGNS)}]*[-=─━═]{{2}}[\s{re.escape(_RULE_SIGNS)}]*")


def is_rule(text: str) -> bool:
    """Say whether a line is drawn between the rows of a table and holds nothing."""
    return text.lstrip()[:1] in _RULE_SIGNS and bool(_RULE.fullmatch(text))


EDGED = 0.9
"""Share of the rows of a text table, its header first, that begin and end with a pipe."""

_EMPHASIS = re.compile(r"^(\*\*\*|\*\*|__|\*|_|`)(?=\S)(.*\S)\1$")
"""What Markdown puts around a cell that stands out."""


def evenness(rows: Sequence[Row]) -> float:
    """Return the share of rows that have the usual number of cells, 0 where that is one."""
    widths = Counter(len(r.cells) for r in rows if not r.is_empty)
    if not widths:
        return 0.0
    width, count = widths.most_common(1)[0]
    return count / sum(widths.values()) if width > 1 else 0.0
