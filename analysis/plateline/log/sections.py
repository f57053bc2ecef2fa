"""A file of several tables, one below the other, each with a header of its own."""

from __future__ import annotations

import re
from collections.abc import Sequence

from plateline.log.headers import read_header, tidy
from plateline.log.table import Table
from plateline.log.table_header import header_score, headers_at

__all__ = ["sections"]

LEAST_SCORE = 2.25
"""Columns that matter, and some more, that a row names before it heads a table of its own."""

MOST_SECTIONS = 200
"""Headers of another layout in one file, beyond which they are no headers."""

NEAR_ABOVE = 3
"""Rows above a later header in which its date or exercise may stand."""


def sections(table: Table) -> list[Table]:
    """Return the tables of a file; one, unless a later row heads columns of another order.

    A header that is only repeated parts nothing. The rows just above a later header are its
    table's `above` as well as rows of the table before it.
    """
    layout = _layout(table.header_row.cells) if table.header_row is not None else ()
    starts: list[int] = []
    for position, row in enumerate(table.rows):
        if _may_head(row.cells) and header_score(row.cells) >= LEAST_SCORE:
            found = _layout(row.cells)
            if found != layout:
                starts.append(position)
                layout = found
    if not starts or len(starts) > MOST_SECTIONS or table.header_row is None:
        return [table]
    rows = table.rows
    first = Table(
        table.name, table.headers, table.header_line, table.above, rows[: starts[0]],
        table.delimiter, table.said, table.header_row,
    )  # fmt: skip
    found_tables = [first]
    for start, end in zip(starts, [*starts[1:], len(rows)], strict=True):
        headers, last = headers_at(rows[:end], start)
        above = rows[max(0, start - NEAR_ABOVE) : start]
        own = Table(
            table.name, headers, rows[start].line, above, rows[last + 1 : end], table.delimiter,
            [], rows[start],
        )  # fmt: skip
        own.headed_by = rows[start : last + 1]
        found_tables.append(own)
    return found_tables


_VALUE = re.compile(r"[\d.,:/-]+|[+-]?\d+(?:[.,]\d+)? ?(?:reps?|wdh\.?|kg|lbs?)", re.IGNORECASE)
"""A cell that holds a value; none stands in a header."""


def _layout(cells: Sequence[str]) -> tuple[str, ...]:
    """Return the words of a header, cell by cell, without what is empty at its end."""
    words = [tidy(c) for c in cells]
    while words and not words[-1]:
        words.pop()
    return tuple(words)


def _may_head(cells: Sequence[str]) -> bool:
    """Say cheaply whether a row can be a header: it begins with a known word, and holds no value."""
    first = next((c.strip() for c in cells if c.strip()), "")
    if not first or first[0].isdecimal() or read_header(first).column is None:
        return False
    filled = [c.strip() for c in cells if c.strip()]
    return len(filled) > 2 and not any(_VALUE.fullmatch(c) for c in filled)
