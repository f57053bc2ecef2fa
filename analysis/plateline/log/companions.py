"""The files beside the log: clients, check-ins and plan.

They are read with the log's own care (encodings, delimiters, headers in six languages, decimal
commas, dates). A row that cannot be read goes to where the caller collects rejected rows, with
its reason, and the rest is used; without such a place the file is refused in a sentence.
"""

from __future__ import annotations

import datetime as dt
import math
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path

import polars as pl

from plateline.errors import InputFileError, MissingColumnError
from plateline.log.dates import DateReader
from plateline.log.files import WORKBOOK_ENDINGS, decode, read_bytes
from plateline.log.headers import closest, read_header
from plateline.log.kinds import KindReader, fold_words
from plateline.log.numbers import DecimalMark, decimal_mark, is_missing, plain, read_number
from plateline.log.table import DELIMITERS, Row, split_rows
from plateline.log.values import POUND_KG, Unreadable, read_unit
from plateline.words import CHECKINS, CLIENTS, PLAN, REJECTED, Phase, Role, Schema

__all__ = ["read_checkins", "read_clients", "read_plan"]

SYNONYMS = "companions.csv"

LIGHTEST_KG, HEAVIEST_KG = 20.0, 400.0
"""Body masses outside this are a slip of the pen."""

_PHASES = {
    Phase.GAIN: "gain|gaining|bulk|bulking|lean bulk|mass|massing|surplus|build|aufbau|masse|zunehmen|"
    "überschuss|massephase|prise de masse|prise|volumen|ganar|superávit|massa|aumento|ganho|up",
    Phase.HOLD: "hold|holding|maintain|maintenance|maintaining|keep|stable|recomp|recomposition|halten|"
    "erhaltung|gleichgewicht|maintien|stabilisation|mantener|mantenimiento|mantenimento|"
    "mantenere|manter|manutenção",
    Phase.LOSE: "lose|losing|cut|cutting|deficit|diet|dieting|fat loss|weight loss|shred|mini cut|definition|"
    "diät|abnehmen|defizit|sèche|perte|perte de poids|déficit|perder|definición|definizione|"
    "perdere|dimagrimento|perda|definição|emagrecer|down",
}
_PHASE_WORDS = {
    fold_words(w): phase.value for phase, words in _PHASES.items() for w in words.split("|")
}
_SEX_WORDS = {
    fold_words(w): sex
    for sex, words in {
        "f": "f|female|woman|w|weiblich|frau|femme|féminin|mujer|femenino|donna|femmina|mulher|feminino",
        "m": "m|male|man|männlich|mann|homme|masculin|hombre|masculino|uomo|maschio|homem",
        "x": "x|d|diverse|divers|non-binary|nonbinary|nb|other|andere|autre|otro|altro|outro",
    }.items()
    for w in words.split("|")
}  # fmt: skip
_ROLE_WORDS = {
    fold_words(w): role.value
    for role, words in {
        Role.PROGRESSION: "progression|progress|main|main lift|primary|compound|hauptübung|progresión|"
        "progressione|progressão|principal|principale",
        Role.ACCESSORY: "accessory|accessories|assistance|secondary|isolation|supplementary|nebenübung|"
        "zubehör|hilfsübung|accessoire|accesorio|accessorio|acessório|complementare",
    }.items()
    for w in words.split("|")
}  # fmt: skip


