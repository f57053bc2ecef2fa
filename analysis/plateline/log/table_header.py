"""Where the header of a table stands, and what its cells say."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from plateline.log.dates import date_within, looks_like_date
from plateline.log.headers import UNIT_WORDS, Header, read_header
from plateline.log.rows import MOST_COLUMNS, Row

__all__ = ["find_header", "header_score", "headers_at", "is_unit_line", "with_units"]


HEADER_WITHIN = 60
"""Rows from the top in which the header must stand."""

MOST_SET_NUMBERS = 20
"""A header cell that is a number up to this can count the sets of a wide log."""

_STRONG = frozenset({"date", "exercise", "load", "reps", "notation", "set_count", "set_order"})


def with_units(headers: list[Header], below: Sequence[str]) -> list[Header]:
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


def header_score(cells: Sequence[str]) -> float:
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
        score = header_score(row.cells)
        if score > best:
            best, position = score, index
    if best >= 1.75:
        return position
    for index, row in enumerate(rows[:10]):
        below = rows[index + 1 : index + 9]
        if _heads_sets(row, below) or _heads_people(row, below):
            return index
    return None


def _heads_sets(row: Row, below: Sequence[Row]) -> bool:
    """Say whether a row with a date header stands above cells of sets: exercises side by side."""
    names = [read_header(c.strip()) for c in row.cells]
    days = [i for i, h in enumerate(names) if h.column == "date"]
    if len(days) != 1 or sum(bool(h.text) for h in names) < 2 or any(map(_has_digit, row.cells)):
        return False
    filled = [r for r in below if len(r.cells) > days[0] and not r.is_empty]
    return bool(filled) and all(
        looks_like_date(r.cells[days[0]])
        or not r.cells[days[0]].strip()
        or re.fullmatch(r"\d{5}", r.cells[days[0]].strip())
        for r in filled
    )


def _heads_people(row: Row, below: Sequence[Row]) -> bool:
    """Say whether an exercise header stands beside others above cells of sets: people across."""
    names = [read_header(c.strip()) for c in row.cells]
    lifts = [i for i, h in enumerate(names) if h.is_exercise]
    if len(lifts) != 1 or sum(bool(h.text) for h in names) < 3 or any(map(_has_digit, row.cells)):
        return False
    work = [c for r in below for i, c in enumerate(r.cells) if i not in lifts and _has_digit(c)]
    return len(work) > 1 and all(re.search(r"\d\s*[x×@*]\s*\d", c) for c in work)


def _has_digit(text: str) -> bool:
    return bool(re.search(r"\d", text))


def headers_at(rows: Sequence[Row], found: int) -> tuple[list[Header], int]:
    """Read the header, joined with a line of set numbers above it or of columns below it."""
    upper = rows[found].cells
    below = rows[found + 1].cells if found + 1 < len(rows) else []
    names = [read_header(c.strip()) for c in upper]
    lower = [read_header(c.strip()) for c in below]
    seen = [h.column for h in lower if h.column in ("load", "reps", "rir", "rpe")]
    filled = [c for c in below if c.strip()]
    if len(seen) >= 4 and len(seen) >= 0.8 * len(filled):
        return _two_lines(upper, below), found + 1
    if sum(h.is_exercise for h in names) > 1:
        return (
            names,
            found,
        )  # tables side by side: what stands above them is no part of their headers
    above = rows[found - 1].cells if found else []
    repeated = Counter(h.column for h in names if h.column in ("load", "reps"))
    if above and max(repeated.values(), default=0) > 1:
        labels = [c for c in above if c.strip()]
        numbered = sum(read_header(c.strip()).number is not None for c in labels)
        dated = sum(date_within(c.strip()) is not None for c in labels)
        has_exercise = any(h.column == "exercise" for h in names)
        if labels and (
            max(numbered, dated) >= 0.5 * len(labels) or (len(labels) >= 2 and not has_exercise)
        ):
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
