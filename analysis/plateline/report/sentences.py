"""The sentences of the first screen: whose month it is, and what moved.

Every sentence of the report comes from this module or one of its kin: `sentences_stuck`,
`sentences_way` (what stands in the way), `sentences_decisions`, `sentences_levers` and `sentences_targets` (next
month), `sentences_work` (work, plan, condition), `sentences_tables` (cells and captions),
`sentences_data` (data notes, methods, cautions) and `sentences_index`; nothing else in the
room puts words together. Each function takes rows of the results and returns plain text, which
the page escapes; none looks anything up or computes more than a choice of words.

Readers are the client and the coach at once, so nobody is addressed and nobody is `he` or
`she`. Probabilities are said in words and in figures, so that the word can be checked.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from typing import Any

from plateline.report.months import month_name, previous_month
from plateline.report.numbers import (
    Units,
    count,
    day_range,
    interval,
    percent,
    share,
)
from plateline.words import Phase, Role, State

__all__ = [
    "DECISION_LABEL",
    "NOTE_LABEL",
    "PHASES",
    "change",
    "change_in_unit",
    "how_sure",
    "in_figures",
    "judged_lifts",
    "kind_of",
    "listed",
    "moved",
    "opened",
    "subtitle",
    "worded",
]

Row = Mapping[str, Any]

_WORDS = (
    "no", "one", "two", "three", "four", "five", "six",
    "seven", "eight", "nine", "ten", "eleven", "twelve",
)  # fmt: skip

PHASES = {Phase.GAIN: "gaining", Phase.HOLD: "holding", Phase.LOSE: "losing"}


def worded(amount: int) -> str:
    """Return a small count as a word, a larger one in figures."""
    return _WORDS[amount] if 0 <= amount < len(_WORDS) else str(amount)


def listed(items: Sequence[str], last: str = "and") -> str:
    """Return `a`, `a and b` or `a, b and c`."""
    if len(items) < 2:
        return "".join(items)
    return f"{', '.join(items[:-1])} {last} {items[-1]}"


def opened(text: str) -> str:
    """Return a sentence with its first letter as a capital."""
    return text[:1].upper() + text[1:]


def how_sure(p: float | None) -> tuple[str, str]:
    """Return a probability as a word and a figure: `very probably` and ` (91 %)`."""
    if p is None:
        return "as far as can be told", ""
    if p >= 0.97:
        word = "almost certainly"
    elif p >= 0.85:
        word = "very probably"
    elif p >= 0.70:
        word = "probably"
    else:
        word = "more likely than not" if p > 0.5 else "perhaps"
    return word, f" ({share(p)})"


NOTE_LABEL = "From your coach"
DECISION_LABEL = "Decision."


def subtitle(facts: Row, month: dt.date, units: Units) -> str:
    """Say whose month it is: what was logged, the phase, the unit."""
    parts = []
    if facts.get("sessions_month"):
        parts.append(f"{count(facts['sets_month'], 'set')} logged")
    else:
        parts.append(f"Nothing logged in {month_name(month)}")
    if facts.get("phase"):
        parts.append(f"phase: {facts['phase']}")
    if facts.get("goal"):
        parts.append(f"goal: {facts['goal']}")
    parts.append(f"loads in {units.unit}")
    return "; ".join(parts) + "."


def in_figures(
    facts: Row, lifts: Sequence[Row], records: int, units: Units
) -> list[tuple[str, str]]:
    """Return the month in a few figures: what each is, and the figure."""
    judged = judged_lifts(lifts)
    states = [(state, sum(row["state"] == state for row in judged)) for state in State]
    told = [f"{amount} {state}" for state, amount in states if amount]
    pairs = [(f"{opened(kind_of(judged))}s", ", ".join(told) or "none trained")]
    logged, before = facts.get("sessions_month") or 0, facts.get("sessions_before") or 0
    pairs.append(("Sessions", f"{logged} logged; {before} the month before"))
    if facts.get("sessions_planned"):
        weeks = day_range(facts["plan_from"], facts["plan_to"])
        done = f"{facts['sessions_done']} of {facts['sessions_planned']}"
        pairs.append(("Plan", f"{done} sessions done, {weeks}"))
    pairs.append(("Records", f"{records or 'none'} on {kind_of(judged)}s"))
    if facts.get("mass_kg") is not None:
        rate = facts.get("mass_pct_week")
        tail = "" if rate is None else f", {percent(rate, 2, sign=True)} a week"
        pairs.append(("Body mass", f"{units.mass(facts['mass_kg'])}{tail}"))
    return pairs


# What moved ------------------------------------------------------------------------------


def change(row: Row) -> str:
    """Return a lift's change over the month: `2.1 % (1.2 to 3.0 %)`, without its direction."""
    value = row.get("change_pct")
    if value is None:
        return "by an amount that cannot be told yet"
    low, high = row.get("change_low"), row.get("change_high")
    if value < 0 and low is not None and high is not None:
        value, low, high = -value, -high, -low
        if low < 0:
            return f"{percent(value)} (from {percent(high)} down to {percent(-low)} up)"
    return f"{percent(value)} ({interval(low, high, 1, '%')})"