@dataclass
class _Sheet:
    """A companion file as rows of text under the contract's columns."""

    name: str
    rows: list[tuple[Row, dict[str, str]]]
    units: dict[str, str] = field(default_factory=dict)
    mark: DecimalMark | None = None
    faults: list[tuple[str, int, str, str, str, str]] = field(default_factory=list)
    _row: Row = field(default_factory=lambda: Row(0, [], ""))

    def texts(self, column: str) -> list[str]:
        return [cells[column] for _, cells in self.rows if cells.get(column)]

    def fill(
        self, schema: Schema, read: Callable[[dict[str, str]], dict[str, object]]
    ) -> pl.DataFrame:
        """Read every row with `read`; rows that raise :class:`Unreadable` become faults."""
        good: list[dict[str, object]] = []
        for row, cells in self.rows:
            self._row = row
            try:
                good.append(read(cells))
            except Unreadable as fault:
                self.fault(fault)
        return pl.DataFrame(good, schema=schema, orient="row")

    def fault(self, fault: Unreadable, reason: str | None = None) -> None:
        """Keep a fault of the row that is being read."""
        column, value = fault.column or "row", fault.value or ""
        self.faults.append(
            (
                self.name,
                self._row.line,
                column,
                value[:200],
                reason or fault.reason,
                self._row.text[:2000],
            )
        )

    def close(self, rejected: list[pl.DataFrame] | None) -> None:
        """Hand faults over, or refuse the file when there is no place for them."""
        if not self.faults:
            return
        if rejected is not None:
            rejected.append(pl.DataFrame(self.faults, schema=REJECTED, orient="row"))
            return
        shown = " ".join(f"Line {f[1]}, {f[2]}: {f[4]}" for f in self.faults[:3])
        more = f" ({len(self.faults) - 3} more rows are at fault.)" if len(self.faults) > 3 else ""
        raise InputFileError(f"{self.name} cannot be read whole. {shown}{more}")


def read_clients(path: Path | str, *, rejected: list[pl.DataFrame] | None = None) -> pl.DataFrame:
    """Read the clients file.

    Parameters
    ----------
    path
        The file; only `client` is needed.
    rejected
        A list that takes a REJECTED frame of what cannot be read: a cell, which is then left
        empty, or the row where it names no client of its own. A unit always refuses the file,
        for loads would be read wrong. Left out, any fault refuses the file.

    Returns
    -------
    polars.DataFrame
        CLIENTS: `sex` f, m or x; `unit` kg or lb; `phase` gain, hold or lose;
        `load_step_kg` in kg; `equipment` a list.

    Raises
    ------
    InputFileError
        When the file, or a row of it, cannot be read, or a client stands in it twice.
    MissingColumnError
        When it has no client column.
    """
    sheet = _read_sheet(Path(path), CLIENTS, ("client",))
    seen: set[str] = set()

    def soft(cells: dict[str, str], column: str, reader: Callable[[], object]) -> object:
        try:
            return reader()
        except Unreadable as fault:
            if rejected is None:
                raise
            sheet.fault(fault, f"{fault.reason} The cell was left empty.")
            del cells[column]
            return None

    def read(cells: dict[str, str]) -> dict[str, object]:
        client = _text(cells, "client")
        if client is None:
            raise Unreadable("The row names no client; write whose it is.", "client", "")
        if client in seen:
            raise Unreadable(
                f"The client {client!r} stands in the file twice; keep one row.", "client", client
            )
        try:
            unit = _unit(cells)
        except Unreadable as fault:
            raise InputFileError(f"{sheet.name}, client {client!r}: {fault.reason}") from None
        seen.add(client)

        def number(column: str, low: float, high: float) -> Callable[[], float | None]:
            return lambda: _number(sheet, cells, column, low, high)

        step = soft(cells, "load_step_kg", number("load_step_kg", 0.05, 50))
        if isinstance(step, float) and sheet.units.get("load_step_kg") == "lb":
            step *= POUND_KG
        parts = re.split(r"[;|]", cells.get("equipment", ""))
        parts = parts if len(parts) > 1 else cells.get("equipment", "").split(",")
        words = {
            "sex": (_SEX_WORDS, "f, m or x"),
            "phase": (_PHASE_WORDS, "gain, hold or lose"),
        }
        read_words = {
            column: soft(cells, column, partial(_word, cells, column, *accepted))
            for column, accepted in words.items()
        }
        return read_words | {
            "client": client,
            "name": _text(cells, "name"),
            "birth_year": soft(cells, "birth_year", partial(_birth_year, cells)),
            "unit": unit,
            "goal": _text(cells, "goal"),
            "training_age_years": soft(
                cells, "training_age_years", number("training_age_years", 0, 90)
            ),
            "load_step_kg": step,
            "equipment": [p.strip() for p in parts if p.strip()],
        }

    frame = sheet.fill(CLIENTS, read)
    sheet.close(rejected)
    return frame


