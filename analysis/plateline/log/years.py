"""Which year dates without one are of, where a file names one and its days run over a new year.

A log kept from autumn to spring says `16.12.` and then `06.01.` below one year. Only what the
file shows settles which of the two is of that year: a title with both (`2025/26`), weekdays
beside the dates, or that one reading would lie in the future. Otherwise the file is refused.
"""

from __future__ import annotations

import datetime as dt
import re
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import NamedTuple

from plateline.errors import AmbiguousDateError

__all__ = ["Turn", "Yearless", "named_years", "settled_years"]

HALF_A_YEAR = 182
"""Days of the calendar between neighbours of a log, beyond which a new year lies between them."""

LEAP_YEAR = 2000
"""A year that has every day of the calendar."""

LAST_PLACE = 366
"""The place of its last day."""


class Turn(NamedTuple):
    """A date as the file has it, in its turn: whose, its text, and the exercise done on it."""

    client: str
    text: str
    exercise: str


class Yearless(NamedTuple):
    """A day without its year, and the weekday that stands beside it, if one does (0 is Monday)."""

    month: int
    day: int
    weekday: int | None = None

    def of(self, year: int) -> dt.date | None:
        """Return the day in a year, None where that year has no such day."""
        try:
            return dt.date(year, self.month, self.day)
        except ValueError:
            return None

    @property
    def place(self) -> int:
        """The place of the day in the calendar."""
        day = self.of(LEAP_YEAR)
        return day.timetuple().tm_yday if day else 0


@dataclass
class _Log:
    """The days of one client in the order in which they first occur, with what was done on each."""

    texts: list[str] = field(default_factory=list)
    lifts: dict[str, set[str]] = field(default_factory=lambda: defaultdict(set))


def named_years(text: str) -> tuple[int, ...]:
    """Return the year that a title names, or both of a season: `2025/26`, `2025-2026`."""
    season = re.search(r"(?<!\d)(20\d\d) ?[/–-] ?(?:20)?(\d\d)(?![\d/.–-])", text)
    if season and (int(season.group(1)) + 1) % 100 == int(season.group(2)):
        return int(season.group(1)), int(season.group(1)) + 1
    years = {int(y) for y in re.findall(r"(?<!\d)(20\d{2}|19[5-9]\d)(?!\d)", text)}
    return (years.pop(),) if len(years) == 1 else ()


def settled_years(
    turns: Iterable[Turn],
    days: Mapping[str, Yearless],
    named: Sequence[int],
    today: dt.date,
    name: str,
) -> dict[str, int]:
    """Return the year of every date without one.

    Parameters
    ----------
    turns
        All dates of the file, in its order.
    days
        Those without a year, by their text.
    named
        The year that the file names, or the two of a season.
    today
        No day can lie after it.
    name
        The file, for the refusal.

    Raises
    ------
    AmbiguousDateError
        When the days run over a new year and nothing settles which year they begin in.
    """
    logs: dict[str, _Log] = defaultdict(_Log)
    for turn in turns:
        if turn.text in days:
            log = logs[turn.client]
            if turn.text not in log.lifts:
                log.texts.append(turn.text)
            log.lifts[turn.text].add(turn.exercise)
    breaks = [
        (log.texts[:i], log.texts[i:]) for log in logs.values() for i in _new_years(log, days)
    ]
    if not breaks and len(named) == 1:
        return dict.fromkeys(days, named[0])
    halves = _halves(breaks, days) if breaks else _season(days)
    starts = named[:1] if len(named) > 1 else (named[0] - 1, named[0])
    late, early = halves or ([], [])
    readings = [dict.fromkeys(late, start) | dict.fromkeys(early, start + 1) for start in starts]
    possible = [r for r in readings if r and _can_be(r, days, today)]
    fitting = [r for r in possible if _weekdays_fit(r, days)] or possible
    if len(fitting) != 1:
        raise _open(name, days, breaks, named)
    return fitting[0]


def _new_years(log: _Log, days: Mapping[str, Yearless]) -> list[int]:
    """Return where a log goes over a new year: the calendar starts again, for the same exercises.

    A log sorted by exercise starts again as well, but with an exercise that was not there before.
    """
    steps = [days[b].place - days[a].place for a, b in pairwise(log.texts)]
    small = [s for s in steps if abs(s) <= HALF_A_YEAR]
    is_upward = sum(s > 0 for s in small) >= sum(s < 0 for s in small)
    found = []
    for position, step in enumerate(steps, 1):
        if (step < -HALF_A_YEAR) if is_upward else (step > HALF_A_YEAR):
            before = set().union(*(log.lifts[t] for t in log.texts[:position]))
            after = set().union(*(log.lifts[t] for t in log.texts[position:]))
            if before & after:
                found.append(position)
    return found


def _halves(
    breaks: Sequence[tuple[list[str], list[str]]], days: Mapping[str, Yearless]
) -> tuple[list[str], list[str]] | None:
    """Part all days into those before a new year and those after it; None where they mix."""
    least_late, most_early = LAST_PLACE, 0
    for parts in breaks:
        early, late = sorted(parts, key=lambda texts: max(days[t].place for t in texts))
        least_late = min(least_late, *(days[t].place for t in late))
        most_early = max(most_early, *(days[t].place for t in early))
    between = [t for t in days if most_early < days[t].place < least_late]
    if most_early >= least_late or between:
        return None
    return (
        [t for t in days if days[t].place >= least_late],
        [t for t in days if days[t].place <= most_early],
    )


def _season(days: Mapping[str, Yearless]) -> tuple[list[str], list[str]] | None:
    """Part the days of a season that does not itself go over a new year: one half is empty."""
    late = [t for t in days if days[t].place > HALF_A_YEAR]
    early = [t for t in days if days[t].place <= HALF_A_YEAR]
    return None if late and early else (late, early)


def _can_be(reading: Mapping[str, int], days: Mapping[str, Yearless], today: dt.date) -> bool:
    return all((day := days[t].of(year)) is None or day <= today for t, year in reading.items())


def _weekdays_fit(reading: Mapping[str, int], days: Mapping[str, Yearless]) -> bool:
    beside = [(days[t].of(year), days[t].weekday) for t, year in reading.items()]
    told = [(day, weekday) for day, weekday in beside if weekday is not None]
    return bool(told) and all(d is not None and d.weekday() == weekday for d, weekday in told)


def _open(
    name: str,
    days: Mapping[str, Yearless],
    breaks: Sequence[tuple[list[str], list[str]]],
    named: Sequence[int],
) -> AmbiguousDateError:
    shown = f"such as {next(iter(days))!r}"
    if breaks:
        before, after = breaks[0]
        shown = f"that run over a new year ({before[-1]!r}, then {after[0]!r})"
    return AmbiguousDateError(
        f"{name} has dates without a year {shown}, and naming {' and '.join(map(str, named))} does not settle "
        "the year of each. Write the year with each date, or on a line of its own where it changes."
    )
