"""What an athlete's page says of how the log was read, and of how to mend the export."""

from __future__ import annotations

from collections.abc import Mapping

import polars as pl

from plateline.report.numbers import count
from plateline.report.sentences import listed
from plateline.report.trends_words import named_in_short

__all__ = [
    "HOW_TO_FIX",
    "REJECTED_CAPTION",
    "SHOWN_REJECTED",
    "account_line",
    "body_mass_lines",
    "data_heading",
    "fix_lines",
]

REJECTED_CAPTION = "Rows that could not be read, and are not counted"

SHOWN_REJECTED = 30
"""Rows listed one by one; `plateline intake` writes all of them."""

HOW_TO_FIX = {
    "date": "Write dates as 2026-03-31, or tell the order with --date-order.",
    "load": "Write a load as a number with its unit beside it or in a unit column; write 0 for "
    "body mass alone, and help as a negative number.",
    "reps": "Write reps as a whole number; several sets in one cell as 3x8 or 8,8,7.",
    "rir": "Write reps in reserve as a number from 0 up, or leave the cell empty.",
    "rpe": "Write exertion as a number up to 10, or leave the cell empty.",
    "exercise": "Give every set the name of its exercise.",
    "client": "Give every set its client, or name one with --client.",
}
"""What would be accepted, by the column that could not be read."""


def account_line(account: Mapping[str, object]) -> str:
    """Return the row account of the log as a sentence."""
    rows, accepted = _count(account, "rows"), _count(account, "accepted")
    rejected, repeats = _count(account, "rejected"), _count(account, "duplicates")
    blank = _count(account, "blank")
    if rows == accepted:
        return f"Every one of the {rows:,} rows was read."
    left = [
        f"{count(number, 'row')} {text if number == 1 else texts}"
        for number, text, texts in (
            (rejected, "could not be read", "could not be read"),
            (
                repeats,
                "repeats another and was counted once",
                "repeat others and were counted once",
            ),
            (blank, "is blank or holds no set", "are blank or hold no set"),
        )
        if number
    ]
    return f"Of {rows:,} rows, {accepted:,} were read; {listed(left)}."


def _count(account: Mapping[str, object], name: str) -> int:
    value = account.get(name, 0)
    return value if isinstance(value, int) else 0


def fix_lines(rejected: pl.DataFrame) -> list[str]:
    """Say how to mend the export, one line for each column that could not be read."""
    counts = rejected.group_by("column").len().sort("len", "column", descending=[True, False])
    return [
        f"{column} ({count(rows, 'row')}): {HOW_TO_FIX[column]}"
        for column, rows in counts.iter_rows()
        if column in HOW_TO_FIX
    ]


def body_mass_lines(status: pl.DataFrame) -> list[str]:
    """Say which lifts need body mass, and how to give it."""
    lacking = [row["exercise"] for row in status.iter_rows(named=True) if row["is_relative"]]
    if not lacking:
        return []
    return [
        f"Body mass is part of the load of {named_in_short(lacking)} and is not known, so only their "
        "changes are shown. A file with the columns date and body_mass (and unit), given with "
        "--checkins, adds the kilograms."
    ]


def data_heading(rejected: pl.DataFrame) -> str:
    """Return the heading of what was read."""
    return "What could not be read, and how to mend it" if len(rejected) else "What was read"
