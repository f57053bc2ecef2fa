"""Marks for "as above": a ditto sign, or a word for it, takes the value of the cell above."""

from __future__ import annotations

from collections.abc import Sequence

from plateline.log.rows import Row

__all__ = ["without_dittos"]

_DITTOS = frozenset({
    '"', "″", "〃", "“", "”", "„", "''", "ditto", "dito", "do.", "idem", "ídem", "id.", "s.o.", "s. o.",
    "siehe oben", "wie oben", "as above", "same", "come sopra", "lo mismo", "igual", "mesmo",
})  # fmt: skip

LONGEST_DITTO = max(map(len, _DITTOS))


def without_dittos(rows: Sequence[Row], notes: set[int]) -> tuple[list[Row], int]:
    """Return rows with the values that dittos stand for, and how many there were.

    Parameters
    ----------
    rows
        The rows of a table.
    notes
        Positions of remarks, in which such words are words.
    """
    everything = "\n".join(row.text for row in rows).casefold()
    if not any(word in everything for word in _DITTOS):
        return list(rows), 0
    above: dict[int, str] = {}
    found: list[Row] = []
    count = 0
    for row in rows:
        places = [
            i for i, c in enumerate(row.cells)
            if c and len(c) <= LONGEST_DITTO and c.strip().casefold() in _DITTOS
            and i in above and i not in notes
        ]  # fmt: skip
        if places:
            cells = list(row.cells)
            for i in places:
                cells[i] = above[i]
            row = Row(row.line, cells, row.text)
            count += len(places)
        above.update((i, c) for i, c in enumerate(row.cells) if c and not c.isspace())
        found.append(row)
    return found, count
