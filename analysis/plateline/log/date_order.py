"""The order of day and month that a whole file settles, and its dates read in it.

A numeric date such as 03/04/2026 can be read two ways. It is never guessed: one date of the
same file that can be read only one way settles the order (25/03/2026, or a weekday beside the
date), dates with dots are day-first wherever they are written so (common practice), and
otherwise the file is refused and the order asked for.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence

from plateline.errors import AmbiguousDateError
from plateline.log.dates import EARLIEST, FORMATS, Written, full_year, written
from plateline.log.years import Turn, Yearless, settled_years

__all__ = ["DateReader"]


class DateReader:
    """Reads the dates of one file, once the file has settled their order.

    Parameters
    ----------
    texts
        Every distinct date text of the file.
    name
        The file, for messages.
    order
        The order that the user gave, which settles everything.
    today
        Later dates are refused.
    years
        The year that the file names for dates without one, or the two of a season.
    turns
        All dates in the order of the file, which shows where a new year lies between them.

    Raises
    ------
    AmbiguousDateError
        When day and month can be told apart by nothing in the file.
    """

    def __init__(
        self,
        texts: Iterable[str],
        name: str,
        *,
        today: dt.date,
        order: str | None = None,
        years: Sequence[int] = (),
        turns: Iterable[Turn] = (),
    ) -> None:
        self.today = today
        year = self.year = years[0] if years else None
        self.assumptions: list[str] = []
        self._written = {text: written(text) for text in dict.fromkeys(texts)}
        self.order: str | None = order
        open_dates = {text: w for text, w in self._written.items() if w.parts is not None} | {
            text: w
            for text, w in self._written.items()
            if w.without_year is not None and w.without_year[1] > 0 and year is not None
        }
        if order is None and open_dates:
            self.order = self._settle(open_dates, name)
        elif order is not None and open_dates:
            words = {"dmy": "day first", "mdy": "month first", "ymd": "year first"}[order]
            self.assumptions.append(f"{name}: dates are read {words}, as you said.")
        self._years = self._settled_years(years, turns, name) if years else {}

    def read(self, text: str) -> tuple[dt.date | None, int | None, str | None]:
        """Return the day, the seconds since midnight where a time is given, and any fault."""
        found = self._written.get(text)
        if found is None:
            found = self._written.setdefault(text, written(text))
        if found.reason is not None:
            return None, None, found.reason
        day = found.day
        if found.without_year is not None:
            if self.year is None:
                return (
                    None,
                    None,
                    (
                        f"{text!r} has no year; write it like {FORMATS}, or name the year in the file's name or "
                        "in its first line."
                    ),
                )
            day = self._yearless(found).of(self._years.get(text, self.year))
        elif found.parts is not None:
            day = _in_order(found.parts, self.order or "dmy")
        if day is None:
            return None, None, f"{text!r} is a day that does not exist when read {self._words()}."
        if day > self.today:
            return (
                None,
                None,
                f"{text!r} is in the future (today is {self.today}); correct the date.",
            )
        if day < EARLIEST:
            return None, None, f"{text!r} is before {EARLIEST.year}; correct the date."
        return day, found.time_s, None

    def _yearless(self, found: Written) -> Yearless:
        """Return the month and day of a date without a year."""
        first, second = found.without_year or (0, 0)
        if second < 0:
            return Yearless(-second, first, found.weekday)
        day, month = (second, first) if self.order in ("mdy", "ymd") else (first, second)
        return Yearless(month, day, found.weekday)

    def _settled_years(
        self, years: Sequence[int], turns: Iterable[Turn], name: str
    ) -> dict[str, int]:
        """Settle the year of each date without one, and say so."""
        days = {t: self._yearless(w) for t, w in self._written.items() if w.without_year}
        if not days:
            return {}
        found = settled_years(turns, days, years, self.today, name)
        if len(set(found.values())) == 1:
            shown = f"are read as {next(iter(found.values()))}, the year named in the file"
        else:
            ends = {
                y: [t for t, year in found.items() if year == y]
                for y in sorted(set(found.values()))
            }
            parts = (f"{year} for {texts[0]!r} to {texts[-1]!r}" for year, texts in ends.items())
            shown = f"run over a new year, and are read as of {' and '.join(parts)}"
        self.assumptions.append(f"{name}: dates without a year {shown}.")
        return found

    def _words(self) -> str:
        return {"mdy": "month first", "ymd": "year first"}.get(self.order or "", "day first")

    def _settle(self, dates: dict[str, Written], name: str) -> str:
        votes: dict[str, str] = {}
        for text, date in dates.items():
            readings = _readings(date, self.year)
            if date.weekday is not None and len(set(readings.values())) > 1:
                fitting = {o: d for o, d in readings.items() if d.weekday() == date.weekday}
                readings = fitting or readings
            if len(readings) == 1:
                votes.setdefault(next(iter(readings)), text)
        if len(votes) > 1:
            examples = " and ".join(repr(t) for t in list(votes.values())[:2])
            raise AmbiguousDateError(
                f"{name} mixes orders of day and month ({examples}). Say which one counts with "
                "--date-order dmy or --date-order mdy; dates that do not fit are then rejected."
            )
        if _year_may_lead(dates):
            example = next(iter(dates))
            raise AmbiguousDateError(
                f"{name} has dates like {example!r}, which can start with the day or with the "
                "year. Say which with --date-order ymd, --date-order dmy or --date-order mdy."
            )
        if votes:
            order, example = next(iter(votes.items()))
            words = "day-first" if order == "dmy" else "month-first"
            self.assumptions.append(f"{name}: {words} dates, because {example!r} occurs.")
            return order
        unsure = [t for t, d in dates.items() if len(set(_readings(d, self.year).values())) > 1]
        if not unsure:
            return "dmy"
        if all(d.separator == "." for d in dates.values()):
            self.assumptions.append(
                f"{name}: day-first dates, because they are written with dots ({unsure[0]!r})."
            )
            return "dmy"
        raise AmbiguousDateError(
            f"{name} has dates like {unsure[0]!r}, and none shows whether the day or the month "
            "comes first. Say which with --date-order dmy or --date-order mdy."
        )


def _readings(date: Written, year: int | None) -> dict[str, dt.date]:
    found = {}
    for order in ("dmy", "mdy"):
        if date.parts is not None:
            day = _in_order(date.parts, order)
        else:
            first, second = date.without_year or (0, 0)
            d, m = (first, second) if order == "dmy" else (second, first)
            try:
                day = dt.date(year or 2000, m, d)
            except ValueError:
                day = None
        if day is not None:
            found[order] = day
    return found


def _in_order(parts: tuple[int, int, int], order: str) -> dt.date | None:
    a, b, c = parts
    if order == "ymd" and a < 100 and c >= 1000:
        order = "dmy"
    year, month, day = {"dmy": (c, b, a), "mdy": (c, a, b), "ymd": (a, b, c)}[order]
    try:
        return dt.date(full_year(year), month, day)
    except ValueError:
        return None


def _year_may_lead(dates: dict[str, Written]) -> bool:
    """Two-digit years that spread over years read day-first, but over weeks read year-first."""
    short = [d.parts for d in dates.values() if d.parts is not None and d.parts[2] < 100]
    if len(short) < 3:
        return False
    last = [full_year(p[2]) for p in short]
    first = [full_year(p[0]) for p in short]
    leads = [d for p in short if (d := _in_order(p, "ymd")) is not None]
    return len(leads) == len(short) and max(last) - min(last) > 3 and max(first) - min(first) <= 2
