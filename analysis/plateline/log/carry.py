"""Values that are written once for several rows, as merged cells of a spreadsheet are."""

from __future__ import annotations

from itertools import pairwise

from plateline.log.column_places import Columns
from plateline.log.draft_types import Draft, Drafts

__all__ = ["MERGED_SHARE", "carry_down", "heads"]


MERGED_SHARE = 0.2
"""Share of rows without a date from which on the date stands once for the rows below it."""


REPEATED_SHARE = 0.2
"""Repeated values to each empty cell, up to which values stand once by habit all the same."""


def heads(drafts: Drafts) -> list[Draft]:
    """Return rows that name an exercise but no set, above rows that hold its sets."""
    rows = [d for d in drafts.rows if not d.is_blank and d.fault is None]
    return [
        one
        for one, below in pairwise(rows)
        if one.shared.get("exercise")
        and not one.sets
        and not any(one.shared.get(c) for c in ("load", "reps", "notation"))
        and not below.shared.get("exercise")
        and any(below.shared.get(c) for c in ("load", "reps", "notation"))
    ]


def carry_down(name: str, drafts: Drafts, column: str, columns: Columns) -> None:
    """Fill a column that is written once for several rows, as merged spreadsheet cells are.

    Only where the file shows the habit: values are hardly ever written twice in a row, and rows
    without one are many. A lone gap among rows that all carry the value stays a gap.
    """
    if column not in columns.single:
        return
    rows = [d for d in drafts.rows if not d.is_blank and d.fault is None]
    values = [d.shared.get(column, "") for d in rows]
    filled = [v for v in values if v]
    empty = len(values) - len(filled)
    if not filled or not empty or not values[0]:
        return
    repeats = sum(
        bool(a) and a == b and _same_day(rows[i], rows[i + 1])
        for i, (a, b) in enumerate(pairwise(values))
    )
    if repeats > REPEATED_SHARE * empty or empty < MERGED_SHARE * len(values):
        return
    last = ""
    last_date = ""
    for draft in rows:
        date = draft.shared.get("date", "")
        if column != "date" and date != last_date and not draft.shared.get(column):
            # A new day starts afresh: its session or exercise is not yesterday's.
            last = "" if column in ("exercise", "session") else last
        last_date = date
        last = draft.shared.get(column) or last
        if last:
            draft.shared[column] = last
    drafts.said.append(
        f"{name}: {column} is written once for several rows; {empty} empty cells take it from above."
    )


def _same_day(one: Draft, other: Draft) -> bool:
    """Say whether two rows are of one day, as far as they say (an equal date, or none)."""
    return one.shared.get("date", "") == other.shared.get("date", "") or not other.shared.get(
        "date"
    )