def change_short(row: Row) -> str:
    """Return a lift's change over the month with its interval: `+2.1 %, 1.2 to 3.0 %`."""
    value = row.get("change_pct")
    if value is None:
        return "amount not clear yet"
    low, high = row.get("change_low"), row.get("change_high")
    return f"{percent(value, sign=True)}, {interval(low, high, 1, '%')}"


def change_in_unit(row: Row, units: Units) -> str:
    """Return the month's change in the client's unit, like `+1.7 kg`; empty if unknown."""
    value, strength = row.get("change_pct"), row.get("strength_kg")
    if value is None or strength is None:
        return ""
    return units.estimate(strength * (1 - 1 / (1 + value / 100)), sign=True)


def moved(lifts: Sequence[Row], month: dt.date, units: Units) -> str:
    """Say which lifts moved up this month and by how much, against last month."""
    judged = judged_lifts(lifts)
    if not judged:
        return f"No lift was trained often enough in {month_name(month)} to say how it moved."
    up = sorted(
        (row for row in judged if row["state"] == State.PROGRESSING),
        key=lambda row: row.get("change_pct") or 0.0,
        reverse=True,
    )
    if not up:
        text = f"No {kind_of(judged)} moved clearly up in {month_name(month, year=False)}"
    elif len(up) <= NAMED_IN_FULL:
        told = [_amount(row, units, first=place == 0) for place, row in enumerate(up)]
        text = listed(told)
    else:
        some = "All" if len(up) == len(judged) else f"{opened(worded(len(up)))} of"
        told = [f"{row['exercise']} ({change_short(row)})" for row in up[:2]]
        text = f"{some} {worded(len(judged))} {kind_of(judged)}s are moving up, most of all {listed(told)}"
    return f"{opened(text)}.{_against_last_month(judged, up, month)}"


NAMED_IN_FULL = 3


def _amount(row: Row, units: Units, *, first: bool) -> str:
    verb = "is up " if first else ""
    unit = change_in_unit(row, units)
    value, low, high = row.get("change_pct"), row.get("change_low"), row.get("change_high")
    if value is None:
        return f"{row['exercise']} {'is moving up' if first else 'too'}"
    tail = f"; about {unit}" if unit else ""
    this_month = " this month" if first else ""
    return f"{row['exercise']} {verb}{percent(value)}{this_month} ({interval(low, high, 1, '%')}{tail})"


def _against_last_month(judged: Sequence[Row], up: Sequence[Row], month: dt.date) -> str:
    """Say how many were moving up a month ago; nothing where the log does not go back."""
    if not any(row.get("state_before") for row in judged):
        return ""
    earlier = month_name(previous_month(month), year=False)
    before = [row["exercise"] for row in judged if row.get("state_before") == State.PROGRESSING]
    if before and {row["exercise"] for row in up} == set(before):
        return (
            f" The same {'was' if len(before) == 1 else 'were'} moving up at the end of {earlier}."
        )
    verb = "was" if len(before) < 2 else "were"
    amount = "none" if not before else worded(len(before))
    return f" At the end of {earlier} {amount} {verb} moving up."


def kind_of(rows: Sequence[Row]) -> str:
    """Return what the lifts spoken of are called."""
    return "progression lift" if any(r["role"] == Role.PROGRESSION for r in rows) else "lift"


def judged_lifts(lifts: Sequence[Row]) -> list[Row]:
    """Return the lifts the first screen speaks of: progression lifts trained this month."""
    trained = [row for row in lifts if row["sessions_month"]]
    progression = [row for row in trained if row["role"] == Role.PROGRESSION]
    return progression or trained
