"""From the rows of a table to drafts of sets: still text, but each cell under its column.

Here a merged date cell is carried down, headings between rows become the date or exercise of
the rows below, repeated headers and totals are set apart, and rows with too many cells are
refused.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from plateline.log.carry import carry_down, heads
from plateline.log.cells import SHOWS, Cells
from plateline.log.column_places import Columns
from plateline.log.dates import looks_like_date, month_in, with_year
from plateline.log.draft_types import Draft, Drafts
from plateline.log.headers import read_header
from plateline.log.note_titles import date_in_title
from plateline.log.people import can_name_person, give_clients, said_of_headings
from plateline.log.row_shape import RowShape
from plateline.log.rows import Row, is_rule
from plateline.log.table import Table
from plateline.log.table_header import is_unit_line
from plateline.log.values import read_unit
from plateline.log.years import named_years

__all__ = ["heading", "table_drafts"]

MOST_DAYS = 31
"""Days of a month: a larger number is none of them."""

_REPEATS, _SUMS, _HEADS = "repeats the header", "sums up other rows", "is a heading or remark"
"""What rows are that hold no set."""


def heading(above: Iterable[Row]) -> dict[str, str]:
    """Read what stands above a table: `Client: Anna`, `Date,2026-03-02`, `Unit: lb`, a year."""
    found: dict[str, str] = {}
    for row in above:
        filled = [c.strip() for c in row.cells if c.strip()]
        text = " ".join(filled)
        for said in _said_above(filled):
            _take_above(said, found, is_alone=len(filled) == 1)
        units = {
            u
            for w in re.findall(r"(?<![\d\s])\s*\b([a-z]{2,})\b", text.casefold())
            if (u := read_unit(w))
        }
        if len(units) == 1 and "unit" not in found:
            found["unit"] = units.pop()
        if years := named_years(text):
            found.setdefault("year", "/".join(map(str, years)))
    return found


def _said_above(filled: list[str]) -> list[str]:
    """Part a row above a table into what it says: `Client: Anna`, `Unit: kg`, or a title."""
    named = [c for c in filled if re.match(r"#* ?[^:=\d]{2,30}[:=]", c)]
    if len(named) > 1:
        # Each name with its value: in its own cell, or in the cells up to the next name.
        parts: list[str] = []
        for cell in filled:
            if cell in named or not parts:
                parts.append(cell)
            else:
                parts[-1] = f"{parts[-1]} {cell}"
        return parts
    if len(filled) == 2 and not filled[0].endswith(":"):
        return [f"{filled[0]}: {filled[1]}"]
    return [" ".join(filled)]


def _take_above(text: str, found: dict[str, str], *, is_alone: bool) -> None:
    pair = re.fullmatch(r"#* ?([^:=]{2,30})[:=]\s*(.{1,80})", text)
    if pair and not looks_like_date(text):  # a time has a colon too
        column = read_header(pair.group(1).strip()).columns
        value = pair.group(2).strip()
        for name in ("client", "date", "unit", "session", "exercise"):
            if (
                name in column
                and name not in found
                and not (name == "exercise" and "client" in column)
            ):
                found[name] = value
                break
    elif is_alone and looks_like_date(text):
        found.setdefault("date", text)
    elif is_alone and (titled := date_in_title(text.strip("#* ")))[0]:
        found["date"] = titled[0]  # the nearest above the table counts
    elif is_alone and (month := month_in(text)):
        found["year"], found["month"] = month


def _has_day_numbers(table: Table, columns: Columns) -> bool:
    """Say whether the dates of a table are days of a month: `3`, `17`."""
    places = columns.single.get("date", [])
    return (
        bool(places)
        and Cells(table.rows).share(
            places[0], lambda t: t.isdecimal() and 1 <= int(t[:3]) <= MOST_DAYS
        )
        >= SHOWS
    )


def table_drafts(
    table: Table, columns: Columns, above: dict[str, str], *, carry: bool = True
) -> Drafts:
    """Return one draft per row of a table, in order.

    Parameters
    ----------
    table, columns
        The rows, and where everything stands in them.
    above
        What stands above the table.
    carry
        Whether a value that is written once for several rows is carried down to them.
    """
    drafts = Drafts([])
    shape = RowShape(table, columns)
    context = {k: v for k, v in above.items() if k in ("date", "exercise", "session")}
    if "month" in above and not columns.has("month") and _has_day_numbers(table, columns):
        context |= {k: above[k] for k in ("year", "month")}
        drafts.said.append(
            f"{table.name}: days of the month are read as of {above['year']}-{int(above['month']):02}, as "
            "the title says."
        )
    lifts: dict[str, int] = {}
    people = [(-1, who)] if (who := _name_above(table)) else []
    apart: dict[str, list[int]] = {_REPEATS: [], _SUMS: [], _HEADS: []}
    for row in table.rows:
        if row.is_empty or is_rule(row.text):
            drafts.rows.append(Draft(row, is_blank=True))
        elif what := _set_apart(row.cells, shape, context):
            drafts.rows.append(Draft(row, is_blank=True))
            if who := shape.lone_name(row.cells):
                people.append((len(drafts.rows) - 1, who))
            if context.get("exercise") not in (None, above.get("exercise"), *lifts):
                lifts[context["exercise"]] = row.line
            apart[what].append(row.line)
        else:
            draft = shape.draft(row, context)
            is_empty = shape.is_side_by_side and not draft.sets and draft.fault is None
            draft.is_blank = draft.is_blank or is_empty
            drafts.rows.append(draft)
    if shape.remarks:
        shown = ", ".join(
            f"{text[:30]!r} (line {line})" for text, line in list(shape.remarks.items())[:5]
        )
        drafts.said.append(f"{table.name}: cells without numbers are taken for remarks: {shown}.")
    drafts.said.extend(
        f"{table.name}: {_lines(lines)} {what} and holds no set."
        for what, lines in apart.items()
        if lines
    )
    if lifts:
        shown = ", ".join(f"{lift[:30]!r} (line {line})" for lift, line in list(lifts.items())[:5])
        more = f" and {len(lifts) - 5} more" if len(lifts) > 5 else ""
        drafts.said.append(
            f"{table.name}: headings are read as the exercise of the rows below them: {shown}{more}."
        )
    if carry:
        _date_below(drafts)
        _carry_all(table.name, drafts, columns)
        if clients := give_clients(drafts, people):
            drafts.said.append(said_of_headings(table.name, clients))
    return drafts


def _name_above(table: Table) -> str:
    """Return the name that stands alone on the line above the header."""
    line = table.above[-1] if table.above else None
    filled = [c.strip() for c in line.cells if c.strip()] if line is not None else []
    return filled[0] if len(filled) == 1 and can_name_person(filled[0]) else ""


def _set_apart(cells: Sequence[str], shape: RowShape, context: dict[str, str]) -> str:
    """Say what a row is that holds no set, "" where it may; a heading counts for the rows below."""
    if shape.is_header(cells) or is_unit_line(cells):
        return _REPEATS
    found = shape.heading_of(cells)
    if found is not None:
        column, text = found
        if column == "date":
            context.pop("exercise", None)
        if column:
            context[column] = text
        return _HEADS
    if shape.is_total(cells):
        return _SUMS
    return _HEADS if shape.is_lone_words(cells) else ""


def _carry_all(name: str, drafts: Drafts, columns: Columns) -> None:
    """Carry down what is written once for several rows; rows that only head others hold no set."""
    above_sets = heads(drafts)
    for column in ("client", "date", "session", "exercise"):
        carry_down(name, drafts, column, columns)
    for draft in above_sets:
        draft.is_blank = True


def _date_below(drafts: Drafts) -> None:
    """Give dates without a year that of the line above them, where years stand on lines of their own."""
    if len({d.shared["year"] for d in drafts.rows if d.shared.get("year")}) > 1:
        for draft in drafts.rows:
            if draft.shared.get("year") and draft.shared.get("date"):
                draft.shared["date"] = with_year(draft.shared["date"], draft.shared["year"])


def _lines(lines: Sequence[int]) -> str:
    shown = ", ".join(map(str, lines[:8])) + (
        f" and {len(lines) - 8} more" if len(lines) > 8 else ""
    )
    return f"line {shown}" if len(lines) == 1 else f"each of lines {shown}"
