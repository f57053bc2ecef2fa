"""Every sentence of an athlete's page."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

import polars as pl

from plateline.report.blocks import Block, paragraphs
from plateline.report.numbers import count, day, number, percent, share
from plateline.report.sentences import listed
from plateline.words import State

if TYPE_CHECKING:
    from plateline.report.trends import TrendsPage

__all__ = [
    "ALL_LIFTS",
    "DATA",
    "HOW_READ",
    "HOW_TO_FIX",
    "LIFT",
    "LIFTS_CAPTION",
    "MEASURE",
    "MUSCLES",
    "NEXT",
    "NO_REJECTED",
    "ONE_LIFT",
    "RECORDS_CAPTION",
    "REJECTED_CAPTION",
    "STRETCH",
    "TARGETS_CAPTION",
    "UNIT",
    "account_line",
    "caption",
    "fix_lines",
    "opening",
    "state_sentence",
    "title",
]

Row = Mapping[str, Any]

ONE_LIFT = "One lift at a time"
ALL_LIFTS = "All lifts"
MUSCLES = "Volume by muscle"
NEXT = "What to do next"
DATA = "What could not be read, and how to mend it"
HOW_READ = "Methods and cautions"
LIFT, MEASURE, STRETCH, UNIT = "Lift", "Show", "Time", "Loads in"

LIFTS_CAPTION = "Every lift; those that ask for attention first (intervals are 90 %)"
RECORDS_CAPTION = "Records: sets that no heavier or longer set beats"
TARGETS_CAPTION = (
    "Loads for a next session with one rep in reserve, not rounded to plates (intervals are 80 %)"
)
REJECTED_CAPTION = "Rows that could not be read, and are not counted"
NO_REJECTED = "Every row of the log was read."

SHOWN_REJECTED = 30
"""Rows listed one by one; `plateline intake` writes all of them."""

STATE_WORDS = {
    State.PROGRESSING: "progressing",
    State.PLATEAU: "on a plateau",
    State.DECLINING: "declining",
    State.UNCLEAR: "not clear yet",
}

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


def title(client: str, lone: str) -> str:
    """Return the page's title."""
    return "Training trends" if client == lone else f"Training trends of {client}"


def opening(page: TrendsPage) -> Block:
    """Say what the log holds, and how many lifts move, stand still or fall."""
    sets, status = page.frames["sets"], page.frames["status"]
    first, last = sets["date"].min(), sets["date"].max()
    held = (
        f"{count(len(sets), 'set')} of {count(len(status), 'lift')} on "
        f"{count(sets['date'].n_unique(), 'day')}, from {day(first, year=True)} to "  # type: ignore[arg-type]
        f"{day(last, year=True)}."  # type: ignore[arg-type]
    )
    return paragraphs([_states(status)], "pl-lead") + paragraphs([held], "pl-quiet")


def _states(status: pl.DataFrame) -> str:
    told = []
    for state in (State.PROGRESSING, State.PLATEAU, State.DECLINING):
        names = status.filter(state=state)["exercise"].to_list()
        if names:
            told.append(
                f"{_named(names)} {'is' if len(names) == 1 else 'are'} {STATE_WORDS[state]}"
            )
    unclear = status.filter(state=State.UNCLEAR).height
    if unclear:
        rest = "lift" if not told else "other lift"
        told.append(
            f"{count(unclear, rest)} cannot be told yet: too few sessions, or too even a chance"
        )
    return "; ".join(told)[:1].upper() + "; ".join(told)[1:] + "."


def _named(names: Sequence[str]) -> str:
    """Return the names of a few lifts, or the first two and how many more."""
    return listed(names if len(names) <= 3 else [*names[:2], f"{len(names) - 2} more"])


def state_sentence(row: Row) -> str:
    """Say a lift's state, how sure that is, and since when."""
    state = row["state"]
    chance = {
        State.PROGRESSING: row["p_progressing"],
        State.PLATEAU: row["p_plateau"],
        State.DECLINING: row["p_declining"],
    }.get(state)
    if chance is None:
        needed = row.get("sessions_needed")
        more = f" About {count(needed, 'more session')} would settle it." if needed else ""
        return (row.get("reason") or "Not clear yet.").rstrip(".") + "." + more
    since = row.get("since")
    when = f" since about {day(since, year=True)}" if since else ""
    slope = (
        f" Change: {percent(row['slope_pct_week'], 2, sign=True)} a week "
        f"({number(row['slope_low'], 2, sign=True)} to {number(row['slope_high'], 2, sign=True)})."
        if row["slope_pct_week"] is not None
        else ""
    )
    beside = [word for word in row.get("context") or [] if word != "stale"]
    context = f" Beside it: {listed(beside)}." if beside else ""
    stale = (
        f" Last trained on {day(row['last_date'], year=True)}."
        if "stale" in (row.get("context") or [])
        else ""
    )
    return (
        f"{STATE_WORDS[state].capitalize()}{when} (probability {share(chance)})."
        f"{slope}{context}{stale}"
    )


def caption() -> str:
    """Say how to read and to use the picture of a lift."""
    return (
        "Points: what a day's sets say; hover or use the arrow keys to see the set. Line: the "
        "trend with its 90 % band. Dashed: where it goes if nothing changes. Drag over the small "
        "picture below to choose a stretch of time; click it to see all."
    )


def account_line(account: Mapping[str, object]) -> str:
    """Return the row account of the log as a sentence."""
    return (
        f"Of {_count(account, 'rows')} rows, {_count(account, 'accepted')} were accepted, "
        f"{_count(account, 'rejected')} rejected, {_count(account, 'duplicates')} counted once "
        f"because they repeat others, and {_count(account, 'blank')} are blank."
    )


def _count(account: Mapping[str, object], name: str) -> str:
    value = account.get(name, 0)
    return f"{value:,}" if isinstance(value, int) else "?"


def fix_lines(rejected: pl.DataFrame) -> list[str]:
    """Say how to mend the export, one line for each column that could not be read."""
    counts = rejected.group_by("column").len().sort("len", "column", descending=[True, False])
    return [
        f"{column} ({count(rows, 'row')}): {HOW_TO_FIX[column]}"
        for column, rows in counts.iter_rows()
        if column in HOW_TO_FIX
    ]


def until(date: dt.date) -> str:
    """Return a day with its year."""
    return day(date, year=True)
