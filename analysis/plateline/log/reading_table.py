"""A file of tables to drafts: what each column is, what stands above, and every row."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from pathlib import Path

from plateline.errors import MissingColumnError
from plateline.log.column_need import require, unknown_sentence
from plateline.log.column_places import Columns
from plateline.log.columns import assign
from plateline.log.dates import date_within, looks_like_date, month_in
from plateline.log.dittos import without_dittos
from plateline.log.draft_types import Draft, Drafted, Drafts
from plateline.log.drafts import heading, table_drafts
from plateline.log.note_titles import date_in_title
from plateline.log.people import titles_log
from plateline.log.sections import sections
from plateline.log.table import Table, sheet_title

__all__ = ["drafted_table"]

SEARCHED_ROWS = 2000
"""Rows from the start of a table in which its headings of days and exercises must show."""

Given = Mapping[str, Sequence[str | int]]


def drafted_table(table: Table, given: Given, path: Path, *, is_excerpt: bool) -> Drafted:
    """Return the drafts of a table, and of those below it in the same file.

    Parameters
    ----------
    table
        The rows below a header.
    given
        What the person said the columns are; then all rows are of one table.
    path
        The file, whose name may hold the day.
    is_excerpt
        Whether the rows are not all of the file's, so that no value is carried down.

    Raises
    ------
    MissingColumnError
        When a needed column is in no form there.
    """
    first, *later = [table] if is_excerpt or given else sections(table)
    drafted = _drafted(first, given, path, carry=not is_excerpt)
    for one in later:
        _add_section(one, path, drafted)
    return drafted


def _drafted(table: Table, given: Given, path: Path, *, carry: bool) -> Drafted:
    """Read one table, its values that are written once for several rows carried down or not."""
    dittos = _fill_dittos(table) if carry else 0
    columns = assign(table, given)
    if dittos:
        columns.said.append(
            f"{table.name}: {dittos} marks for 'as above' take the value of the cell above."
        )
    above = heading(table.above)
    _date_from_name(table, columns, above, path)
    days, lifts = _headings(table)
    if not columns.has("exercise") and not lifts and "exercise" not in above:
        _exercise_from_title(table, above)
    if not columns.has("exercise") and not table.headed_by:
        # What stands above the first header may be the heading of its rows.
        table.rows = [*table.above, *table.rows]
    require(
        table,
        columns,
        has_dates=days or "date" in above,
        has_exercises=lifts or "exercise" in above,
    )
    drafts = table_drafts(table, columns, above, carry=carry)
    drafts.said = [
        *table.said,
        *columns.said,
        *unknown_sentence(table.name, columns),
        *drafts.said,
    ]
    return Drafted(drafts, above, columns)


def _add_section(table: Table, path: Path, first: Drafted) -> None:
    """Add the rows of a table below the first one, or refuse them where it is no log."""
    drafts = first.drafts
    drafts.rows.extend(Draft(row, is_blank=True) for row in table.headed_by)
    if all(row.is_empty for row in table.rows):
        drafts.rows.extend(Draft(row, is_blank=True) for row in table.rows)
        return
    drafts.said.append(
        f"{table.name}: line {table.header_line} heads a table of its own, with other columns."
    )
    try:
        own = _drafted(table, {}, path, carry=True).drafts
    except MissingColumnError as fault:
        reason = f"The row is of the table that begins on line {table.header_line}, and {fault}"
        _refuse_all(table, reason, drafts)
        return
    client = first.above.get("client", "")
    for draft in own.rows:
        if client and not draft.shared.get("client"):
            draft.shared["client"] = client
    drafts.rows.extend(own.rows)
    drafts.said.extend(own.said)


def _refuse_all(table: Table, reason: str, drafts: Drafts) -> None:
    drafts.rows.extend(
        Draft(row, is_blank=True) if row.is_empty else Draft(row, fault=("row", row.text, reason))
        for row in table.rows
    )


def _date_from_name(table: Table, columns: Columns, above: dict[str, str], path: Path) -> None:
    """Take the day from the name of the file or sheet, or the month for days of the month."""
    title = sheet_title(table.name)
    if columns.has("date"):
        month = month_in(title) or month_in(path.stem)
        if month and "month" not in above:
            above["year"], above["month"] = month
        return
    if "date" in above:
        return
    if day := date_within(title) if title else None:
        above["date"] = day
        table.said.append(f"{table.name}: the date {day} is taken from the sheet's name.")
        return
    found = re.search(r"(?<!\d)(20\d{2}-\d{2}-\d{2}|20\d{6})(?!\d)", path.stem)
    if found:
        above["date"] = found.group(1)
        table.said.append(f"{table.name}: the date {found.group(1)} is taken from the file's name.")


def _fill_dittos(table: Table) -> int:
    """Put the value above into every cell that says `as above`; return how many did."""
    notes = {i for i, h in enumerate(table.headers) if h.column == "note"}
    table.rows, count = without_dittos(table.rows, notes)
    return count


def _exercise_from_title(table: Table, above: dict[str, str]) -> None:
    """Take the exercise of a sheet without such a column from its title: `Squat`, `Bench press`."""
    title = sheet_title(table.name)
    if re.search(r"[^\W\d_]{3}", title) and not re.search(r"\d", title) and not titles_log(title):
        above["exercise"] = title
        table.said.append(f"{table.name}: the exercise {title!r} is taken from the sheet's title.")


def _headings(table: Table) -> tuple[bool, bool]:
    """Say whether rows with one filled cell look like dates, and like names of exercises."""
    days = lifts = False
    for row in (*table.above, *table.rows[:SEARCHED_ROWS]):
        filled = [c.strip() for c in row.cells if c.strip()]
        if 1 <= len(filled) <= 2:
            text = filled[-1].partition(":")[2].strip() or filled[-1]
            days = days or looks_like_date(text) or looks_like_date(filled[-1])
            days = days or (len(filled) == 1 and bool(date_in_title(filled[0].strip("#* "))[0]))
            lifts = lifts or (len(filled) == 1 and bool(re.search(r"[^\W\d_]{3}", filled[0])))
    return days, lifts
