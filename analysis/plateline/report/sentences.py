"""The sentences of the first screen: what happened, what is stuck, what stands in the way.

Every sentence of the report comes from this module, `sentences_next` (levers, targets,
decisions) or `sentences_data` (data notes, methods, cautions); nothing else in the room puts
words together. Each function takes rows of the results and returns plain text, which the
page escapes; none looks anything up or computes more than a choice of words.

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
    day,
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
    "listed",
    "moved",
    "since",
    "stuck",
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


def how_sure(p: float | None) -> str:
    """Return a probability as a word and a figure: `very probably (91 %)`."""
    if p is None:
        return "as far as can be told"
    if p >= 0.97:
        word = "almost certainly"
    elif p >= 0.85:
        word = "very probably"
    elif p >= 0.70:
        word = "probably"
    else:
        word = "more likely than not" if p > 0.5 else "perhaps"
    return f"{word} ({share(p)})"


NOTE_LABEL = "From your coach"
DECISION_LABEL = "Decision."


def subtitle(facts: Row, month: dt.date, units: Units) -> str:
    """Say whose month it is: what was logged, the phase, the unit."""
    parts = []
    sessions = facts.get("sessions_month") or 0
    if sessions:
        parts.append(
            f"{count(sessions, 'session')} and {count(facts['sets_month'], 'set')} logged "
            f"in {month_name(month)}"
        )
    else:
        parts.append(f"Nothing logged in {month_name(month)}")
    if facts.get("phase"):
        parts.append(f"body mass: {facts['phase']}")
    if facts.get("goal"):
        parts.append(f"goal: {facts['goal']}")
    parts.append(f"loads in {units.unit}")
    return "; ".join(parts) + "."


# What moved ------------------------------------------------------------------------------


def change(row: Row) -> str:
    """Return a lift's change over the month: `2.1 % (1.2 to 3.0 %)`, without its direction."""
    value = row.get("change_pct")
    if value is None:
        return "by an amount that cannot be told yet"
    low, high = row.get("change_low"), row.get("change_high")
    if value < 0 and low is not None and high is not None:
        value, low, high = -value, -high, -low
    return f"{percent(value)} ({interval(low, high, 1, '%')})"


def change_in_unit(row: Row, units: Units) -> str:
    """Return the month's change in the client's unit, like `+1.7 kg`; empty if unknown."""
    value, strength = row.get("change_pct"), row.get("strength_kg")
    if value is None or strength is None:
        return ""
    return units.estimate(strength * (1 - 1 / (1 + value / 100)), sign=True)


def since(row: Row) -> str:
    """Say since when: `since about 12 May (2 to 22 May)`; empty if the log cannot tell."""
    date = row.get("since")
    if date is None:
        return ""
    low, high = row.get("since_low"), row.get("since_high")
    if low is None or high is None or low == high:
        return f"since about {day(date)}"
    return f"since about {day(date)} ({day_range(low, high)})"


def moved(lifts: Sequence[Row], month: dt.date, units: Units) -> str:
    """Say which lifts moved up this month and by how much, against last month."""
    judged = _judged(lifts)
    up = sorted(
        (row for row in judged if row["state"] == State.PROGRESSING),
        key=lambda row: row.get("change_pct") or 0.0,
        reverse=True,
    )
    before = sum(row.get("state_before") == State.PROGRESSING for row in judged)
    known_before = any(row.get("state_before") for row in judged)
    earlier = month_name(previous_month(month), year=False)
    if not judged:
        return f"No lift was trained often enough in {month_name(month)} to say how it moved."
    if not up:
        tail = f"; at the end of {earlier} {_were(before)}" if known_before and before else ""
        return f"No {_kind(judged)} moved clearly up in {month_name(month, year=False)}{tail}."
    shown = up[:3] if len(up) <= 3 else up[:2]
    told = [_up(row, units) for row in shown]
    if len(up) > len(shown):
        text = (
            f"{opened(worded(len(up)))} of {worded(len(judged))} {_kind(judged)}s are moving up, "
            f"most of all {listed(told)}"
        )
    elif len(up) == 1:
        text = f"{up[0]['exercise']} is up {_amount(up[0], units)} this month"
    else:
        text = f"{listed([row['exercise'] for row in up])} are up this month: {listed(told)}"
    tail = ""
    if known_before:
        new = [
            row["exercise"]
            for row in shown
            if row.get("state_before") not in (None, State.PROGRESSING)
        ]
        if before != len(up):
            tail = f"; at the end of {earlier} {_were(before)}"
        elif new:
            tail = (
                f"; {listed(new)} {'was' if len(new) == 1 else 'were'} not at the end of {earlier}"
            )
        else:
            tail = f", as at the end of {earlier}"
    return opened(f"{text}{tail}.")