def read_checkins(
    path: Path | str,
    *,
    client: str | None = None,
    unit: str | None = None,
    client_units: Mapping[str, str] | None = None,
    date_order: str | None = None,
    today: dt.date | None = None,
    rejected: list[pl.DataFrame] | None = None,
) -> pl.DataFrame:
    """Read the check-ins file.

    Parameters
    ----------
    path
        The file; only `date` is needed, and `client` where `client` is not given.
    client
        The client of rows that name none (`me` where left out).
    unit, client_units
        Unit of body masses that neither header, unit column nor cell gives: the client's, then
        `unit`, then kg.
    date_order, today
        As for logs.
    rejected
        A list that takes a REJECTED frame of the rows that cannot be read; left out, such a
        row refuses the file.

    Returns
    -------
    polars.DataFrame
        CHECKINS, sorted by client and date; `body_mass_kg` in kg, ratings 1 to 7, RPE 0 to 10.

    Raises
    ------
    InputFileError
        When the file, or a row of it, cannot be read.
    MissingColumnError
        When it has no date column.
    AmbiguousDateError
        When nothing settles day and month.
    """
    schema = CHECKINS | {"body_mass": pl.String, "unit": pl.String}
    sheet = _read_sheet(Path(path), schema, ("date",))
    dates = DateReader(
        sheet.texts("date"), sheet.name, today=today or dt.date.today(), order=date_order
    )

    def read(cells: dict[str, str]) -> dict[str, object]:
        day = _day(dates, cells, "date", needed=True)
        who = _text(cells, "client") or client or "me"
        found: dict[str, object] = {"client": who, "date": day, "note": _text(cells, "note")}
        found["body_mass_kg"] = _body_mass(sheet, cells, (client_units or {}).get(who) or unit)
        for column, low, high in (
            ("sleep_h", 0, 24), ("sleep", 1, 7), ("stress", 1, 7), ("fatigue", 1, 7),
            ("soreness", 1, 7), ("energy_kcal", 0, 20_000), ("protein_g", 0, 1_000),
            ("session_rpe", 0, 10), ("session_min", 0, 1_440),
        ):  # fmt: skip
            found[column] = _number(sheet, cells, column, low, high)
        return found

    frame = sheet.fill(CHECKINS, read)
    sheet.close(rejected)
    return frame.sort("client", "date", maintain_order=True)


def read_plan(
    path: Path | str,
    *,
    date_order: str | None = None,
    today: dt.date | None = None,
    rejected: list[pl.DataFrame] | None = None,
) -> pl.DataFrame:
    """Read the plan file.

    Parameters
    ----------
    path
        The file; `client` and `exercise` are needed. `reps` such as `8-10` may stand for
        `reps_low` and `reps_high`.
    date_order, today
        As for logs; a block may start up to a year from now.
    rejected
        A list that takes a REJECTED frame of the rows that cannot be read; left out, such a
        row refuses the file.

    Returns
    -------
    polars.DataFrame
        PLAN; `role` progression or accessory, `set_kind` working where none is given.

    Raises
    ------
    InputFileError
        When the file, or a row of it, cannot be read.
    MissingColumnError
        When a needed column is not there.
    AmbiguousDateError
        When nothing settles day and month.
    """
    sheet = _read_sheet(Path(path), PLAN | {"reps": pl.String}, ("client", "exercise"))
    latest = (today or dt.date.today()) + dt.timedelta(days=366)
    dates = DateReader(sheet.texts("start"), sheet.name, today=latest, order=date_order)
    kinds = KindReader(dict.fromkeys(sheet.texts("set_kind")), sheet.name)

    def read(cells: dict[str, str]) -> dict[str, object]:
        kind = kinds.read(cells.get("set_kind"))
        if kind is None:
            raise Unreadable(
                f"The set kind {cells['set_kind']!r} is not known; write working, warm-up, top, back-off "
                "or drop.", "set_kind", cells["set_kind"],
            )  # fmt: skip
        client, exercise = _text(cells, "client"), _text(cells, "exercise")
        if client is None or exercise is None:
            empty = "client" if client is None else "exercise"
            raise Unreadable(f"The row names no {empty}; write its name.", empty, "")
        low, high = _rep_range(sheet, cells)
        return {
            "client": client,
            "block": _text(cells, "block"),
            "start": _day(dates, cells, "start", needed=False),
            "weeks": _whole(sheet, cells, "weeks", 1, 104),
            "session": _text(cells, "session"),
            "exercise": exercise,
            "role": _word(cells, "role", _ROLE_WORDS, "progression or accessory"),
            "set_kind": kind.value,
            "sets": _whole(sheet, cells, "sets", 1, 50),
            "reps_low": low,
            "reps_high": high,
            "rir": _number(sheet, cells, "rir", 0, 30),
            "superset": _text(cells, "superset"),
        }

    frame = sheet.fill(PLAN, read)
    sheet.close(rejected)
    return frame


