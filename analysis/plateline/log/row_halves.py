"""A decimal comma that parts a load in two, and pushes the reps into the note: `102,5,8`."""

from __future__ import annotations

import re
from collections.abc import Sequence

from plateline.log.column_places import Columns
from plateline.log.rows import Row
from plateline.log.table import Table

__all__ = ["split_decimal", "where_halves_part"]

HALVES = ("5", "25", "50", "75")
"""What stands behind the comma of a load."""


def _is_half_beside_number(cells: Sequence[str], load: int, width: int) -> bool:
    """Say whether a whole number stands before what can be its half, and a number for a note."""
    return (
        len(cells) >= width
        and cells[load + 1].strip() in HALVES
        and cells[load].strip().isdecimal()
        and bool(re.fullmatch(r"\s*\d{1,3}\s*", cells[width - 1]))
    )


def where_halves_part(table: Table, columns: Columns) -> int | None:
    """Return where the load stands if a decimal comma in it could push the reps into the note.

    Not where notes are numbers by habit: then most are, beside other reps too.
    """
    width = len(table.headers)
    load, reps = (columns.single.get(c, [-9])[0] for c in ("load", "reps"))
    if table.delimiter != "," or reps != load + 1 or reps != width - 2:
        return None
    notes = [
        r.cells[width - 1].strip() for r in table.rows
        if len(r.cells) == width and not _is_half_beside_number(r.cells, load, width)
    ]  # fmt: skip
    filled = [n for n in notes if n]
    numbers = sum(bool(re.fullmatch(r"\d{1,3}", n)) for n in filled)
    return load if numbers <= len(filled) / 2 else None


def split_decimal(row: Row, load: int | None, width: int) -> tuple[str, str, str] | None:
    """Return the fault of `102,5,8` below load, reps and note, which can be 102.5 for eight reps.

    Parameters
    ----------
    row
        The row.
    load
        Where its load stands, None where no comma can part it.
    width
        How many columns the table has.
    """
    if load is None or not _is_half_beside_number(row.cells, load, width):
        return None
    whole, half, note = (row.cells[i].strip() for i in (load, load + 1, width - 1))
    return (
        "row", row.text,
        f"The row can be {whole} for {half} reps with the note {note!r}, or {whole}.{half} for {note} reps "
        f"with a decimal comma; write {whole}.{half} with a point or in quotes, or more than a number into "
        "the note.",
    )  # fmt: skip
