"""Which column of a table is what: headers, a map that the user gives, and what cells show."""

from __future__ import annotations

import re
import tomllib
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from pathlib import Path

from plateline.errors import InputFileError, MissingColumnError, UnknownNameError
from plateline.log.dates import looks_like_date
from plateline.log.headers import NEEDED, Header, closest, known_columns, tidy, words_for
from plateline.log.kinds import KindReader
from plateline.log.notation import parse_sets
from plateline.log.noted_lines import lifts_of
from plateline.log.numbers import is_missing
from plateline.log.table import Row, Table
from plateline.log.values import SetsRefused, Unreadable, read_unit

__all__ = [
    "ColumnMap", "Columns", "SetPlaces", "assign", "columns_toml", "read_column_map", "require",
    "unknown_sentence",
]  # fmt: skip

ColumnMap = Mapping[str, str | int | Sequence[str | int]]

SET_COLUMNS = (
    "load",
    "reps",
    "rir",
    "rpe",
    "notation",
    "set_kind",
    "rest_s",
    "feel",
    "note",
    "side",
)
"""Columns that a wide log repeats for every set."""

EITHER_WAY = frozenset(
    [
        "set",
        "sets",
        "serie",
        "series",
        "ser",
        "satz",
        "satze",
        "serien",
        "runde",
        "runden",
        "round",
        "rounds",
        "no",
        "nr",
    ]
)
"""Headers (without accents) that people use both for the number of a set and for how many."""

VAGUE_KINDS = frozenset(["type", "tag", "kind", "art", "typ", "tipo"])
"""Headers that name set kinds only where their cells do: a type can be of exercise or of day."""

SHOWS = 0.6
"""Share of a column's cells that must read as something before the column is taken for it."""

SAMPLE_ROWS = 400


@dataclass
class SetPlaces:
    """Where one set (or one cell of sets) of a wide row stands, and what its header says."""

    places: dict[str, int]
    fixed: dict[str, str] = field(default_factory=dict)


@dataclass
class Columns:
    """Where everything stands in a row.

    Attributes
    ----------
    single
        Contract column -> positions, the first that is filled counts.
    sets
        For wide logs, one for each set of a row. `fixed` holds the date or exercise where
        those stand side by side in the header.
    units
        Position -> unit that the header names.
    ignored, unknown
        Headers that are known but not needed, and headers that are not known.
    said
        What was taken for granted, a sentence each.
    """

    single: dict[str, list[int]] = field(default_factory=dict)
    sets: list[SetPlaces] = field(default_factory=list)
    units: dict[int, str] = field(default_factory=dict)
    ignored: list[str] = field(default_factory=list)
    unknown: list[str] = field(default_factory=list)
    said: list[str] = field(default_factory=list)

    def has(self, column: str) -> bool:
        """Say whether a contract column is there in any form."""
        return column in self.single or any(column in s.places | s.fixed for s in self.sets)


def read_column_map(source: ColumnMap | Path | str | None) -> dict[str, list[str | int]]:
    """Return a column map as contract column -> headers (or positions from 1).

    Raises
    ------
    InputFileError
        When the TOML file cannot be read.
    UnknownNameError
        When it names a column that the kit does not have.
    """
    if source is None:
        return {}
    if isinstance(source, Path | str):
        path = Path(source)
        try:
            with path.open("rb") as file:
                loaded = tomllib.load(file)
        except OSError as fault:
            raise InputFileError(f"{path} cannot be read: {fault.strerror}.") from fault
        except (tomllib.TOMLDecodeError, UnicodeDecodeError) as fault:
            raise InputFileError(
                f'{path} is not TOML ({fault}); write lines such as load = "Gewicht (kg)".'
            ) from fault
        source = loaded.get("columns", loaded)
        if not isinstance(source, Mapping):
            raise InputFileError(
                f'{path}: [columns] must hold lines such as load = "Gewicht (kg)".'
            )
    known = [c for c in known_columns() if c != "ignored"]
    found: dict[str, list[str | int]] = {}
    for column, headers in source.items():
        if column not in known:
            raise UnknownNameError.among("column", column, known)
        listed = [headers] if isinstance(headers, str | int) else list(headers)
        if not all(isinstance(h, str | int) for h in listed):
            raise InputFileError(
                f"The column map says {column} = {headers!r}; it must be a header, a number or a list."
            )
        found[column] = listed
    return found


