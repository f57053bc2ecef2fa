"""The columns that a log needs, and what to say of those that are missing or not known."""

from __future__ import annotations

from collections.abc import Iterable

from plateline.errors import MissingColumnError
from plateline.log.cells import SHOWS, Cells, shows_sets
from plateline.log.column_places import Columns
from plateline.log.headers import NEEDED, closest, words_for
from plateline.log.table import Table

__all__ = ["require", "unknown_sentence"]


def require(table: Table, columns: Columns, *, has_dates: bool, has_exercises: bool) -> None:
    """Refuse a table without a needed column, naming the headers and what comes closest.

    Raises
    ------
    MissingColumnError
        When date, exercise, load or reps is to be found in no form.
    """
    missing = []
    for column in NEEDED:
        if columns.has(column) or (column in ("load", "reps") and columns.has("notation")):
            continue
        if column != "date" and columns.has("lifts"):
            continue
        if (column == "date" and has_dates) or (column == "exercise" and has_exercises):
            continue
        if column == "reps" and columns.has("reps_left"):
            continue
        if column == "load" and columns.loads_behind_names:
            continue
        if column in ("load", "reps") and _other_holds_both(table, columns, column):
            continue
        missing.append(column)
    if not missing:
        return
    column = missing[0]
    seen = [h.text for h in table.headers if h.text]
    near = closest(column, columns.unknown)
    hint = f" Closest: {', '.join(map(repr, near))}." if near else ""
    more = f" (also missing: {', '.join(missing[1:])})" if len(missing) > 1 else ""
    raise MissingColumnError(
        f"{table.name} has no column for {column}{more}. Its headers are "
        f"{', '.join(repr(s) for s in seen[:20])}.{hint} Rename a header ({words_for(column)}), or "
        f'name it with --columns FILE.toml that says {column} = "HEADER".'
    )


def _other_holds_both(table: Table, columns: Columns, column: str) -> bool:
    other = "reps" if column == "load" else "load"
    positions = columns.single.get(other, []) + [
        s.places[other] for s in columns.sets if other in s.places
    ]
    if not positions:
        return False
    return Cells(table.rows).share(positions[0], shows_sets) >= SHOWS


def unknown_sentence(name: str, columns: Columns) -> Iterable[str]:
    """Say which columns were left out because nothing is known of them."""
    if columns.unknown:
        shown = ", ".join(repr(t[:60]) for t in columns.unknown[:10])
        more = f" and {len(columns.unknown) - 10} more" if len(columns.unknown) > 10 else ""
        yield f"{name}: the columns {shown}{more} are not known and were left out."
