"""Numbers and dates as a person reads them: unit, sensible digits, interval.

Loads inside the kit are kilograms; here they become the client's own unit, once.
"""

from __future__ import annotations

import datetime as dt
import math
from dataclasses import dataclass

import polars as pl

from plateline.words import KG_PER_LB

__all__ = [
    "DASH",
    "MINUS",
    "NBSP",
    "Units",
    "count",
    "day",
    "day_range",
    "fixed",
    "interval",
    "is_far",
    "number",
    "percent",
    "share",
]

# The international avoirdupois pound (1959 agreement), exact by definition.

NBSP = "\u00a0"
MINUS = "\u2212"
DASH = "\u2013"
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")

Number = float | int | None


def _known(value: Number) -> bool:
    return value is not None and math.isfinite(value)


def number(value: Number, digits: int = 0, *, sign: bool = False) -> str:
    """Return a number with at most `digits` decimals, without trailing zeros; `?` if unknown."""
    if value is None or not math.isfinite(value):
        return "?"
    text = f"{abs(value):.{digits}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    if text == "0":
        return "0"
    if value < 0:
        return MINUS + text
    return f"+{text}" if sign else text


def fixed(value: Number, digits: int = 2) -> str:
    """Return a number with exactly `digits` decimals, for columns and ratios; `?` if unknown."""
    if value is None or not math.isfinite(value):
        return "?"
    text = f"{abs(value):.{digits}f}"
    return MINUS + text if value < 0 and float(text) else text


def percent(value: Number, digits: int = 1, *, sign: bool = False) -> str:
    """Return a percentage that is already in per cent, like `2.1 %`."""
    if value is None or not math.isfinite(value):
        return "?"
    text = f"{abs(value):.{digits}f}"
    if float(text) == 0:
        return f"{text}{NBSP}%"
    mark = MINUS if value < 0 else ("+" if sign else "")
    return f"{mark}{text}{NBSP}%"


def share(value: Number) -> str:
    """Return a probability or a share between 0 and 1 in whole per cent, never 0 or 100 by rounding."""
    if value is None or not math.isfinite(value):
        return "?"
    if 0 < value < 0.01:
        return f"under 1{NBSP}%"
    if 0.99 < value < 1:
        return f"over 99{NBSP}%"
    return f"{value * 100:.0f}{NBSP}%"


def interval(low: Number, high: Number, digits: int = 1, unit: str = "") -> str:
    """Return `1.2 to 3.0 kg`, both ends with the same digits."""
    if low is None or high is None or not (math.isfinite(low) and math.isfinite(high)):
        return "?"

    def end(value: float) -> str:
        text = f"{abs(value):.{digits}f}"
        return (MINUS if value < 0 and float(text) else "") + text

    tail = f"{NBSP}{unit}" if unit else ""
    return f"{end(low)} to {end(high)}{tail}"


def count(value: int, one: str, many: str | None = None) -> str:
    """Return a count with its noun: `1 set`, `4 sets`, `no sets`."""
    if value == 0:
        return f"no {many or one + 's'}"
    return f"{value:,}{NBSP}{one if value == 1 else many or one + 's'}"


def day(date: dt.date | None, *, year: bool = False) -> str:
    """Return a date as `12 May` or `12 May 2026`; `?` if unknown."""
    if date is None:
        return "?"
    text = f"{date.day}{NBSP}{_MONTHS[date.month - 1]}"
    return f"{text}{NBSP}{date.year}" if year else text


def day_range(first: dt.date | None, last: dt.date | None, *, year: bool = False) -> str:
    """Return `2 to 22 May` or `28 April to 3 May`, with the year or years where asked for."""
    if first is None or last is None:
        return "?"
    if first == last:
        return day(first, year=year)
    if (first.year, first.month) == (last.year, last.month):
        return f"{first.day} to {day(last, year=year)}"
    return f"{day(first, year=year and first.year != last.year)} to {day(last, year=year)}"


FAR_DAYS = 300
"""A day so long ago could be taken for one of this year, so its year is said."""


def is_far(date: dt.date, today: dt.date | None) -> bool:
    """Say whether a date needs its year, seen from another."""
    return today is not None and (today - date).days > FAR_DAYS


@dataclass(frozen=True)
class Units:
    """A client's own unit of load and body mass.

    Attributes
    ----------
    unit
        `kg` or `lb`.
    step_kg
        The client's own step of load, where the clients file gives one.
    """

    unit: str = "kg"
    step_kg: float | None = None

    @property
    def per_kg(self) -> float:
        """How many of the unit one kilogram is."""
        return 1 / KG_PER_LB if self.unit == "lb" else 1.0

    def of(self, kg: Number) -> float | None:
        """Return kilograms in the client's unit."""
        return None if kg is None or not math.isfinite(kg) else kg * self.per_kg

    def load(self, kg: Number, *, sign: bool = False) -> str:
        """Return a load that was or will be lifted, like `82.5 kg`: exact plates, no false digits."""
        return self._with_unit(self.load_number(kg, sign=sign))

    def load_number(self, kg: Number, *, sign: bool = False) -> str:
        """Return such a load without its unit."""
        value = self.of(kg)
        if value is None:
            return "?"
        # 0.45359237 kg is a pound: a load typed in pounds comes back as typed.
        return number(round(value, 2), 2 if self.unit == "kg" else 1, sign=sign)

    def estimate(self, kg: Number, *, sign: bool = False) -> str:
        """Return an estimated load, like `104 kg` or `42.5 kg`: three digits at most."""
        return self._with_unit(self.estimate_number(kg, sign=sign))

    def estimate_number(self, kg: Number, *, sign: bool = False) -> str:
        """Return such a load without its unit."""
        value = self.of(kg)
        if value is None:
            return "?"
        return number(value, 0 if abs(value) >= 100 else 1, sign=sign)

    def estimate_interval(self, low_kg: Number, high_kg: Number) -> str:
        """Return an interval of an estimated load, like `101 to 107 kg`."""
        low, high = self.of(low_kg), self.of(high_kg)
        digits = 1 if low is None or high is None or max(abs(low), abs(high)) < 100 else 0
        return interval(low, high, digits, self.unit)

    def load_interval(self, low_kg: Number, high_kg: Number) -> str:
        """Return an interval of loads on the client's own plates, like `80 to 85 kg`."""
        return f"{self.load_number(low_kg)} to {self.load(high_kg)}"

    def mass(self, kg: Number, *, sign: bool = False) -> str:
        """Return a body mass, like `81.4 kg`."""
        value = self.of(kg)
        return self._with_unit("?" if value is None else number(value, 1, sign=sign))

    def work(self, kg: Number) -> str:
        """Return a volume-load, like `12,400 kg`."""
        value = self.of(kg)
        return self._with_unit(
            "?" if value is None else f"{round(value, -2 if value >= 1e4 else 0):,.0f}"
        )

    def expression(self, column: str) -> pl.Expr:
        """Return a column of kilograms as an expression in the client's unit."""
        return pl.col(column) * self.per_kg

    def _with_unit(self, text: str) -> str:
        return text if text == "?" else f"{text}{NBSP}{self.unit}"
