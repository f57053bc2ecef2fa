"""The cells of the files beside a log."""

from __future__ import annotations

import datetime as dt
import math
import re
from collections.abc import Mapping
from functools import lru_cache

from plateline.log.companion_sheet import Sheet
from plateline.log.date_order import DateReader
from plateline.log.kinds import fold_words
from plateline.log.numbers import DecimalMark, plain, read_number
from plateline.log.value_reps import MOST_REPS
from plateline.log.values import Unreadable, read_unit
from plateline.words import KG_PER_LB

__all__ = [
    "read_birth_year",
    "read_body_mass",
    "read_day",
    "read_number_within",
    "read_rep_range",
    "read_text",
    "read_unit_cell",
    "read_whole",
    "read_word",
]


LIGHTEST_KG, HEAVIEST_KG = 20.0, 400.0
"""Body masses outside this are a slip of the pen."""


def read_text(cells: Mapping[str, str], column: str) -> str | None:
    """Return a text without surplus spaces; None for nothing."""
    text = cells.get(column)
    if text is None:
        return None
    return " ".join(text.split()) or None if column == "note" else _name(text)


# Cells of these files say the same over and over: a plan's sets, its reps, its names.
@lru_cache(maxsize=4096)
def _name(text: str) -> str | None:
    return re.sub(r"\s+", " ", plain(text)).strip() or None


def read_number_within(
    sheet: Sheet, cells: Mapping[str, str], column: str, low: float, high: float
) -> float | None:
    """Return a number between two bounds; None for nothing."""
    text = cells.get(column)
    if text is None:
        return None
    number = _number(text, column, sheet.mark)
    if number is None or not math.isfinite(number) or not low <= number <= high:
        raise Unreadable(
            f"{text!r} is no number from {low:g} to {high:g}; correct it or leave the cell empty.",
            column,
            text,
        )
    return float(number)


@lru_cache(maxsize=4096)
def _number(text: str, column: str, mark: DecimalMark | None) -> float | None:
    """Read a number with the units and ways of writing that its column allows."""
    shown = re.sub(
        r"(?<=\d) ?(?:kg|lbs?|h|hrs?|g|kcal|min|/ ?(?:7|10))$", "", plain(text).casefold()
    )
    if column == "sleep_h" and (clock := re.fullmatch(r"(\d{1,2})[:h](\d{2})", shown)):
        return int(clock.group(1)) + int(clock.group(2)) / 60
    if column == "rir" and (between := re.fullmatch(r"(\d+) ?- ?(\d+)", shown)):
        return (int(between.group(1)) + int(between.group(2))) / 2
    return read_number(shown, mark)


def read_whole(
    sheet: Sheet, cells: Mapping[str, str], column: str, low: int, high: int
) -> int | None:
    """Return a whole number between two bounds; None for nothing."""
    number = read_number_within(sheet, cells, column, low, high)
    if number is not None and number % 1:
        raise Unreadable(
            f"{cells[column]!r} is not a whole number; write one.", column, cells[column]
        )
    return None if number is None else int(number)


def read_word(
    cells: Mapping[str, str], column: str, words: Mapping[str, str], accepted: str
) -> str | None:
    """Return what a word stands for; None for nothing."""
    text = cells.get(column)
    if text is None:
        return None
    found = words.get(fold_words(text))
    if found is None:
        raise Unreadable(f"The {column} {text!r} is not known; write {accepted}.", column, text)
    return found


def read_unit_cell(cells: Mapping[str, str]) -> str | None:
    """Return the unit that the unit column names; None for nothing."""
    text = cells.get("unit")
    if text is None:
        return None
    found = read_unit(text)
    if found is None:
        raise Unreadable(f"The unit {text!r} is not known; write kg or lb.", "unit", text)
    return found


def read_birth_year(cells: Mapping[str, str]) -> int | None:
    """Return the year of a birth year or date; None for nothing."""
    text = cells.get("birth_year")
    if text is None:
        return None
    years = re.findall(r"(?<!\d)(?:19|20)\d{2}(?!\d)", text)
    if len(years) != 1:
        raise Unreadable(f"{text!r} is no year of birth; write it like 1990.", "birth_year", text)
    return int(years[0])


def read_body_mass(sheet: Sheet, cells: Mapping[str, str], fallback: str | None) -> float | None:
    """Return a body mass in kg; None for nothing."""
    column = "body_mass" if "body_mass" in cells else "body_mass_kg"
    text = cells.get(column)
    if text is None:
        return None
    own = re.search(r"(kg|lbs?)\s*$", text.casefold())
    unit = read_unit(own.group(1)) if own else None
    if column == "body_mass_kg":
        unit = unit or "kg"
    unit = unit or sheet.units.get("body_mass") or read_unit_cell(cells) or fallback or "kg"
    number = read_number_within(sheet, cells, column, 0, 2000) or 0.0
    mass = number * KG_PER_LB if unit == "lb" else number
    if not LIGHTEST_KG <= mass <= HEAVIEST_KG:
        raise Unreadable(
            f"A body mass of {mass:.1f} kg ({text!r}, in {unit}) cannot be; correct it or its unit.",
            column, text,
        )  # fmt: skip
    return mass


def read_day(
    dates: DateReader, cells: Mapping[str, str], column: str, *, needed: bool
) -> dt.date | None:
    """Return the day of a date cell; None for nothing."""
    text = cells.get(column)
    if text is None:
        if needed:
            raise Unreadable("The row has no date; write it like 2026-03-25.", column, "")
        return None
    day, _, reason = dates.read(text)
    if reason is not None:
        raise Unreadable(reason, column, text)
    return day


def read_rep_range(sheet: Sheet, cells: Mapping[str, str]) -> tuple[int | None, int | None]:
    """Return the lowest and highest reps of a plan row, from two columns or from `8-10`."""
    low = read_whole(sheet, cells, "reps_low", 1, MOST_REPS)
    high = read_whole(sheet, cells, "reps_high", 1, MOST_REPS)
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