def _read_sheet(path: Path, schema: Schema, needed: Sequence[str]) -> _Sheet:
    name = path.name
    data = read_bytes(path)
    if path.suffix.lower() in WORKBOOK_ENDINGS:
        from plateline.log.workbook import read_workbook

        tables = read_workbook(path, name)
        options = [[*t.above, *([t.header_row] if t.header_row else []), *t.rows] for t in tables]
    else:
        text = decode(data, name).text
        options = [split_rows(text, delimiter) for delimiter in DELIMITERS]
    best: tuple[int, int, list[Row]] = (-1, 0, [])
    for rows in options:
        for position, row in enumerate(rows[:20]):
            known = len({c for c in (_column(t, schema) for t in row.cells) if c})
            if known > best[0]:
                best = (known, position, rows)
    _, position, rows = best
    header = rows[position] if rows else Row(1, [], "")
    columns = [_column(t, schema) for t in header.cells]
    for column in needed:
        if column not in columns:
            seen = [c.strip() for c in header.cells if c.strip()][:20]
            near = closest(column, seen, SYNONYMS)
            hint = f" Closest: {', '.join(map(repr, near))}." if near else ""
            raise MissingColumnError(
                f"{name} has no column {column}; its headers are {', '.join(map(repr, seen))}.{hint}"
            )
    units = {
        c: u for t, c in zip(header.cells, columns, strict=True)
        if c and (u := read_header(t.strip(), SYNONYMS).unit)
    }  # fmt: skip
    filled: list[tuple[Row, dict[str, str]]] = []
    for row in rows[position + 1 :]:
        cells: dict[str, str] = {}
        for column, cell in zip(columns, row.cells, strict=False):
            if column and column not in cells and not is_missing(cell):
                cells[column] = cell.strip()
        if cells:
            filled.append((row, cells))
    numbers = [
        plain(t) for _, cells in filled for c, t in cells.items() if schema.get(c) == pl.Float64
    ]
    numbers += [plain(cells["body_mass"]) for _, cells in filled if "body_mass" in cells]
    return _Sheet(name, filled, units, decimal_mark(numbers))


def _column(text: str, schema: Schema) -> str | None:
    """Return the column of this file that a header names."""
    return next((c for c in read_header(text.strip(), SYNONYMS).columns if c in schema), None)


def _text(cells: Mapping[str, str], column: str) -> str | None:
    text = re.sub(
        r"\s+", " ", plain(cells.get(column, "")) if column != "note" else cells.get(column, "")
    )
    return text.strip() or None


def _number(
    sheet: _Sheet, cells: Mapping[str, str], column: str, low: float, high: float
) -> float | None:
    text = cells.get(column)
    if text is None:
        return None
    shown = re.sub(
        r"(?<=\d) ?(?:kg|lbs?|h|hrs?|g|kcal|min|/ ?(?:7|10))$", "", plain(text).casefold()
    )
    clock = re.fullmatch(r"(\d{1,2})[:h](\d{2})", shown) if column == "sleep_h" else None
    number = (
        int(clock.group(1)) + int(clock.group(2)) / 60 if clock else read_number(shown, sheet.mark)
    )
    between = re.fullmatch(r"(\d+) ?- ?(\d+)", shown) if column == "rir" else None
    if between:
        number = (int(between.group(1)) + int(between.group(2))) / 2
    if number is None or not math.isfinite(number) or not low <= number <= high:
        raise Unreadable(
            f"{text!r} is no number from {low:g} to {high:g}; correct it or leave the cell empty.",
            column,
            text,
        )
    return float(number)


