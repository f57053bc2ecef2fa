"""From the rows of a table to drafts of sets: still text, but each cell under its column.

Here a merged date cell is carried down, headings between rows become the date or exercise of
the rows below, repeated headers and totals are set apart, and rows with too many cells are
refused.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from plateline.log.column_places import Columns
from plateline.log.dates import looks_like_date
from plateline.log.headers import read_header, tidy
from plateline.log.noted_lines import lifts_of
from plateline.log.numbers import is_missing
from plateline.log.table import Row, Table, is_unit_line
from plateline.log.values import read_unit

__all__ = ["Draft", "Drafts", "heading", "table_drafts"]

TOTAL_WORDS = frozenset(
    [
        "total",
        "totals",
        "sum",
        "summe",
        "gesamt",
        "gesamtsumme",
        "zwischensumme",
        "subtotal",
        "somme",
        "totale",
        "totali",
        "totaux",
        "suma",
        "totales",
        "soma",
        "totais",
        "average",
        "avg",
        "durchschnitt",
        "mittelwert",
        "moyenne",
        "media",
        "promedio",
        "média",
        "volume",
        "volumen",
        "tonnage",
        "max",
        "maximum",
        "best",
    ]
)
"""First words of lines that sum up and hold no set, where such a line has no date of its own."""

MERGED_SHARE = 0.2
"""Share of rows without a date from which on the date stands once for the rows below it."""


@dataclass(slots=True)
class Draft:
    """What one source row says, as text.

    `shared` holds for all its sets; `sets` has one mapping per set (or cell of sets). A row
    with a `fault` (column, value, reason) is refused; a row with `is_blank` holds no set.
    """

    row: Row
    shared: dict[str, str] = field(default_factory=dict)
    sets: list[dict[str, str]] = field(default_factory=list)
    fault: tuple[str, str, str] | None = None
    is_blank: bool = False


@dataclass
class Drafts:
    """All drafts of a file, with what was taken for granted."""

    rows: list[Draft]
    said: list[str] = field(default_factory=list)


def heading(above: Iterable[Row]) -> dict[str, str]:
    """Read what stands above a table: `Client: Anna`, `Date,2026-03-02`, `Unit: lb`, a year."""
    found: dict[str, str] = {}
    for row in above:
        filled = [c.strip() for c in row.cells if c.strip()]
        text = " ".join(filled)
        if len(filled) == 2 and not filled[0].endswith(":"):
            filled[0] += ":"
            text = " ".join(filled)
        pair = re.fullmatch(r"#* ?([^:=]{2,30})[:=]\s*(.{1,80})", text)
        if pair:
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
        elif len(filled) == 1 and looks_like_date(text):
            found.setdefault("date", text)
        units = {
            u
            for w in re.findall(r"(?<![\d\s])\s*\b([a-z]{2,})\b", text.casefold())
            if (u := read_unit(w))
        }
        if len(units) == 1 and "unit" not in found:
            found["unit"] = units.pop()
        year = re.findall(r"(?<!\d)(20\d{2}|19[5-9]\d)(?!\d)", text)
        if len(set(year)) == 1:
            found.setdefault("year", year[0])
    return found


def table_drafts(
    table: Table, columns: Columns, above: dict[str, str], *, carry: bool = True
) -> Drafts:
    """Return one draft per row of a table, in order."""
    drafts = Drafts([])
    shape = _Shape(table, columns)
    context = {k: v for k, v in above.items() if k in ("date", "exercise", "session")}
    totals: list[int] = []
    repeats: list[int] = []
    headings: list[int] = []
    for row in table.rows:
        cells = row.cells
        if not any(c.strip() for c in cells):
            drafts.rows.append(Draft(row, is_blank=True))
        elif shape.is_header(cells) or is_unit_line(cells):
            drafts.rows.append(Draft(row, is_blank=True))
            repeats.append(row.line)
        elif (found := shape.heading_of(cells)) is not None:
            if found[0] == "date":
                context = {k: v for k, v in context.items() if k != "exercise"} | {"date": found[1]}
            elif found[0]:
                context[found[0]] = found[1]
            drafts.rows.append(Draft(row, is_blank=True))
            headings.append(row.line)
        elif shape.is_total(cells):
            drafts.rows.append(Draft(row, is_blank=True))
            totals.append(row.line)
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
    for lines, what in (
        (repeats, "repeats the header"),
        (totals, "sums up other rows"),
        (headings, "is a heading or remark"),
    ):
        if lines:
            drafts.said.append(f"{table.name}: {_lines(lines)} {what} and holds no set.")
    if not carry:
        return drafts
    heads = _heads(drafts)
    for column in ("client", "date", "session", "exercise"):
        _carry_down(table.name, drafts, column, columns)
    for draft in heads:
        draft.is_blank = True
    return drafts


def _heads(drafts: Drafts) -> list[Draft]:
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


def _lines(lines: Sequence[int]) -> str:
    shown = ", ".join(map(str, lines[:8])) + (
        f" and {len(lines) - 8} more" if len(lines) > 8 else ""
    )
    return f"line {shown}" if len(lines) == 1 else f"each of lines {shown}"


def is_remark(text: str) -> bool:
    """Say whether a cell where sets are expected holds words only: `sick`, `rest day`."""
    return bool(text) and not re.search(r"\d", text)


class _Shape:
    """What the rows of one table look like, and how a row becomes a draft."""

    def __init__(self, table: Table, columns: Columns) -> None:
        self.columns = columns
        self.width = len(table.headers)
        self.header_cells = [tidy(h.text) for h in table.headers]
        self.last_is_note = bool(table.headers) and table.headers[-1].column == "note"
        self.is_side_by_side = any(s.fixed for s in columns.sets)
        self.headed_date = not columns.has("date")
        self.headed_exercise = not columns.has("exercise")
        self.header_words = {w for w in self.header_cells if w}
        self.remarks: dict[str, int] = {}

    def is_header(self, cells: Sequence[str]) -> bool:
        """Say whether a row says the header again."""
        filled = [tidy(c) for c in cells if c.strip()]
        if len(filled) < 2:
            return False
        same = sum(f in self.header_words for f in filled)
        return same >= 2 and same >= 0.8 * len(filled)

    def heading_of(self, cells: Sequence[str]) -> tuple[str, str] | None:
        """Return (column, text) where a row is a heading for those below; ("", "") a remark."""
        filled = [c.strip() for c in cells if c.strip()]
        first = cells[0].strip()
        if first.startswith("#") and not re.fullmatch(r"#\d+", first) and len(filled) <= 2:
            return ("", "")
        if len(filled) == 2 and (first.endswith(":") or self.headed_date or self.headed_exercise):
            column = read_header(first.rstrip(":")).column
            if column == "date" and looks_like_date(filled[1]):
                return "date", filled[1]
            if column == "exercise" and self.headed_exercise:
                return "exercise", filled[1]
            if column in ("session", "client"):
                return column, filled[1]
            if column in ("note", "unit", "ignored"):
                return "", ""
        if len(filled) != 1:
            return None
        text = filled[0].strip("#* ")
        pair = re.fullmatch(r"([A-Za-zÀ-ÿ ]{3,20}):\s*(.+)", text)
        if pair:
            column = read_header(pair.group(1)).column
            if column in ("date", "exercise", "session", "client"):
                return column, pair.group(2).strip()
        if looks_like_date(text) and (self.headed_date or len(cells) > 2):
            return "date", text
        if self.headed_exercise and re.search(r"[^\W\d_]{2}", text) and first:
            return "exercise", text.rstrip(":")
        return None

    def is_total(self, cells: Sequence[str]) -> bool:
        """Say whether a row sums up: its first word says so, and it has no date or no exercise."""
        filled = [(i, c.strip()) for i, c in enumerate(cells) if c.strip()]
        words = tidy(filled[0][1]).split()
        if not words or len(words) > 3 or not TOTAL_WORDS.intersection((words[0], words[-1])):
            return False
        lift = self.columns.single.get("exercise", [-1])[0]
        day = self.columns.single.get("date", [-1])[0]
        has_lift = 0 <= lift < len(cells) and bool(cells[lift].strip()) and filled[0][0] != lift
        has_day = 0 <= day < len(cells) and looks_like_date(cells[day])
        return not (has_lift and has_day)

    def draft(self, row: Row, context: dict[str, str]) -> Draft:
        """Return the draft of a row that holds sets."""
        cells, fault = self._fit(row)
        draft = Draft(row, fault=fault)
        for column, positions in self.columns.single.items():
            value = ""
            for position in positions:
                if position < len(cells) and not is_missing(cells[position]):
                    value = cells[position].strip()
                    if position in self.columns.units and column in ("load", "rest_s"):
                        draft.shared[f"{column} unit"] = self.columns.units[position]
                    break
            draft.shared[column] = value
        for column, value in context.items():
            if not draft.shared.get(column):
                draft.shared[column] = value
        whole = draft.shared.pop("lifts", "")
        if is_remark(whole):
            self.remarks.setdefault(whole, row.line)
            draft.is_blank = True
        elif whole:
            lifts = lifts_of(whole)
            if lifts is None:
                reason = f"{whole[:80]!r} holds no exercises with sets; write it like Squat 100x5, 100x5."
                draft.fault = draft.fault or ("row", whole[:200], reason)
            draft.sets = [{"exercise": n, "notation": s, "note": w} for n, s, w in lifts or []]
        for places in self.columns.sets:
            found = {
                column: cells[position].strip()
                for column, position in places.places.items()
                if position < len(cells) and not is_missing(cells[position])
            }
            if not found or not found.keys() & {"load", "reps", "notation"}:
                continue
            if places.fixed and is_remark(found.get("notation", "")):
                self.remarks.setdefault(found["notation"], row.line)
                continue
            for column in ("load", "rest_s"):
                unit = self.columns.units.get(places.places.get(column, -1))
                if unit and column in found:
                    found[f"{column} unit"] = unit
            draft.sets.append(found | places.fixed)
        return draft

    def _fit(self, row: Row) -> tuple[list[str], tuple[str, str, str] | None]:
        """Return the cells of a row, or a fault where it has more than the header."""
        cells = row.cells
        extra = cells[self.width :]
        if not any(c.strip() for c in extra):
            return cells[: self.width], None
        if self.last_is_note and self.width:
            tail = ",".join(cells[self.width - 1 :])
            if re.match(r"\s*[^\W\d_]", tail):
                return [*cells[: self.width - 1], tail], None
        return cells, (
            "row",
            row.text[:200],
            f"The row has {len(cells)} cells, but the header has {self.width}; a decimal comma or a "
            "comma in a note must stand in quotes.",
        )


def _carry_down(name: str, drafts: Drafts, column: str, columns: Columns) -> None:
    """Fill a column that is written once for several rows, as merged spreadsheet cells are.

    Only where the file shows the habit: no value is written twice in a row, and rows without
    one are many. A lone gap among rows that all carry the value stays a gap.
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
    if repeats or empty < MERGED_SHARE * len(values):
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