def _amount(row: Row, units: Units) -> str:
    unit = change_in_unit(row, units)
    return change(row) + (f", about {unit}" if unit and row.get("change_pct", 0) > 0 else "")


def _up(row: Row, units: Units) -> str:
    return (
        f"{row['exercise']} by {_amount(row, units)}" if row.get("change_pct") else row["exercise"]
    )


def _were(amount: int) -> str:
    return f"{worded(amount)} {'was' if amount == 1 else 'were'} moving up"


def _kind(rows: Sequence[Row]) -> str:
    return "progression lift" if any(r["role"] == Role.PROGRESSION for r in rows) else "lift"


def _judged(lifts: Sequence[Row]) -> list[Row]:
    """Return the lifts the first screen speaks of: progression lifts trained this month."""
    trained = [row for row in lifts if row["sessions_month"]]
    progression = [row for row in trained if row["role"] == Role.PROGRESSION]
    return progression or trained


# What is stuck ---------------------------------------------------------------------------


def stuck(lifts: Sequence[Row]) -> str:
    """Say which lifts stand still or fall, since when, and how sure that is."""
    judged = _judged(lifts)
    falling = [row for row in judged if row["state"] == State.DECLINING]
    still = [row for row in judged if row["state"] == State.PLATEAU]
    unclear = [row for row in judged if row["state"] == State.UNCLEAR]
    told = [_falls(row) for row in falling[:2]] + [
        _stands(row) for row in still[: 2 - len(falling[:2])]
    ]
    rest = (falling + still)[2:] if len(falling) >= 2 else falling[2:] + still[2 - len(falling) :]
    if told:
        text = "; ".join(told)
        if rest:
            text += (
                f"; so {'does' if len(rest) == 1 else 'do'} {listed([r['exercise'] for r in rest])}"
            )
        return opened(f"{text}.")
    if not judged:
        return ""
    text = f"No {_kind(judged)} is stuck or falling"
    if unclear:
        text += f"; {_unclear(unclear)}"
    return f"{text}."


def _stands(row: Row) -> str:
    when = since(row) or "for as long as the log can tell"
    return f"{row['exercise']} has not moved {when}, {how_sure(row['p_plateau'])} a plateau"


def _falls(row: Row) -> str:
    when = since(row)
    value = row.get("change_pct")
    amount = f" {change(row)} this month" if value is not None and value < 0 else ""
    tail = f", falling {when}" if when else ""
    return f"{row['exercise']} is down{amount}{tail}, {how_sure(row['p_declining'])} a real decline"


def _unclear(rows: Sequence[Row]) -> str:
    names = listed([row["exercise"] for row in rows[:3]])
    more = f" and {worded(len(rows) - 3)} more" if len(rows) > 3 else ""
    needed = [row["sessions_needed"] for row in rows if row.get("sessions_needed")]
    verb = "is" if len(rows) == 1 else "are"
    settle = f": about {count(max(needed), 'more session')} would settle it" if needed else ""
    return f"{names}{more} {verb} not clear yet{settle}"