def assign(table: Table, given: Mapping[str, Sequence[str | int]]) -> Columns:
    """Say what each column of a table is.

    Raises
    ------
    MissingColumnError
        When the map names a header that the file does not have.
    """
    columns = Columns()
    headers = table.headers
    taken = _given(table, given, columns)
    cells = _Cells(table.rows)
    for position, header in enumerate(headers):
        if header.unit:
            columns.units[position] = header.unit
    _repeat_numbers(table, taken)
    wide: dict[int, SetPlaces] = {}
    lifts: dict[str, SetPlaces] = {}
    days: list[SetPlaces] = []
    for position, header in enumerate(headers):
        if position in taken:
            continue
        if header.number is not None and header.column in SET_COLUMNS:
            wide.setdefault(header.number, SetPlaces({})).places.setdefault(header.column, position)
            taken.add(position)
        elif (
            header.text.isdecimal()
            and len(header.text) <= 2
            and cells.share(position, _is_sets) >= SHOWS
        ):
            wide.setdefault(int(header.text), SetPlaces({})).places.setdefault("notation", position)
            taken.add(position)
        elif header.rest and header.column in SET_COLUMNS:
            group = lifts.setdefault(header.rest, SetPlaces({}, {"exercise": header.rest}))
            group.places.setdefault(header.column, position)
            taken.add(position)
        elif header.column is None and header.text and looks_like_date(header.text):
            days.append(SetPlaces({"notation": position}, {"date": header.text}))
    if len(days) > 1:
        taken.update(d.places["notation"] for d in days)
        columns.sets.extend(days)
    columns.sets.extend(wide[number] for number in sorted(wide))
    columns.sets.extend(lifts.values())
    _singles(table, columns, taken, cells)
    _from_cells(table, columns, cells)
    return columns


