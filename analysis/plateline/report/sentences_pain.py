"""The sentences about notes that speak of pain: quoted, with where they stand."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from plateline.report.numbers import day
from plateline.report.sentences import worded

__all__ = ["PAIN_CAUTION", "PAIN_LABEL", "pain_line", "pain_lines", "quoted"]

Row = Mapping[str, Any]

PAIN_LABEL = "What the notes say of pain or dizziness"

PAIN_CAUTION = (
    "The loads below are for lifts that do not hurt. What hurts, numbs or makes dizzy is left out "
    "until a licensed professional has seen to it; these notes were found by their words and not "
    "judged."
)

LONGEST = 90
"""Characters of a note that are quoted."""

SHOWN = 8
"""Notes that are quoted; of more, the newest."""


def quoted(note: str) -> str:
    """Return a note in quotation marks, cut at a word where it is long."""
    text = " ".join(note.split())
    if len(text) > LONGEST:
        text = text[:LONGEST].rsplit(" ", 1)[0] + " …"
    return f"“{text}”"


def pain_line(notes: Sequence[Row]) -> str:
    """Say that notes speak of pain, with the newest; nothing where none does."""
    if not notes:
        return ""
    more = f" and {worded(len(notes) - 1)} more" if len(notes) > 1 else ""
    verb = "note speaks" if len(notes) == 1 else "notes speak"
    said = f"{quoted(notes[0]['note'])} ({_place(notes[0])}){more}"
    amount = worded(len(notes)).capitalize()
    return f"{amount} {verb} of pain, an injury or dizziness: {said}."


def pain_lines(notes: Sequence[Row]) -> list[str]:
    """Return the notes that speak of pain, newest first, each with where it stands."""
    told = [f"{quoted(row['note'])} ({_place(row)})" for row in notes[:SHOWN]]
    if len(notes) > SHOWN:
        told.append(f"and {worded(len(notes) - SHOWN)} more before")
    return told


def _place(row: Row) -> str:
    parts = [row["exercise"], day(row["date"])]
    if row["source_line"] is not None:
        parts.append(f"{row['source_file']} line {row['source_line']}")
    else:
        parts.append("check-in")
    return ", ".join(part for part in parts if part)
