"""Read one table or note whole: what the file settles first, then every row."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import polars as pl

from plateline.errors import InputFileError, MissingColumnError
from plateline.log.account import Account, Said
from plateline.log.column_map import columns_toml
from plateline.log.column_need import require, unknown_sentence
from plateline.log.column_places import Columns
from plateline.log.columns import assign
from plateline.log.date_order import DateReader
from plateline.log.dates import date_within, looks_like_date, month_in
from plateline.log.draft_types import Draft, Drafts
from plateline.log.drafts import heading, table_drafts
from plateline.log.headers import Header
from plateline.log.headless import is_bare_table, name_by_content
from plateline.log.kinds import KindReader
from plateline.log.notation import shows_load_first
from plateline.log.note_titles import date_in_title
from plateline.log.notes import note_drafts
from plateline.log.numbers import decimal_mark, plain
from plateline.log.sections import sections
from plateline.log.settle import FIELDS, Settler, distinct
from plateline.log.table import Table
from plateline.log.tally import Tally
from plateline.log.values import Unreadable, read_unit
from plateline.words import REJECTED, SET_KIND_TYPE

__all__ = ["PART", "Options", "Part", "read_part"]

NOTE_SAMPLE = 150
"""Lines in which a note must show sets, before the whole of a long file is read as one."""

LONGEST_VALUE = 200
LONGEST_ROW = 2000
"""Characters of a cell and of a row that are kept with a rejected row."""

PART: dict[str, pl.DataType | type[pl.DataType]] = {
    "client": pl.String, "date": pl.Date, "time_s": pl.Int32, "session": pl.String,
    "exercise": pl.String, "set_order": pl.Int32, "set_kind": SET_KIND_TYPE, "superset": pl.String,
    "load_kg": pl.Float64, "reps": pl.Int32, "rir": pl.Float64, "side": pl.String,
    "rest_s": pl.Float64, "feel": pl.Float64, "note": pl.String, "source_line": pl.Int64,
    "flag": pl.String,
}  # fmt: skip
"""The sets of one file, before files are merged: those of SETS, and the time of day."""


@dataclass(frozen=True)
class Options:
    """How to read: what the person said beside the files."""

    client: str | None = None
    columns: Mapping[str, Sequence[str | int]] = field(default_factory=dict)
    unit: str | None = None
    date_order: str | None = None
    client_units: Mapping[str, str] = field(default_factory=dict)
    today: dt.date = field(default_factory=dt.date.today)


@dataclass
class Part:
    """What one file (or sheet) gave, before files are merged."""

    name: str
    sets: pl.DataFrame
    rejected: pl.DataFrame
    rows: int
    accepted: int
    blank: int
    said: list[Said]
    has_order: bool = True
    columns_toml: str = ""
    tallies: Mapping[str, Tally] = field(default_factory=dict)
    client: str = "me"
    client_above: str | None = None
    is_store: bool = False

    def account(
        self, duplicates: int = 0, sets: int | None = None, *, given: str | None = None
    ) -> Account:
        """Return the account of this part alone, `duplicates` of its accepted rows taken off."""
        return Account(
            rows=self.rows,
            accepted=self.accepted - duplicates,
            rejected=self.rejected.height,
            duplicates=duplicates,
            blank=self.blank,
            sets=self.sets.height if sets is None else sets,
            assumptions=(*(s.sentence for s in self.said), *self._tallied(given)),
        )

    def _tallied(self, given: str | None, client: str | None = None) -> Iterable[str]:
        tallies = self.tallies.values() if client is None else [self.tallies[client]]
        return Tally.total(tallies).sentences(
            self.name, self.client, given=given, above=self.client_above
        )

    def assumptions(self, given: str | None) -> Iterable[Said]:
        """Say what was taken for granted, counted by client, and whom each sentence concerns."""
        clients = self.sets["client"]
        is_one = bool(clients.len() and (clients == clients[0]).all()) and not self.is_store
        only = clients[0] if is_one else None
        yield from (Said(client or only, sentence) for client, sentence in self.said)
        for client in self.tallies:
            yield from (Said(client, sentence) for sentence in self._tallied(given, client))


def read_part(
    table: Table,
    options: Options,
    path: Path,
    *,
    is_excerpt: bool = False,
    names_clients: bool = False,
) -> Part:
    """Read a table, or a note where the file has no header.

    `is_excerpt` says that the rows are not all of the file's, so no value is carried down
    from one to the next; `names_clients` that rows of the file besides these name a client.

    Raises
    ------
    MissingColumnError
        When a needed column is in no form there.
    InputFileError
        When the file is neither a table nor a note of sets.
    AmbiguousDateError
        When nothing settles day and month.
    """
    columns = Columns()
    if not table.headers and options.columns:
        _headers_by_number(table, options.columns)
    elif not table.headers:
        name_by_content(table)
    if table.headers:
        whole = is_excerpt or bool(options.columns)
        first, *later = [table] if whole else sections(table)
        columns, above, drafts = _read_table(first, options, path, is_excerpt=is_excerpt)
        for one in later:
            _add_section(one, options, path, above, drafts)
    else:
        if is_bare_table(table):
            raise _no_log(table)
        start = [r for r in table.rows if r.text.strip()][:NOTE_SAMPLE]
        _check_is_note(table, note_drafts(start, table.name))
        drafts = note_drafts(table.rows, table.name)
        _check_is_note(table, drafts)
        first = next(i for i, d in enumerate(drafts.rows) if d.sets)
        above = heading(d.row for d in drafts.rows[: min(first, 20)])
        above.pop("date", None)
    part = _settle(table, drafts, columns, above, options, names_clients, is_excerpt=is_excerpt)
    if table.headers:
        part.columns_toml = columns_toml(table.headers, columns)
    return part


def _read_table(
    table: Table, options: Options, path: Path, *, is_excerpt: bool
) -> tuple[Columns, dict[str, str], Drafts]:
    """Read one table into drafts: what each column is, what stands above, and its rows."""
    columns = assign(table, options.columns)
    above = heading(table.above)
    _date_from_name(table, columns, above, path)
    days, lifts = _headings(table)
    if not columns.has("exercise") and not table.headed_by:
        # What stands above the first header may be the heading of its rows.
        table.rows = [*table.above, *table.rows]
    require(
        table,
        columns,
        has_dates=days or "date" in above,
        has_exercises=lifts or "exercise" in above,
    )
    drafts = table_drafts(table, columns, above, carry=not is_excerpt)
    drafts.said = [
        *table.said,
        *columns.said,
        *unknown_sentence(table.name, columns),
        *drafts.said,
    ]
    return columns, above, drafts


def _add_section(
    table: Table, options: Options, path: Path, above: Mapping[str, str], drafts: Drafts
) -> None:
    """Add the rows of a table below another one, or refuse them where it is no log."""
    drafts.rows.extend(Draft(row, is_blank=True) for row in table.headed_by)
    if not any(c.strip() for row in table.rows for c in row.cells):
        drafts.rows.extend(Draft(row, is_blank=True) for row in table.rows)
        return
    drafts.said.append(
        f"{table.name}: line {table.header_line} heads a table of its own, with other columns."
    )
    try:
        _, _, own = _read_table(table, options, path, is_excerpt=False)
    except MissingColumnError as fault:
        reason = f"The row is of the table that begins on line {table.header_line}, and {fault}"
        drafts.rows.extend(
            Draft(row, fault=("row", row.text[:LONGEST_VALUE], reason))
            if any(c.strip() for c in row.cells)
            else Draft(row, is_blank=True)
            for row in table.rows
        )
        return
    client = above.get("client", "")
    for draft in own.rows:
        if client and not draft.shared.get("client"):
            draft.shared["client"] = client
    drafts.rows.extend(own.rows)
    drafts.said.extend(own.said)


def _headers_by_number(table: Table, given: Mapping[str, Sequence[str | int]]) -> None:
    """Give a table without a header one, where the column map counts columns from 1."""
    numbers = [n for listed in given.values() for n in listed if isinstance(n, int)]
    if numbers:
        table.headers = [
            Header(f"column {i + 1}")
            for i in range(max(*numbers, *(len(r.cells) for r in table.rows[:50])))
        ]


def _date_from_name(table: Table, columns: Columns, above: dict[str, str], path: Path) -> None:
    """Take the day from the name of the file or sheet, or the month for days of the month."""
    title = table.name[table.name.rfind("[") + 1 : -1] if table.name.endswith("]") else ""
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


def _headings(table: Table) -> tuple[bool, bool]:
    """Say whether rows with one filled cell look like dates, and like names of exercises."""
    days = lifts = False
    for row in (*table.above, *table.rows[:2000]):
        filled = [c.strip() for c in row.cells if c.strip()]
        if 1 <= len(filled) <= 2:
            text = filled[-1].partition(":")[2].strip() or filled[-1]
            days = days or looks_like_date(text) or looks_like_date(filled[-1])
            days = days or (len(filled) == 1 and bool(date_in_title(filled[0].strip("#* "))[0]))
            lifts = lifts or (len(filled) == 1 and bool(re.search(r"[^\W\d_]{3}", filled[0])))
    return days, lifts


def _check_is_note(table: Table, drafts: Drafts) -> None:
    """Refuse a file without a header that does not read as a note of sets either."""
    faults = sum(d.fault is not None for d in drafts.rows)
    read = sum(bool(d.sets) for d in drafts.rows)
    dated = any(d.shared.get("date") for d in drafts.rows)
    if read and read >= faults and dated:
        return
    raise _no_log(table)


def _no_log(table: Table) -> InputFileError:
    first = next((r.text for r in table.rows if r.text.strip()), "")
    if re.match(r"\s*(?:\[\s*)?\{\s*(?:\"|$)", first):
        return InputFileError(
            f"{table.name} is JSON and no table with a header; export the log as CSV (or XLSX) and give "
            "that file."
        )
    return InputFileError(
        f"{table.name} has no header that names date, exercise, load and reps, its cells alone do not "
        "tell which column is which, and it is no note of sets such as 'Squat 100x5, 100x5' (it begins "
        f"{first[:60]!r}). Add a first line like "
        "date,exercise,load,reps (in a note, a line with the date above each day), or say with --columns FILE.toml what each column is "
        "(date = 1, exercise = 2, load = 3, reps = 4)."
    )


def _settle(
    table: Table,
    drafts: Drafts,
    columns: Columns,
    above: dict[str, str],
    options: Options,
    names_clients: bool,
    *,
    is_excerpt: bool,
) -> Part:
    name = table.name
    texts = distinct(
        drafts.rows, ("date", "set_kind", "set_order", "load", "rir", "rpe", "notation")
    )
    year = int(above["year"]) if "year" in above else None
    if year is None:
        in_name = re.findall(r"(?<!\d)(20\d{2})(?!\d)", name)
        year = int(in_name[0]) if len(set(in_name)) == 1 else None
    dates = DateReader(
        texts["date"], name, today=options.today, order=options.date_order, year=year
    )
    letters = (
        [t for t in texts["set_order"] if not t.isdecimal()]
        if "set_kind" not in columns.single
        else []
    )
    kinds = KindReader((*texts["set_kind"], *letters), name)
    shown = [plain(t) for c in ("load", "rir", "rpe") for t in texts[c]]
    file_unit = read_unit(above.get("unit"))
    settler = Settler(
        name=name,
        dates=dates,
        kinds=kinds,
        mark=decimal_mark(shown),
        load_first=any(shows_load_first(plain(t)) for t in texts["notation"]),
        client=options.client or above.get("client") or "me",
        unit=options.unit,
        client_units=options.client_units,
        file_unit=file_unit,
        needs_client="client" not in above
        and (names_clients or any(d.shared.get("client") for d in drafts.rows)),
    )
    if all(d.is_blank for d in drafts.rows) and not is_excerpt:
        raise InputFileError(
            f"{name} has a header but no row of sets below it; a log has one row per set."
        )
    rows: list[tuple[object, ...]] = []
    refused: list[tuple[str, int, str, str, str, str]] = []
    accepted = blank = 0
    for draft in drafts.rows:
        if draft.is_blank:
            blank += 1
            continue
        try:
            rows.extend(settler.sets_of(draft))
            accepted += 1
        except Unreadable as fault:
            refused.append(_refused(name, draft, fault))
    general = [*drafts.said, *dates.assumptions, *kinds.assumptions]
    if file_unit:
        general.append(f"{name}: loads are in {file_unit}, as the line above the table says.")
    return Part(
        name=name,
        sets=pl.DataFrame(rows, schema=dict(zip(FIELDS, PART.values(), strict=True)), orient="row"),
        rejected=pl.DataFrame(refused, schema=REJECTED, orient="row"),
        rows=len(drafts.rows),
        accepted=accepted,
        blank=blank,
        said=[*(Said(None, sentence) for sentence in general), *settler.said()],
        has_order="set_order" in columns.single,
        tallies=settler.tallies,
        client=settler.client,
        client_above=above.get("client"),
    )


def _refused(name: str, draft: Draft, fault: Unreadable) -> tuple[str, int, str, str, str, str]:
    value = fault.value if fault.value is not None else ""
    return (
        name,
        draft.row.line,
        fault.column or "row",
        value[:LONGEST_VALUE],
        fault.reason,
        draft.row.text[:LONGEST_ROW],
    )
