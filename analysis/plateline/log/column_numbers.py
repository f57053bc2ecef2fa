"""Columns of whole numbers: the number of a set, or how many sets a row holds."""

from __future__ import annotations

import re
from collections import Counter
from itertools import pairwise

from plateline.log.cells import SHOWS, Cells, shows_sets
from plateline.log.column_places import Columns
from plateline.log.headers import tidy
from plateline.log.table import Table

__all__ = ["set_number"]


EITHER_WAY = frozenset(
    [
        "set",
        "sets",
        "serie",
        "series",
        "ser",
        "satz",
        "satze",
        "serien",
        "runde",
        "runden",
        "round",
        "rounds",
        "no",
        "nr",
    ]
)
"""Headers (without accents) that people use both for the number of a set and for how many."""


def _are_places(filled: list[str]) -> bool:
    """Say whether cells are places in supersets: `A1, A2, B1`; letters alone are none."""
    numbered = sum(bool(re.fullmatch(r"[A-Ha-h]\d", t)) for t in filled)
    lone = sum(bool(re.fullmatch(r"[A-Ha-h]", t)) for t in filled)
    return numbered > 0 and numbered + lone == len(filled)


def set_number(
    position: int, column: str, columns: Columns, cells: Cells, table: Table
) -> str | None:
    """Tell a set's number from a count of sets, and both from sets written out."""
    filled = cells.of(position)
    if "place" not in columns.single and _are_places(filled):
        return "place"
    if not filled or tidy(table.headers[position].text) not in EITHER_WAY:
        return column
    whole = [int(t) for t in filled if t.isdecimal() and len(t) < 10]
    if len(whole) < SHOWS * len(filled):
        if cells.share(position, shows_sets) >= SHOWS:
            return "notation"
        if cells.shows_kinds(position):
            return column if column == "set_order" else None
        return column
    steps = sum(b == a + 1 for a, b in pairwise(whole))
    counts_up = len(whole) > 1 and steps >= 0.3 * (len(whole) - 1) and min(whole) <= 1
    lift = columns.single.get("exercise") or [
        i for i, h in enumerate(table.headers) if "exercise" in h.columns
    ]
    day = columns.single.get("date") or [
        i for i, h in enumerate(table.headers) if h.column == "date"
    ]
    groups = Counter(
        tuple(r.cells[p].strip() if p < len(r.cells) else "" for p in (*day[:1], *lift[:1]))
        for r in table.rows[:2000]
        if position < len(r.cells) and r.cells[position].strip()
    )
    rows_per_group = sum(groups.values()) / max(len(groups), 1)
    found = column
    if column == "set_count" and counts_up and rows_per_group > 1.5:
        found = "set_order"
    if (
        column == "set_order"
        and not counts_up
        and rows_per_group < 1.2
        and sorted(whole)[len(whole) // 2] > 1
    ):
        found = "set_count"
    if found != column:
        text = table.headers[position].text
        meaning = "the number of each set" if found == "set_order" else "how many sets a row holds"
        columns.said.append(f"{table.name}: the column {text!r} is read as {meaning}.")
    return None if found in columns.single else found
