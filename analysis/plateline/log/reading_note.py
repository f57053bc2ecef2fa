"""A file without a header to drafts: a note of sets, or a refusal that says what to add."""

from __future__ import annotations

import re

from plateline.errors import InputFileError
from plateline.log.draft_types import Drafted, Drafts
from plateline.log.drafts import heading
from plateline.log.headless import is_bare_table
from plateline.log.notes import note_drafts
from plateline.log.table import Table

__all__ = ["drafted_note"]

NOTE_SAMPLE = 150
"""Lines in which a note must show sets, before the whole of a long file is read as one."""

_SET_LIKE = re.compile(r"\d\s*[x×@*]\s*\d")
"""What a line of sets holds that cannot be read; such lines do not make a file any other thing."""

_NAMED_VALUES = re.compile(
    r"\s*(?:\[\s*)?\{\s*(?:[\"']|$)|\s*- ?[a-z_]+:(?:\s|$)|\s*[a-z_]+=\S+\s+[a-z_]+=", re.IGNORECASE
)
"""How files begin that name each value: JSON, what programs print of it, lists of names and values."""

HEADING_LINES = 20
"""Lines above the first set of a note in which its client or unit may stand."""


def drafted_note(table: Table) -> Drafted:
    """Return the drafts of a note, and what stands above its first set.

    Raises
    ------
    InputFileError
        When the file is no note of sets.
    """
    if is_bare_table(table) or _NAMED_VALUES.match(_first(table)):
        raise _no_log(table)
    start = [r for r in table.rows if r.text.strip()][:NOTE_SAMPLE]
    _check_is_note(table, note_drafts(start, table.name))
    drafts = note_drafts(table.rows, table.name)
    _check_is_note(table, drafts)
    first = next(i for i, d in enumerate(drafts.rows) if d.sets)
    above = heading(d.row for d in drafts.rows[: min(first, HEADING_LINES)])
    above.pop("date", None)  # the note has read it already, for the sets below it alone
    return Drafted(drafts, above)


def _check_is_note(table: Table, drafts: Drafts) -> None:
    """Refuse a file without a header that does not read as a note of sets either."""
    faults = sum(d.fault is not None and not _SET_LIKE.search(d.row.text) for d in drafts.rows)
    read = sum(bool(d.sets) for d in drafts.rows)
    dated = any(d.shared.get("date") for d in drafts.rows)
    if read and read >= faults and not dated:
        line = next(d.row.text for d in drafts.rows if d.sets).strip()
        raise InputFileError(
            f"{table.name} holds sets ({line[:60]!r}) and no date that they are of; write the day on a line above "
            "them, such as 2026-03-25."
        )
    if not (read and read >= faults):
        raise _no_log(table)


def _first(table: Table) -> str:
    """Return the first line that holds anything."""
    return next((r.text for r in table.rows if r.text.strip()), "")


def _no_log(table: Table) -> InputFileError:
    first = _first(table)
    if _NAMED_VALUES.match(first):
        is_json = re.match(r"\s*(?:\[\s*)?\{\s*(?:\"|$)", first)
        what = "is JSON" if is_json else f"names every value (it begins {first[:60]!r})"
        return InputFileError(
            f"{table.name} {what} and is no table with a header; save the log as CSV or XLSX, with a first line "
            "like date,exercise,load,reps, and give that file."
        )
    return InputFileError(
        f"{table.name} has no header that names date, exercise, load and reps, its cells alone do not "
        "tell which column is which, and it is no note of sets such as 'Squat 100x5, 100x5' (it begins "
        f"{first[:60]!r}). Add a first line like "
        "date,exercise,load,reps (in a note, a line with the date above each day), or say with --columns "
        "FILE.toml what each column is (date = 1, exercise = 2, load = 3, reps = 4)."
    )
