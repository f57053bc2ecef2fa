"""What the cells of a column show: a sample of them, and how many read as something."""

from __future__ import annotations

import re
from collections.abc import Callable

from plateline.log.kinds import KindReader
from plateline.log.notation import parse_sets
from plateline.log.numbers import is_missing
from plateline.log.rows import Row
from plateline.log.values import SetsRefused, Unreadable

__all__ = ["SHOWS", "Cells", "shows_sets"]


SHOWS = 0.6
"""Share of a column's cells that must read as something before the column is taken for it."""

SAMPLE_ROWS = 400


class Cells:
    """The filled cells of a column, from a sample of the rows."""

    def __init__(self, rows: list[Row]) -> None:
        step = max(1, len(rows) // SAMPLE_ROWS)
        self.rows = rows[: SAMPLE_ROWS // 2] + rows[SAMPLE_ROWS // 2 :: step]

    def of(self, position: int) -> list[str]:
        """Return the filled cells of a column."""
        return [
            r.cells[position].strip()
            for r in self.rows
            if position < len(r.cells) and not is_missing(r.cells[position])
        ]

    def share(self, position: int, test: Callable[[str], bool]) -> float:
        """Return the share of a column's filled cells that pass a test."""
        filled = self.of(position)
        return sum(map(test, filled)) / len(filled) if filled else 0.0

    def shows_kinds(self, position: int) -> bool:
        """Say whether a column's cells name set kinds (or nothing)."""
        reader = KindReader(self.of(position), "")
        is_kind = self.share(position, lambda text: reader.read(text) is not None) >= SHOWS
        return is_kind or not self.of(position)


def shows_sets(text: str) -> bool:
    """Say whether a cell holds sets in short form, with their load or with marks of one."""
    try:
        return any(s.load is not None for s in parse_sets(text, load_first=True))
    except SetsRefused:
        return bool(re.search(r"[x×@*]|kg|lb", text))
    except Unreadable:
        return False