def _whole(sheet: _Sheet, cells: Mapping[str, str], column: str, low: int, high: int) -> int | None:
    number = _number(sheet, cells, column, low, high)
    if number is not None and number % 1:
        raise Unreadable(
            f"{cells[column]!r} is not a whole number; write one.", column, cells[column]
        )
    return None if number is None else int(number)


def _word(
    cells: Mapping[str, str], column: str, words: Mapping[str, str], accepted: str
) -> str | None:
    text = cells.get(column)
    if text is None:
        return None
    found = words.get(fold_words(text))
    if found is None:
        raise Unreadable(f"The {column} {text!r} is not known; write {accepted}.", column, text)
    return found


def _unit(cells: Mapping[str, str]) -> str | None:
    text = cells.get("unit")
    if text is None:
        return None
    found = read_unit(text)
    if found is None:
        raise Unreadable(f"The unit {text!r} is not known; write kg or lb.", "unit", text)
    return found


def _birth_year(cells: Mapping[str, str]) -> int | None:
    text = cells.get("birth_year")
    if text is None:
        return None
    years = re.findall(r"(?<!\d)(?:19|20)\d{2}(?!\d)", text)
    if len(years) != 1:
        raise Unreadable(f"{text!r} is no year of birth; write it like 1990.", "birth_year", text)
    return int(years[0])


def _body_mass(sheet: _Sheet, cells: Mapping[str, str], fallback: str | None) -> float | None:
    column = "body_mass" if "body_mass" in cells else "body_mass_kg"
    text = cells.get(column)
    if text is None:
        return None
    own = re.search(r"(kg|lbs?)\s*$", text.casefold())
    unit = read_unit(own.group(1)) if own else None
    if column == "body_mass_kg":
        unit = unit or "kg"
    unit = unit or sheet.units.get("body_mass") or _unit(cells) or fallback or "kg"
    number = _number(sheet, cells, column, 0, 2000) or 0.0
    mass = number * POUND_KG if unit == "lb" else number
    if not LIGHTEST_KG <= mass <= HEAVIEST_KG:
        raise Unreadable(
            f"A body mass of {mass:.1f} kg ({text!r}, in {unit}) cannot be; correct it or its unit.",
            column, text,
        )  # fmt: skip
    return mass


def _day(
    dates: DateReader, cells: Mapping[str, str], column: str, *, needed: bool
) -> dt.date | None:
    text = cells.get(column)
    if text is None:
        if needed:
            raise Unreadable("The row has no date; write it like 2026-03-25.", column, "")
        return None
    day, _, reason = dates.read(text)
    if reason is not None:
        raise Unreadable(reason, column, text)
    return day


def _rep_range(sheet: _Sheet, cells: Mapping[str, str]) -> tuple[int | None, int | None]:
    """Return the lowest and highest reps of a plan row, from two columns or from `8-10`."""
    low = _whole(sheet, cells, "reps_low", 1, 1000)
    high = _whole(sheet, cells, "reps_high", 1, 1000)
    text = cells.get("reps")
    if text is not None and low is None and high is None:
        found = re.fullmatch(r"(\d+)(?: ?(?:-|to|bis|à|a) ?(\d+))?", plain(text))
        if not found:
            raise Unreadable(f"{text!r} is no range of reps; write it like 8-10.", "reps", text)
        low, high = int(found.group(1)), int(found.group(2) or found.group(1))
    low, high = low if low is not None else high, high if high is not None else low
    if low is not None and high is not None and low > high:
        raise Unreadable(
            f"The reps run from {low} down to {high}; swap them.", "reps_low", str(low)
        )
    return low, high
