"""Which column of a table is what: headers, a map that the user gives, and what cells show."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from plateline.errors import MissingColumnError
from plateline.log.cells import SHOWS, Cells, shows_sets
from plateline.log.column_cells import columns_from_cells
from plateline.log.column_numbers import set_number
from plateline.log.column_places import Columns, SetPlaces
from plateline.log.column_wide import SET_COLUMNS, wide_places
from plateline.log.header_pairs import in_short_form, pair_order
from plateline.log.headers import Header, tidy
from plateline.log.kinds import is_tick
from plateline.log.table import Table
from plateline.log.value_effort import other_scale
from plateline.log.values import read_unit
from plateline.log.was_done import was_done

__all__ = ["assign"]

VAGUE_KINDS = frozenset(["type", "tag", "kind", "art", "typ", "tipo"])
"""Headers that name set kinds only where their cells do: a type can be of exercise or of day."""


def assign(table: Table, given: Mapping[str, Sequence[str | int]]) -> Columns:
    """Say what each column of a table is.

    Raises
    ------
    MissingColumnError
        When the map names a header that the file does not have.
    """
    columns = Columns()
    taken = _given(table, given, columns)
    cells = Cells(table.rows)
    for position, header in enumerate(table.headers):
        if header.unit:
            columns.units[position] = header.unit
    wide_places(table, columns, taken, cells)
    _singles(table, columns, taken, cells)
    columns_from_cells(table, columns, cells)
    return columns


def _given(table: Table, given: Mapping[str, Sequence[str | int]], columns: Columns) -> set[int]:
    taken: set[int] = set()
    by_text = {h.text.strip(): i for i, h in reversed(list(enumerate(table.headers)))}
    by_tidy = {tidy(h.text): i for i, h in reversed(list(enumerate(table.headers)))}
    for column, names in given.items():
        positions = []
        for name in names:
            if name == "":
                continue
            if isinstance(name, int):
                position = name - 1 if 1 <= name <= max(len(table.headers), 1000) else None
            else:
                position = by_text.get(name.strip(), by_tidy.get(tidy(name)))
            if position is None:
                seen = ", ".join(repr(h.text) for h in table.headers[:20]) or "none"
                raise MissingColumnError(
                    f"{table.name}: the column map says {column} = {name!r}, but there is no such "
                    f"header; the headers are {seen}."
                )
            positions.append(position)
        taken.update(positions)
        if len(positions) > 1 and column in SET_COLUMNS:
            for number, position in enumerate(positions):
                while len(columns.sets) <= number:
                    columns.sets.append(SetPlaces({}))
                columns.sets[number].places[column] = position
        elif positions:
            columns.single[column] = positions
    if columns.sets:
        # A wide map is kept apart from headers that are numbered by themselves.
        table.headers = [
            Header(h.text) if i not in taken and h.number is not None else h
            for i, h in enumerate(table.headers)
        ]
    return taken


def _singles(table: Table, columns: Columns, taken: set[int], cells: Cells) -> None:
    """Settle the columns that stand once, those with one meaning first."""
    free = [(i, h) for i, h in enumerate(table.headers) if i not in taken and (h.text or h.columns)]
    for position, header in sorted(free, key=lambda pair: (len(pair[1].columns) != 1, pair[0])):
        candidates = [c for c in header.columns if c not in columns.single or c == "load"]
        column = _choose(header, candidates, position, columns, cells, table)
        if column is None:
            if header.text:
                columns.unknown.append(header.text)
        elif column == "ignored":
            columns.ignored.append(header.text)
        else:
            columns.single.setdefault(column, []).append(position)
            if header.was_near:
                columns.said.append(
                    f"{table.name}: the header {header.text!r} is read as {column}."
                )


def _choose(
    header: Header,
    candidates: list[str],
    position: int,
    columns: Columns,
    cells: Cells,
    table: Table,
) -> str | None:
    if not candidates:
        return None
    if "unit" in candidates and len(candidates) > 1:
        is_unit = cells.share(position, lambda t: read_unit(t) is not None) >= SHOWS
        candidates = ["unit"] if is_unit else [c for c in candidates if c != "unit"]
    if "exercise" in candidates and "client" in candidates:
        # A header like "Name" names the lift, unless another column does.
        return "exercise"
    column = candidates[0]
    if column in ("set_order", "set_count"):
        return set_number(position, column, columns, cells, table)
    if column == "set_kind" and tidy(header.text) in VAGUE_KINDS:
        if cells.share(position, lambda t: was_done(t) is not None) == 1:
            return _done_or_skipped(header, position, columns, cells, table)
        return column if cells.shows_kinds(position) else None
    if column == "warm_up" and cells.of(position) and cells.share(position, is_tick) < SHOWS:
        return None
    if column == "rpe" and (why := other_scale(header.text, cells.of(position))):
        columns.said.append(f"{table.name}: the column {header.text!r} is left out, {why}.")
        return "ignored"
    if column == "skipped":
        is_told = cells.share(position, lambda t: was_done(t, ticks=True) is not None) == 1
        return column if is_told else None
    if column == "done":
        return _done_or_skipped(header, position, columns, cells, table)
    if column == "notation":
        order = pair_order(header.text)
        if order:
            columns.pairs[position] = order
        shown = cells.share(position, lambda t: shows_sets(in_short_form(t, order) if order else t))
        return column if shown >= SHOWS else None
    return column


def _done_or_skipped(
    header: Header, position: int, columns: Columns, cells: Cells, table: Table
) -> str | None:
    """Take a column that says which rows were done: by ticks, or by words such as `planned`.

    Numbers and words of another kind are something else.
    """
    filled = cells.of(position)
    told = [was_done(t, ticks=True) for t in filled]
    strange = [t for t, done in zip(filled, told, strict=True) if done is None]
    if not filled or len(strange) > (1 - SHOWS) * len(filled):
        return None
    if any(re.search(r"\d", t) for t in strange):
        return None
    if True in told or not any(was_done(t) is False for t in filled):
        return "done" if "done" not in columns.single else None
    columns.said.append(
        f"{table.name}: the column {header.text!r} names only sets that were not done; rows in which "
        "it is empty are read as done."
    )
    return "skipped" if "skipped" not in columns.single else None