class _Cells:
    """The filled cells of a column, from a sample of the rows."""

    def __init__(self, rows: list[Row]) -> None:
        step = max(1, len(rows) // SAMPLE_ROWS)
        self._rows = rows[: SAMPLE_ROWS // 2] + rows[SAMPLE_ROWS // 2 :: step]

    def of(self, position: int) -> list[str]:
        return [
            r.cells[position].strip()
            for r in self._rows
            if position < len(r.cells) and not is_missing(r.cells[position])
        ]

    def share(self, position: int, test: Callable[[str], bool]) -> float:
        filled = self.of(position)
        return sum(map(test, filled)) / len(filled) if filled else 0.0


def _given(table: Table, given: Mapping[str, Sequence[str | int]], columns: Columns) -> set[int]:
    taken: set[int] = set()
    by_text = {h.text.strip(): i for i, h in reversed(list(enumerate(table.headers)))}
    by_tidy = {tidy(h.text): i for i, h in reversed(list(enumerate(table.headers)))}
    for column, names in given.items():
        positions = []
        for name in names:
            if name == "":
                continue
            if isinstance(name, int):
                position = name - 1 if 1 <= name <= max(len(table.headers), 1000) else None
            else:
                position = by_text.get(name.strip(), by_tidy.get(tidy(name)))
            if position is None:
                seen = ", ".join(repr(h.text) for h in table.headers[:20]) or "none"
                raise MissingColumnError(
                    f"{table.name}: the column map says {column} = {name!r}, but there is no such "
                    f"header; the headers are {seen}."
                )
            positions.append(position)
        taken.update(positions)
        if len(positions) > 1 and column in SET_COLUMNS:
            for number, position in enumerate(positions):
                while len(columns.sets) <= number:
                    columns.sets.append(SetPlaces({}))
                columns.sets[number].places[column] = position
        elif positions:
            columns.single[column] = positions
    if columns.sets:
        # A wide map is kept apart from headers that are numbered by themselves.
        table.headers = [
            Header(h.text) if i not in taken and h.number is not None else h
            for i, h in enumerate(table.headers)
        ]
    return taken


def _repeat_numbers(table: Table, taken: set[int]) -> None:
    """Count columns that repeat without a number: `kg, reps, kg, reps`."""
    free = [(i, h) for i, h in enumerate(table.headers) if i not in taken]
    plain = Counter(h.column for _, h in free if h.number is None and not h.rest)
    repeats = plain["reps"] > 1 or plain["notation"] > 1
    if not repeats:
        return
    seen: Counter[str] = Counter()
    for position, header in free:
        column = header.column
        if (
            column in SET_COLUMNS
            and header.number is None
            and not header.rest
            and plain[column] > 1
        ):
            seen[column] += 1
            table.headers[position] = Header(header.text, header.columns, header.unit, seen[column])


def _singles(table: Table, columns: Columns, taken: set[int], cells: _Cells) -> None:
    """Settle the columns that stand once, those with one meaning first."""
    free = [(i, h) for i, h in enumerate(table.headers) if i not in taken and h.text]
    for position, header in sorted(free, key=lambda pair: (len(pair[1].columns) != 1, pair[0])):
        candidates = [c for c in header.columns if c not in columns.single or c == "load"]
        column = _choose(header, candidates, position, columns, cells, table)
        if column is None:
            if header.text:
                columns.unknown.append(header.text)
        elif column == "ignored":
            columns.ignored.append(header.text)
        else:
            columns.single.setdefault(column, []).append(position)
            if header.was_near:
                columns.said.append(
                    f"{table.name}: the header {header.text!r} is read as {column}."
                )


def _choose(
    header: Header,
    candidates: list[str],
    position: int,
    columns: Columns,
    cells: _Cells,
    table: Table,
) -> str | None:
    if not candidates:
        return None
    if "unit" in candidates and len(candidates) > 1:
        is_unit = cells.share(position, lambda t: read_unit(t) is not None) >= SHOWS
        candidates = ["unit"] if is_unit else [c for c in candidates if c != "unit"]
    if "exercise" in candidates and "client" in candidates:
        # A header like "Name" names the lift, unless another column does.
        return "exercise"
    column = candidates[0]
    if column in ("set_order", "set_count"):
        return _set_number(position, column, columns, cells, table)
    if column == "set_kind" and tidy(header.text) in VAGUE_KINDS:
        return column if _shows_kinds(position, cells) else None
    if column == "notation" and cells.share(position, _is_sets) < SHOWS:
        return None
    return column


def _shows_kinds(position: int, cells: _Cells) -> bool:
    filled = cells.of(position)
    reader = KindReader(filled, "")
    return not filled or cells.share(position, lambda t: reader.read(t) is not None) >= SHOWS


def _set_number(
    position: int, column: str, columns: Columns, cells: _Cells, table: Table
) -> str | None:
    """Tell a set's number from a count of sets, and both from sets written out."""
    filled = cells.of(position)
    if not filled or tidy(table.headers[position].text) not in EITHER_WAY:
        return column
    whole = [int(t) for t in filled if t.isdecimal() and len(t) < 10]
    if len(whole) < SHOWS * len(filled):
        if cells.share(position, _is_sets) >= SHOWS:
            return "notation"
        if _shows_kinds(position, cells):
            return column if column == "set_order" else None
        return column
    steps = sum(b == a + 1 for a, b in pairwise(whole))
    counts_up = len(whole) > 1 and steps >= 0.3 * (len(whole) - 1) and min(whole) <= 1
    lift = columns.single.get("exercise") or [
        i for i, h in enumerate(table.headers) if "exercise" in h.columns
    ]
    day = columns.single.get("date") or [
        i for i, h in enumerate(table.headers) if h.column == "date"
    ]
    groups = Counter(
        tuple(r.cells[p].strip() if p < len(r.cells) else "" for p in (*day[:1], *lift[:1]))
        for r in table.rows[:2000]
        if position < len(r.cells) and r.cells[position].strip()
    )
    rows_per_group = sum(groups.values()) / max(len(groups), 1)
    found = column
    if column == "set_count" and counts_up and rows_per_group > 1.5:
        found = "set_order"
    if (
        column == "set_order"
        and not counts_up
        and rows_per_group < 1.2
        and sorted(whole)[len(whole) // 2] > 1
    ):
        found = "set_count"
    if found != column:
        text = table.headers[position].text
        meaning = "the number of each set" if found == "set_order" else "how many sets a row holds"
        columns.said.append(f"{table.name}: the column {text!r} is read as {meaning}.")
    return None if found in columns.single else found


def _is_sets(text: str) -> bool:
    try:
        return any(s.load is not None for s in parse_sets(text, load_first=True))
    except SetsRefused:
        return bool(re.search(r"[x×@*]|kg|lb", text))
    except Unreadable:
        return False


def _from_cells(table: Table, columns: Columns, cells: _Cells) -> None:
    """Where headers leave a gap, take columns whose cells show what they are."""
    has_sets = columns.has("notation") or columns.has("reps")
    headers = table.headers
    unknown = [i for i, h in enumerate(headers) if h.text in columns.unknown]
    if not columns.has("exercise") and columns.has("date") and not has_sets:
        lifts = [i for i in unknown if cells.of(i) and cells.share(i, _is_sets) >= SHOWS]
        for position in lifts:
            text = headers[position].text
            columns.sets.append(SetPlaces({"notation": position}, {"exercise": text}))
            columns.unknown.remove(text)
        if lifts:
            names = ", ".join(repr(headers[p].text) for p in lifts[:6])
            columns.said.append(f"{table.name}: the columns {names} are read as exercises.")
            return
        _whole_sessions(table, columns, cells)
        return
    if not has_sets:
        for position in unknown:
            if cells.share(position, _is_sets) >= SHOWS:
                text = headers[position].text
                columns.single["notation"] = [position]
                columns.unknown.remove(text)
                columns.said.append(
                    f"{table.name}: the column {text!r} is read as sets in short form."
                )
                break
    if any("date" in s.fixed for s in columns.sets) and not columns.has("exercise"):
        used = {p for s in columns.sets for p in s.places.values()}
        first = next((i for i in range(len(headers)) if i not in used), None)
        if first is not None and (
            not headers[first].text or headers[first].text in columns.unknown
        ):
            columns.single["exercise"] = [first]
            if headers[first].text in columns.unknown:
                columns.unknown.remove(headers[first].text)
            columns.said.append(f"{table.name}: the first column is read as the exercise.")


def _whole_sessions(table: Table, columns: Columns, cells: _Cells) -> None:
    """Take a column whose cells hold whole sessions: `Squat 100x5; Bench 80x8`."""
    for position, header in enumerate(table.headers):
        if position in columns.single["date"] or not cells.of(position):
            continue
        if cells.share(position, lambda t: lifts_of(t) is not None) < SHOWS:
            continue
        for column in [c for c, places in columns.single.items() if position in places]:
            del columns.single[column]
        columns.single["lifts"] = [position]
        columns.unknown = [t for t in columns.unknown if t != header.text]
        columns.said.append(
            f"{table.name}: the column {header.text!r} is read as exercises with their sets."
        )
        return


def require(table: Table, columns: Columns, *, has_dates: bool, has_exercises: bool) -> None:
    """Refuse a table without a needed column, naming the headers and what comes closest.

    Raises
    ------
    MissingColumnError
        When date, exercise, load or reps is to be found in no form.
    """
    missing = []
    for column in NEEDED:
        if columns.has(column) or (column in ("load", "reps") and columns.has("notation")):
            continue
        if column != "date" and columns.has("lifts"):
            continue
        if (column == "date" and has_dates) or (column == "exercise" and has_exercises):
            continue
        if column == "reps" and columns.has("reps_left"):
            continue
        if column in ("load", "reps") and _other_holds_both(table, columns, column):
            continue
        missing.append(column)
    if not missing:
        return
    column = missing[0]
    seen = [h.text for h in table.headers if h.text]
    near = closest(column, columns.unknown)
    hint = f" Closest: {', '.join(map(repr, near))}." if near else ""
    more = f" (also missing: {', '.join(missing[1:])})" if len(missing) > 1 else ""
    raise MissingColumnError(
        f"{table.name} has no column for {column}{more}. Its headers are "
        f"{', '.join(repr(s) for s in seen[:20])}.{hint} Rename a header ({words_for(column)}), or "
        f'name it with --columns FILE.toml that says {column} = "HEADER".'
    )


def _other_holds_both(table: Table, columns: Columns, column: str) -> bool:
    other = "reps" if column == "load" else "load"
    positions = columns.single.get(other, []) + [
        s.places[other] for s in columns.sets if other in s.places
    ]
    if not positions:
        return False
    return _Cells(table.rows).share(positions[0], _is_sets) >= SHOWS


def columns_toml(table_headers: Sequence[Header], columns: Columns) -> str:
    """Return what was recognised as a TOML file for `--columns`."""
    import json

    lines = [
        "# What each column of the log is: contract column = header in the log.",
        '# A list names one header for every set of a wide log; "" leaves a column out.',
        "",
        "[columns]",
    ]

    def shown(position: int) -> str:
        text = table_headers[position].text
        joined = sum(h.text == text for h in table_headers) > 1 or not text
        return str(position + 1) if joined else json.dumps(text, ensure_ascii=False)

    for column, positions in columns.single.items():
        lines.append(f"{column} = {shown(positions[0])}")
    if not any(s.fixed for s in columns.sets):
        for column in dict.fromkeys(c for s in columns.sets for c in s.places):
            listed = [shown(s.places[column]) for s in columns.sets if column in s.places]
            lines.append(f"{column} = [{', '.join(listed)}]")
    return "\n".join(lines) + "\n"


def unknown_sentence(name: str, columns: Columns) -> Iterable[str]:
    """Say which columns were left out because nothing is known of them."""
    if columns.unknown:
        shown = ", ".join(repr(t[:60]) for t in columns.unknown[:10])
        more = f" and {len(columns.unknown) - 10} more" if len(columns.unknown) > 10 else ""
        yield f"{name}: the columns {shown}{more} are not known and were left out."
