"""The month of a report: which one, where it starts and ends, how it is called."""

from __future__ import annotations

import datetime as dt

import polars as pl

from plateline.errors import NoResultError, UsageError

__all__ = ["as_month", "last_full_month", "month_end", "month_name", "previous_month"]

# A log seldom ends on the very last day of a month. With at most this many days missing the
# month counts as full: few people train more often than every fourth or fifth day.
DAYS_THAT_MAY_BE_MISSING = 4

_NAMES = (
    "January", "February", "March", "April", "May", "June", "July",
    "August", "September", "October", "November", "December",
)  # fmt: skip


def as_month(month: dt.date | str | None) -> dt.date | None:
    """Return the first day of a month given as a date or as text like `2026-03`.

    Raises
    ------
    UsageError
        When the text is not a month.
    """
    if month is None or month == "":
        return None
    if isinstance(month, dt.date):
        return dt.date(month.year, month.month, 1)
    try:
        return dt.datetime.strptime(month, "%Y-%m").date()
    except (TypeError, ValueError):
        raise UsageError(f"{month!r} is not a month; write it like 2026-03.") from None


def previous_month(month: dt.date) -> dt.date:
    """Return the first day of the month before."""
    return (month.replace(day=1) - dt.timedelta(days=1)).replace(day=1)


def month_end(month: dt.date) -> dt.date:
    """Return the last day of a month."""
    return (month.replace(day=28) + dt.timedelta(days=4)).replace(day=1) - dt.timedelta(days=1)


def month_name(month: dt.date, *, year: bool = True) -> str:
    """Return a month as people write it: `March 2026`."""
    return f"{_NAMES[month.month - 1]} {month.year}" if year else _NAMES[month.month - 1]


def last_full_month(sets: pl.DataFrame) -> dt.date:
    """Return the first day of the last month that a log covers to its end.

    A month is covered when the log's last day is its last day, or at most four days before.
    A log that covers no month gives the month of its last day.

    Parameters
    ----------
    sets
        SETS, of one client or of many.

    Raises
    ------
    NoResultError
        When there is no set at all.
    """
    first, last = sets["date"].min(), sets["date"].max()
    if not isinstance(first, dt.date) or not isinstance(last, dt.date):
        raise NoResultError("The log holds no set that could be read, so there is no month.")
    month = last.replace(day=1)
    if (month_end(month) - last).days <= DAYS_THAT_MAY_BE_MISSING:
        return month
    before = previous_month(month)
    return before if first <= month_end(before) else month
