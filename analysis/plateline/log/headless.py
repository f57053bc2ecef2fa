"""Tables without a header, whose columns plainly are date, exercise, load and reps.

They are read where their cells allow one reading only; what can be read two ways stays refused.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from itertools import pairwise
from statistics import median

from plateline.log.cells import Cells, shows_sets
from plateline.log.dates import looks_like_date
from plateline.log.headers import Header
from plateline.log.kinds import KindReader
from plateline.log.numbers import decimal_mark, plain, read_number
from plateline.log.rows import Row
from plateline.log.table import Table
from plateline.log.value_load import read_load
from plateline.log.values import Unreadable, read_unit

__all__ = ["is_bare_table", "name_by_content", "name_by_number"]

WIDTH_SAMPLE = 50
"""Rows from the start that show how many columns a table has."""

NEARLY_ALL = 0.9
"""Share of a column's cells, and of rows, that must fit a reading."""

FEWEST_ROWS = 2
"""Rows below which nothing is shown: any one row of a date, a word and two numbers would fit."""

MOST_USUAL_REPS = 30.0
"""A column whose middle number is above this holds loads: sets of so many reps are rare, and a
load so small is rarer beside them."""

SPARSE = 0.5
"""Share of filled cells below which a column of words holds remarks."""


def name_by_content(table: Table) -> bool:
    """Name the columns of a table without a header; say whether one reading only is possible."""
    rows, width = _even_rows(table)
    if len(rows) < FEWEST_ROWS or width < 3:
        return False
    cells = Cells(rows)
    found = _reading(cells, width, len(cells.rows))
    if found is None:
        return False
    table.headers = [Header("", (found[i],) if i in found else ()) for i in range(width)]
    named = ", ".join(f"column {i + 1} as {found[i]}" for i in sorted(found))
    table.said.append(
        f"{table.name} has no header; by its cells, {named}. A first line such as "
        "date,exercise,load,reps would say so for certain."
    )
    return True


def name_by_number(table: Table, given: Mapping[str, Sequence[str | int]]) -> None:
    """Give a table a header where the column map counts columns from 1; else leave it without."""
    numbers = [n for listed in given.values() for n in listed if isinstance(n, int)]
    if numbers:
        widths = [len(r.cells) for r in table.rows[:WIDTH_SAMPLE]]
        table.headers = [Header(f"column {i + 1}") for i in range(max([*numbers, *widths]))]


def is_bare_table(table: Table) -> bool:
    """Say whether rows without a header are a table all the same: a day, and numbers in columns.

    Such rows are no lines of a note, even where each could be read as one: the third number of
    `2025-02-03  Squat  100  5  2` may be the reps in reserve.
    """
    rows, width = _even_rows(table)
    if width < 4:
        return False
    cells = Cells(rows)
    days = sum(cells.share(i, looks_like_date) >= NEARLY_ALL for i in range(width))
    numbers = sum(
        cells.share(i, lambda t: bool(re.fullmatch(r"\d+(?:[.,]\d+)?", t))) >= NEARLY_ALL
        for i in range(width)
    )
    return days == 1 and numbers > 1


def _even_rows(table: Table) -> tuple[list[Row], int]:
    """Return the rows that hold anything, and how many cells nearly all of them have, else 0."""
    rows = [r for r in table.rows if not r.is_empty]
    width, usual = Counter(len(r.cells) for r in rows).most_common(1)[0] if rows else (0, 0)
    return rows, width if usual >= NEARLY_ALL * len(rows) else 0


def _reading(cells: Cells, width: int, height: int) -> dict[int, str] | None:
    """Return position -> column, or None where cells fit no reading or more than one."""
    filled = {i: cells.of(i) for i in range(width) if cells.of(i)}
    found: dict[int, str] = {}
    numbers: list[int] = []
    words: list[int] = []
    for position, texts in filled.items():
        if cells.share(position, looks_like_date) >= NEARLY_ALL:
            found[position] = "date"
        elif cells.share(position, lambda t: read_unit(t) is not None) >= NEARLY_ALL:
            found[position] = "unit"
        elif cells.share(position, _is_effort) >= NEARLY_ALL:
            found[position] = "rir" if "rir" in texts[0].casefold() else "rpe"
        elif cells.share(position, _is_load) >= NEARLY_ALL:
            numbers.append(position)
        elif cells.share(position, shows_sets) >= NEARLY_ALL:
            found[position] = "notation"
        elif len(set(texts)) > 1 and _are_kinds(texts):
            found[position] = "set_kind"
        else:
            words.append(position)
    remarks = [i for i in words if len(filled[i]) <= SPARSE * height]
    words = [i for i in words if i not in remarks]
    if len(words) != 1 or len(remarks) > 1:
        return None
    found[words[0]] = "exercise"
    found |= dict.fromkeys(remarks, "note")
    if "notation" not in found.values():
        told = _load_and_reps({i: filled[i] for i in numbers})
        if told is None:
            return None
        found |= told
    elif numbers:
        return None
    counted = Counter(found.values())
    return found if counted["date"] == 1 and max(counted.values()) == 1 else None


def _is_effort(text: str) -> bool:
    return bool(re.fullmatch(r"(?:rpe|rir|@) ?\d.*|\d\S* ?(?:rpe|rir)", text.casefold()))


def _is_load(text: str) -> bool:
    try:
        read_load(text)
    except Unreadable:
        return False
    return True


def _are_kinds(texts: list[str]) -> bool:
    reader = KindReader(texts, "")
    return all(reader.read(t) is not None for t in texts)


def _load_and_reps(columns: dict[int, list[str]]) -> dict[int, str] | None:
    """Tell loads from reps: loads have units or fractions, or are too large to be reps."""
    found: dict[int, str] = {}
    for position, texts in columns.items():
        if _counts_up(texts):
            found[position] = "set_order"
    rest = [i for i in columns if i not in found]
    if len(rest) != 2:
        return None
    sure = [i for i in rest if _must_be_loads(columns[i])]
    can = [i for i in rest if _can_be_reps(columns[i])]
    if len(sure) != 1 or can != [i for i in rest if i != sure[0]]:
        return None
    return found | {sure[0]: "load", can[0]: "reps"}


def _counts_up(texts: list[str]) -> bool:
    """Say whether a column counts sets: 1, 2, 3, 1, 2, 3."""
    if not all(re.fullmatch(r"\d{1,2}", t) for t in texts) or len(texts) < 3 or texts[0] != "1":
        return False
    numbers = [int(t) for t in texts]
    steps = sum(after in (before + 1, 1) for before, after in pairwise(numbers))
    return steps == len(numbers) - 1 and max(numbers) > 1


def _must_be_loads(texts: list[str]) -> bool:
    if any(re.search(r"[^\d.,]", plain(t)) for t in texts):
        return True
    mark = decimal_mark(plain(t) for t in texts)
    numbers = [n for t in texts if (n := read_number(plain(t), mark)) is not None]
    return bool(numbers) and (any(n % 1 for n in numbers) or median(numbers) > MOST_USUAL_REPS)


def _can_be_reps(texts: list[str]) -> bool:
    return all(re.fullmatch(r"\d{1,3}", t) for t in texts) and (
        median(int(t) for t in texts) <= MOST_USUAL_REPS
    )
