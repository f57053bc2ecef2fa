"""The words around next month's loads."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from plateline.report.numbers import DASH, NBSP, Units, day, number
from plateline.report.prescriptions import BIG_JUMP_PCT
from plateline.report.sentences import listed, worded
from plateline.report.sentences_tables import set_words
from plateline.words import SetKind, State

__all__ = [
    "LEVERS_INTRO",
    "NO_LEVERS",
    "NO_MASS",
    "NO_TARGET",
    "NO_TARGETS",
    "SELDOM_STUCK",
    "SWAPS_LABEL",
    "TARGETS_CAPTION",
    "TARGETS_HOW",
    "jumps",
    "kind_words",
    "last_done",
    "later_words",
    "leave_alone",
    "listed",
    "no_load",
    "on_plates",
    "plates_interval",
    "prescription",
]

Row = Mapping[str, Any]

TARGETS_CAPTION = "Loads to start next month with, on the client's own steps (80 % interval, then what was last done)"
NO_TARGETS = "No progression lift was trained this month, so there is no load to start from."
NO_TARGET = "no load can be told yet"
NO_MASS = "a weighing is needed for a load"
TARGETS_HOW = (
    "Each load is for the middle of its rep range with the reserve prescribed; of several sets the "
    "first should reach the top of the range. It is rounded to the client's steps, and not below a "
    "load just done as prescribed; where no reserve was written down it goes up by one step at "
    "most. When the top is reached with the reserve in hand, add a step; "
    "when the bottom is missed twice, take one off. Accessory lifts keep their load until every "
    "round reaches the top of its range."
)
LEVERS_INTRO = (
    "One change at a time, the first that fits; what the log says for each stands beside it."
)
SELDOM_STUCK = (
    "What stands still or falls was trained too seldom to change anything for its sake: a few more "
    "sessions first."
)
NO_LEVERS = "No progression lift is stuck, so there is nothing to change for its sake."


def kind_words(kind: str) -> str:
    """Return what a set is for, in words."""
    return {
        SetKind.TOP: "Top set",
        SetKind.BACK_OFF: "Back-off set",
        SetKind.WORKING: "Working sets",
        SetKind.DROP: "Drop set",
    }.get(SetKind(kind), kind)


def prescription(row: Row) -> str:
    """Return a prescription as people write it: `for 8-10, 1 in reserve`."""
    low, high = row["reps_low"], row["reps_high"]
    reps = str(low) if low == high else f"{low}{DASH}{high}"
    sets = f", {row['sets']} sets" if (row["sets"] or 1) > 1 else ""
    return f"for {reps}{sets}, {number(row['rir'], 1)} in reserve"


def no_load(row: Row) -> str:
    """Say what stands where no load is known: body mass alone, or what was not logged."""
    if row["last_load_kg"] == 0:
        return "body mass"
    return NO_MASS if row["lacks_mass"] else NO_TARGET


def on_plates(load: float | None, units: Units) -> str:
    """Return a load that is already rounded and in the client's unit."""
    return "?" if load is None else f"{number(load, 2)}{NBSP}{units.unit}"


def plates_interval(row: Row, units: Units) -> str:
    """Return the interval of a load on the client's steps."""
    if row["low"] is None or row["high"] is None:
        return ""
    held = row["load"] is not None and row["load"] > row["high"]
    if row["low"] == row["high"] and not held:
        return ""
    text = f"{number(row['low'], 2)} to {number(row['high'], 2)}{NBSP}{units.unit}"
    return f"as last time; the trend alone says {text}" if held else text


def later_words(row: Row, units: Units) -> str:
    """Say where the load goes in four weeks if the trend holds; only for a moving lift."""
    if row["state"] != State.PROGRESSING or row["later"] is None or row["load"] is None:
        return ""
    if row["later"] <= row["load"] or row["set_kind"] == SetKind.BACK_OFF:
        return ""
    return f"in four weeks, if the trend holds: {on_plates(row['later'], units)}"


def last_done(row: Row, units: Units) -> str:
    """Say what was last done for that kind of set."""
    if row["last_date"] is None:
        return ""
    return (
        f"last: {set_words(units, row['last_load_kg'], row['last_reps'])}, {day(row['last_date'])}"
    )


def jumps(rows: Sequence[Row]) -> str:
    """Say which loads are a big jump, and how to take it; empty where none is."""
    big = [row["exercise"] for row in rows if _is_big(row["jump_pct"])]
    if not big:
        return ""
    names = listed(list(dict.fromkeys(big))[:4])
    return (
        f"{names}: the load is more than {number(BIG_JUMP_PCT)} % above the last set of its kind. "
        "Go up in steps over two or three sessions."
    )


def _is_big(jump: float | None) -> bool:
    return jump is not None and jump > BIG_JUMP_PCT


SWAPS_LABEL = "Accessory work"


LISTED_LIFTS = 12
"""Of more lifts it is said how many they are; the table names them."""


def _named(lifts: Sequence[str]) -> str:
    return listed(list(lifts)) if len(lifts) <= LISTED_LIFTS else f"{len(lifts)} lifts"


def leave_alone(moving: Sequence[str], unclear: Sequence[str], lifts: int) -> str:
    """Say which of the lifts need no change."""
    parts = []
    if moving:
        every = f"all {worded(lifts)} progression lifts" if len(moving) == lifts > 3 else ""
        parts.append(f"Leave alone what moves: {every or _named(moving)}.")
    if unclear:
        parts.append(
            f"Change nothing yet about {_named(unclear)}: "
            f"more sessions will settle {'it' if len(unclear) == 1 else 'them'}."
        )
    return " ".join(parts)
