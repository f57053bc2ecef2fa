"""The files beside the log: clients, check-ins and plan.

They are read with the log's own care (encodings, delimiters, headers in six languages, decimal
commas, dates). A row that cannot be read goes to where the caller collects rejected rows, with
its reason, and the rest is used; without such a place the file is refused in a sentence.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Mapping
from pathlib import Path

import polars as pl

from plateline.errors import InputFileError
from plateline.log.companion_cells import (
    read_birth_year,
    read_body_mass,
    read_day,
    read_number_within,
    read_rep_range,
    read_text,
    read_unit_cell,
    read_whole,
    read_word,
)
from plateline.log.companion_sheet import Sheet, read_sheet
from plateline.log.companion_words import PHASE_WORDS, ROLE_WORDS, SEX_WORDS
from plateline.log.date_order import DateReader
from plateline.log.kinds import KindReader
from plateline.log.value_effort import HIGHEST_RIR
from plateline.log.values import MOST_COUNTED_SETS, Unreadable
from plateline.words import CHECKINS, CLIENTS, KG_PER_LB, PLAN

__all__ = ["read_checkins", "read_clients", "read_plan"]

LOAD_STEPS_KG = (0.05, 50.0)
"""Smallest and largest step between loads that can be meant, in the unit of its column."""

MOST_TRAINING_YEARS = 90

_RATINGS_AND_AMOUNTS = (
    ("sleep_h", 0, 24), ("sleep", 1, 7), ("stress", 1, 7), ("fatigue", 1, 7), ("soreness", 1, 7),
    ("energy_kcal", 0, 20_000), ("protein_g", 0, 1_000), ("session_rpe", 0, 10),
    ("session_min", 0, 1_440),
)  # fmt: skip
"""The numbers of a check-in, the lowest and the highest of each: a day's hours and minutes, the
items from 1 to 7, the rating of a session from 0 to 10, and what nobody eats in a day."""


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
    sheet = read_sheet(Path(path), CLIENTS, ("client",))
    seen: set[str] = set()

    def read(cells: dict[str, str]) -> dict[str, object]:
        client = read_text(cells, "client")
        if client is None:
            raise Unreadable("The row names no client; write whose it is.", "client", "")
        if client in seen:
            raise Unreadable(
                f"The client {client!r} stands in the file twice; keep one row.", "client", client
            )
        try:
            unit = read_unit_cell(cells)
        except Unreadable as fault:
            raise InputFileError(f"{sheet.name}, client {client!r}: {fault.reason}") from None
        seen.add(client)
        found: dict[str, object] = {"client": client, "unit": unit}
        for column, reader in _ABOUT_CLIENT.items():
            try:
                found[column] = reader(sheet, cells)
            except Unreadable as fault:
                if rejected is None:
                    raise
                sheet.fault(fault, f"{fault.reason} The cell was left empty.")
        return found

    frame = sheet.fill(CLIENTS, read)
    sheet.close(rejected)
    return frame


def _load_step_kg(sheet: Sheet, cells: Mapping[str, str]) -> float | None:
    step = read_number_within(sheet, cells, "load_step_kg", *LOAD_STEPS_KG)
    return step * KG_PER_LB if step and sheet.units.get("load_step_kg") == "lb" else step


def _equipment(_: Sheet, cells: Mapping[str, str]) -> list[str]:
    text = cells.get("equipment", "")
    parts = re.split(r"[;|]", text)
    return [p.strip() for p in (parts if len(parts) > 1 else text.split(",")) if p.strip()]


_ABOUT_CLIENT: dict[str, Callable[[Sheet, Mapping[str, str]], object]] = {
    "name": lambda _, cells: read_text(cells, "name"),
    "load_step_kg": _load_step_kg,
    "sex": lambda _, cells: read_word(cells, "sex", SEX_WORDS, "f, m or x"),
    "phase": lambda _, cells: read_word(cells, "phase", PHASE_WORDS, "gain, hold or lose"),
    "birth_year": lambda _, cells: read_birth_year(cells),
    "goal": lambda _, cells: read_text(cells, "goal"),
    "training_age_years": lambda sheet, cells: read_number_within(
        sheet, cells, "training_age_years", 0, MOST_TRAINING_YEARS
    ),
    "equipment": _equipment,
}
"""How each cell is read without which a client still counts."""


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
    sheet = read_sheet(Path(path), schema, ("date",))
    dates = DateReader(
        sheet.texts("date"), sheet.name, today=today or dt.date.today(), order=date_order
    )

    def read(cells: dict[str, str]) -> dict[str, object]:
        day = read_day(dates, cells, "date", needed=True)
        who = read_text(cells, "client") or client or "me"
        found: dict[str, object] = {"client": who, "date": day, "note": read_text(cells, "note")}
        found["body_mass_kg"] = read_body_mass(sheet, cells, (client_units or {}).get(who) or unit)
        for column, low, high in _RATINGS_AND_AMOUNTS:
            found[column] = read_number_within(sheet, cells, column, low, high)
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
    sheet = read_sheet(Path(path), PLAN | {"reps": pl.String}, ("client", "exercise"))
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
        client, exercise = read_text(cells, "client"), read_text(cells, "exercise")
        if client is None or exercise is None:
            empty = "client" if client is None else "exercise"
            raise Unreadable(f"The row names no {empty}; write its name.", empty, "")
        low, high = read_rep_range(sheet, cells)
        return {
            "client": client,
            "block": read_text(cells, "block"),
            "start": read_day(dates, cells, "start", needed=False),
            "weeks": read_whole(sheet, cells, "weeks", 1, 104),
            "session": read_text(cells, "session"),
            "exercise": exercise,
            "role": read_word(cells, "role", ROLE_WORDS, "progression or accessory"),
            "set_kind": kind.value,
            "sets": read_whole(sheet, cells, "sets", 1, MOST_COUNTED_SETS),
            "reps_low": low,
            "reps_high": high,
            "rir": read_number_within(sheet, cells, "rir", 0, HIGHEST_RIR),
            "superset": read_text(cells, "superset"),
        }

    frame = sheet.fill(PLAN, read)
    sheet.close(rejected)
    return frame
