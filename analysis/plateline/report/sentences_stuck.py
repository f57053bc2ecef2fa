"""The sentences on what stands still or falls: the second of the first screen."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from plateline.report.numbers import count, day, day_range, is_far, percent, share
from plateline.report.sentences import (
    change,
    how_sure,
    judged_lifts,
    kind_of,
    listed,
    opened,
    worded,
)
from plateline.words import State

__all__ = ["LOG_START_DAYS", "LONG", "since", "stuck"]

Row = Mapping[str, Any]


def stuck(lifts: Sequence[Row]) -> str:
    """Say which lifts stand still or fall, since when, and how sure that is."""
    judged = judged_lifts(lifts)
    if not judged:
        return ""
    falling = [row for row in judged if row["state"] == State.DECLINING]
    still = [row for row in judged if row["state"] == State.PLATEAU]
    unclear = [row for row in judged if row["state"] == State.UNCLEAR]
    told = _told(falling, _falls, "also falling", "p_declining")
    if any(map(_is_dieting, still)):
        told.append(_hold(still))
    else:
        told += _told(still, _stands, "also stuck", "p_plateau")
    if told:
        return " ".join(opened(f"{text}.") for text in told)
    tail = f"; {_unclear(unclear)}" if unclear else ""
    return f"No {kind_of(judged)} is stuck or falling{tail}."


PERHAPS_BELOW = 0.7
"""Up to this probability a further lift is only perhaps what it is called."""


def _told(rows: Sequence[Row], tell: Callable[[Row], str], also: str, p: str) -> list[str]:
    """Tell the first lift in full and the others by name, those that are not sure apart."""
    if not rows:
        return []
    first, *others = rows
    sure = [row for row in others if (row[p] or 0.0) >= PERHAPS_BELOW]
    perhaps = [row for row in others if (row[p] or 0.0) < PERHAPS_BELOW]
    more = f"; {also}: {_names(sure, p)}" if sure else ""
    told = [tell(first) + more]
    return [*told, f"perhaps {also}: {_names(perhaps, p)}"] if perhaps else told


NAMED_IN_SHORT = 3


def _names(rows: Sequence[Row], p: str) -> str:
    more = len(rows) - NAMED_IN_SHORT
    names = [f"{row['exercise']}{_in_short(row, p)}" for row in rows[:NAMED_IN_SHORT]]
    return listed([*names, f"{worded(more)} more"] if more > 0 else names)


def _in_short(row: Row, p: str) -> str:
    if "few sessions" in (row.get("context") or []):
        return " (few sessions)"
    sure = share(row[p]) if row[p] is not None else ""
    if row["state"] == State.DECLINING and row.get("change_pct") is not None:
        parts = [percent(row["change_pct"], sign=True), sure]
        return f" ({', '.join(part for part in parts if part)})"
    return f" ({sure})" if sure else ""


def _stands(row: Row) -> str:
    when = since(row) or "for as long as the log can tell"
    word, figure = how_sure(row["p_plateau"])
    return f"{row['exercise']} has not moved {when}, {word} a plateau{figure}{_though(row)}"


def _though(row: Row) -> str:
    """Own up to what speaks against a standstill: a best estimate of all time this month."""
    best = row.get("best_ever_date")
    return f", though {day(best)} brought its best estimate so far" if best else ""


def _hold(rows: Sequence[Row]) -> str:
    """Say the same of lifts whose client loses body mass: there it is a good sign, and short."""
    first, *others = rows
    if len(rows) > 2:
        names = f"{first['exercise']} and {worded(len(others))} more"
    else:
        names = listed([row["exercise"] for row in rows])
    word, _ = how_sure(min(row["p_plateau"] or 0.0 for row in rows))
    low, high = (share(row["p_plateau"] or 0.0) for row in (rows[-1], first))
    figure = high if low == high else f"{low.removesuffix('%').strip()} to {high}"
    verb = "holds" if len(rows) == 1 else "hold"
    if word.startswith("more"):  # "three more more likely" is hard to read
        return f"{names} {verb}, {word} ({figure})"
    return f"{names} {word} {verb} ({figure})"


def _is_dieting(row: Row) -> bool:
    return "diet phase" in (row.get("context") or [])


def _falls(row: Row) -> str:
    when = since(row)
    value = row.get("change_pct")
    amount = f" {change(row)} this month" if value is not None and value < 0 else ""
    tail = f" and has been falling {when}" if when else ""
    word, figure = how_sure(row["p_declining"])
    return f"{row['exercise']} is down{amount}{tail}, {word} a real decline{figure}"


def _unclear(rows: Sequence[Row]) -> str:
    more = [f"{worded(len(rows) - 3)} more"] if len(rows) > 3 else []
    names = listed([*(row["exercise"] for row in rows[:3]), *more])
    needed = [row["sessions_needed"] for row in rows if row.get("sessions_needed")]
    verb = "is" if len(rows) == 1 else "are"
    each = "would settle it" if len(rows) == 1 else "of each would settle them"
    settle = f": about {count(max(needed), 'more session')} {each}" if needed else ""
    return f"{names} {verb} not clear yet{settle}"


# A state that began within this of a lift's first session may be older than the log.
LOG_START_DAYS = 14


LONG = "for a year or longer"


def since(row: Row) -> str:
    """Say since when: `since about 12 May (2 to 22 May)`; empty if the log cannot tell."""
    date, first = row.get("since"), row.get("first_date")
    if row.get("is_long"):
        return LONG
    if date is None:
        return ""
    year = is_far(date, row.get("last_date"))
    if first is not None and (date - first).days <= LOG_START_DAYS:
        return f"for as long as it is in the log (from {day(first, year=year)})"
    if row.get("may_be_long"):
        return f"since about {day(date, year=year)} or longer"
    low, high = row.get("since_low"), row.get("since_high")
    if low is None or high is None or low == high:
        return f"since about {day(date, year=year)}"
    far = is_far(low, row.get("last_date"))
    return f"since about {day(date, year=year)} ({day_range(low, high, year=far)})"
