"""How pictures write days, spans, numbers and counts."""

from __future__ import annotations

import datetime as dt

__all__ = ["counted", "day", "number", "span"]


def day(when: dt.date) -> str:
    """Return a day as a person writes it: `3 May 2026`."""
    return f"{when.day} {when:%B %Y}"


def span(first: dt.date, last: dt.date) -> str:
    """Return two days as a span: `3 January to 30 May 2026`."""
    if first.year == last.year:
        return f"{first.day} {first:%B} to {day(last)}"
    return f"{day(first)} to {day(last)}"


def number(value: float) -> str:
    """Return a number with at most one decimal, or three digits where it is large."""
    rounded = round(value, 1) if abs(value) < 1000 else round(value)
    return f"{rounded:,.1f}".removesuffix(".0")


def counted(count: int, one: str, many: str = "") -> str:
    """Return a count with its noun: `1 session`, `4 sessions`."""
    return f"{count:,} {one if count == 1 else many or one + 's'}"
