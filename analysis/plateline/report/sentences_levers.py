"""The levers of the advice room in words: what to change, why, and what to mind."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from plateline.advice.tables import Caution, Evidence, Lever
from plateline.report.numbers import NBSP, count, number, percent
from plateline.report.sentences import listed, opened, worded
from plateline.report.sentences_stuck import LONG
from plateline.words import State

__all__ = [
    "CAUTION_WORDS",
    "FOOD_FIRST",
    "Advice",
    "action",
    "because",
    "common_lever",
    "first_lever",
    "grouped",
    "in_short",
    "swap",
]

Row = Mapping[str, Any]

CAUTION_WORDS = {
    Caution.PAIN: (
        "If the lift hurts, do not train through it: leave it out and see a licensed professional."
    ),
    Caution.DIET: (
        "What and how much to eat belongs with a licensed dietitian or a doctor, above all when "
        "body mass falls fast or was not meant to."
    ),
    Caution.LOAD_JUMP: (
        "Start a new lift or rep range lighter than the numbers allow, and let two or three "
        "sessions find the load."
    ),
}


@dataclass(frozen=True)
class Advice:
    """Lifts that share a state and what to do about it, in order, each with its evidence."""

    lifts: list[str]
    state: str
    levers: list[tuple[str, str]]


def grouped(levers: Sequence[Row]) -> list[Advice]:
    """Return the levers of stuck lifts; lifts with the same levers stand together.

    Evidence that speaks of some of the lifts only names them.
    """
    together: dict[tuple[str, ...], list[tuple[str, list[list[Row]]]]] = {}
    for exercise, rows in groupby(levers, key=lambda row: row["exercise"]):
        by_lever = [list(points) for _, points in groupby(rows, key=lambda row: row["rank"])]
        doing = (by_lever[0][0]["state"], *(action(points[0]) for points in by_lever))
        together.setdefault(doing, []).append((exercise, by_lever))
    advice = []
    for (state, *actions), members in together.items():
        lines = [
            (f"{opened(text)}.", _shared_evidence([(name, by[n]) for name, by in members]))
            for n, text in enumerate(actions)
        ]
        advice.append(Advice([name for name, _ in members], state, lines))
    return advice


def _shared_evidence(members: Sequence[tuple[str, Sequence[Row]]]) -> str:
    """Return the evidence for one lever of several lifts as a sentence."""
    whose: dict[str, list[str]] = {}
    for name, points in members:
        for row in points:
            whose.setdefault(_evidence(row), []).append(name)
    told = [
        text if len(names) == len(members) else f"{text} ({listed(names)})"
        for text, names in whose.items()
    ]
    return f"{opened(listed(told))}." if told else ""


def first_lever(levers: Sequence[Row], exercise: str | None) -> str:
    """Return the first lever of a lift as a clause for the first screen; empty if there is none."""
    mine = [row for row in levers if row["exercise"] == exercise]
    if not mine or mine[0]["lever"] in (Lever.LEAVE_ALONE, Lever.LOG_BETTER):
        return ""
    points = [row for row in mine if row["rank"] == mine[0]["rank"]]
    return f"{action(points[0])}. {opened(because(points))}"


_COMMON = (Lever.FOOD_AND_SLEEP, Lever.BACK_OFF)
"""Levers that act on all lifts at once."""


def common_lever(levers: Sequence[Row], exercise: str | None) -> str:
    """Return the first lever of a lift as a clause where it acts on all lifts; else nothing."""
    first = next((row for row in levers if row["exercise"] == exercise), None)
    if first is None or first["lever"] not in _COMMON:
        return ""
    # How one lift falls is no evidence about all of them.
    shared = [row for row in levers if row["evidence"] != Evidence.FALLS]
    return first_lever(shared, exercise) or f"{action(first)}."


def in_short(levers: Sequence[Row], exercise: str | None) -> str:
    """Return the first lever of a lift in a few words, for the index; empty if there is none."""
    first = next((row for row in levers if row["exercise"] == exercise), None)
    tell = _IN_SHORT.get(Lever(first["lever"])) if first else None
    return f"First lever: {tell(first)}." if first and tell else ""


def action(row: Row) -> str:
    """Say what to change, as a clause that starts with a verb."""
    return _ACTIONS[Lever(row["lever"])](row)


def swap(row: Row) -> str:
    """Say which accessory lift to swap for which, and why."""
    return f"{row['exercise']}: {action(row)}. {opened(because([row]))}."


def _sets(row: Row) -> str:
    return (
        f"do {_range(row['proposed_low'], row['proposed_high'])} hard sets a week for "
        f"{row['muscle']}, not the usual {number(row['now_low'], 1)}{_weeks(row, ',')}"
    )


def _other_range(row: Row) -> str:
    now = _range(row["now_low"], row["now_high"])
    return (
        f"train it for {_range(row['proposed_low'], row['proposed_high'])} reps, not {now}"
        f"{_weeks(row, ',')}{_begun_with(row)}"
    )


def _other_lift(row: Row) -> str:
    feel = row["substitute_feel"]
    felt = f", which was felt well ({number(feel, 1)} of 5)," if feel is not None else ""
    return f"swap it for {row['substitute']}{felt}{_weeks(row)}".rstrip(",") + _begun_with(row)


def _stuck_long(row: Row) -> str:
    """Say for how long; a state looks back little more than a year."""
    weeks = row["value"]
    doing = "falling" if row["state"] == State.DECLINING else "stuck"
    return f"the lift has been {doing} {LONG if weeks >= 52 else f'for {number(weeks)} weeks'}"


def _weeks(row: Row, after: str = "") -> str:
    weeks = row["for_weeks"] or 0
    return f"{after} for {worded(weeks)} weeks" if weeks > 1 else ""


def _begun_with(row: Row) -> str:
    """Say with which load to begin, where the log knows: `, beginning with about 45 kg`."""
    load = row.get("try_load")
    if not load:
        return ""
    return f", beginning with about {number(load, 2)}{NBSP}{row['try_unit']} for {count(row['try_reps'], 'rep')}"


def _range(low: float | None, high: float | None) -> str:
    if low == high:
        return number(low, 1)
    return f"{number(low, 1)} to {number(high, 1)}"


FOOD_FIRST = "look at food and sleep before the training"

_LOGGING = {
    Evidence.NO_RIR: "write down reps in reserve",
    Evidence.FEW_SESSIONS: "keep it in the plan until more sessions settle it",
    Evidence.STALE: "train it again before judging it",
}

_ACTIONS: dict[Lever, Callable[[Row], str]] = {
    Lever.WAIT: lambda row: "change nothing and judge again in three weeks",
    Lever.BACK_OFF: lambda row: (
        f"back off for a week, with {_range(row['proposed_low'], row['proposed_high'])}{NBSP}% of the "
        "usual sets and lighter loads"
    ),
    Lever.FOOD_AND_SLEEP: lambda row: FOOD_FIRST,
    Lever.FEWER_SETS: _sets,
    Lever.MORE_SETS: _sets,
    Lever.REP_RANGE: _other_range,
    Lever.VARIANT: _other_lift,
    Lever.LOG_BETTER: lambda row: _LOGGING.get(row["evidence"], "log it more closely"),
    Lever.LEAVE_ALONE: lambda row: "leave it alone",
}


_IN_SHORT: dict[Lever, Callable[[Row], str]] = {
    Lever.BACK_OFF: lambda row: "back off for a week",
    Lever.FOOD_AND_SLEEP: lambda row: "food and sleep",
    Lever.FEWER_SETS: lambda row: f"fewer sets for {row['muscle']}",
    Lever.MORE_SETS: lambda row: f"more sets for {row['muscle']}",
    Lever.REP_RANGE: lambda row: f"{_range(row['proposed_low'], row['proposed_high'])} reps",
    Lever.VARIANT: lambda row: f"swap it for {row['substitute']}",
}


def because(points: Sequence[Row]) -> str:
    """Return the evidence for one lever, piece by piece."""
    return listed([_evidence(row) for row in points])


def _evidence(row: Row) -> str:
    return _EVIDENCE[Evidence(row["evidence"])](row)


def _one(row: Row, column: str = "value") -> str:
    return number(row[column], 1)


def _mass(row: Row) -> str:
    return f"body mass changes by {percent(row['value'], 2, sign=True)} a week"


def _needed(row: Row) -> str:
    if row["reference"] is None:
        return "more sessions are needed"
    return f"about {count(round(row['reference']), 'more session')} would settle it"


_EVIDENCE: dict[Evidence, Callable[[Row], str]] = {
    Evidence.PROGRESSING: lambda row: (
        f"the lift moves by {percent(row['value'], 2, sign=True)} a week"
    ),
    Evidence.UNCLEAR: lambda row: "its direction is not clear yet",
    Evidence.HELD_ON_DIET: lambda row: "it holds while body mass falls",
    Evidence.ACCESSORY: lambda row: "accessory work is judged by effort and volume",
    Evidence.NO_CAUSE: lambda row: "nothing in the log speaks for a change",
    Evidence.PLANNED_DELOAD: lambda row: "a planned light week is just behind",
    Evidence.AFTER_LAYOFF: lambda row: (
        f"{number(row['value'])} days without training are just behind"
    ),
    Evidence.NEW_REP_RANGE: lambda row: (
        f"the rep range is new ({number(row['value'])}{NBSP}% of sessions in it)"
    ),
    Evidence.LOAD_ABOVE_PERFORMANCE: lambda row: (
        f"its recent load is high for what it shows ({number(row['value'], 2)}; 1 is in balance)"
    ),
    Evidence.RATED_TIRED: lambda row: (
        f"sleep, stress, fatigue and soreness were rated worse than usual ({_one(row)} of 28 "
        f"against {_one(row, 'reference')})"
    ),
    Evidence.FALLS: lambda row: f"it falls by {percent(-row['value'], 2)} a week",
    Evidence.NO_EASY_WEEK: lambda row: f"there was no easier week for {number(row['value'])} weeks",
    Evidence.ALL_TO_FAILURE: lambda row: f"{number(row['value'])}{NBSP}% of sets went to failure",
    Evidence.LOSING_MASS: _mass,
    Evidence.LOSING_FASTER: lambda row: (
        f"{_mass(row)}, faster than the {percent(row['reference'], 1)} at which trained people "
        "still gained strength"
    ),
    Evidence.NOT_GAINING: lambda row: f"{_mass(row)}, and the phase is to gain",
    Evidence.SHORT_SLEEP: lambda row: f"sleep is {_one(row)} h a night",
    Evidence.SETS_BELOW_PLAN: lambda row: f"the plan asks for {_one(row, 'reference')}",
    Evidence.SETS_BELOW_OWN: lambda row: (
        f"there were {_one(row, 'reference')} while the lift still moved"
    ),
    Evidence.SETS_ABOVE_OWN: lambda row: (
        f"there were only {_one(row, 'reference')} while the lift still moved"
    ),
    Evidence.FEW_SETS: lambda row: "so few sets leave room for more",
    Evidence.MANY_SETS: lambda row: "so many sets are hard to recover from",
    Evidence.REPS_FADE: lambda row: (
        f"later sets lose {number(row['value'])}{NBSP}% of the reps, and lost "
        f"{number(row['reference'])}{NBSP}% while the lift still moved"
    ),
    Evidence.BACK_OFF_FADES: lambda row: (
        f"back-off sets give {number(100 * row['value'])}{NBSP}% of the reps that the top set led to "
        "expect"
    ),
    Evidence.DIET_COST: lambda row: "sets cost more while body mass falls",
    Evidence.SAME_REPS: lambda row: (
        f"the reps have been the same for {number(row['value'])} weeks or longer"
    ),
    Evidence.STUCK_LONG: _stuck_long,
    Evidence.FELT_LITTLE: lambda row: f"the target muscle was felt {_one(row)} of 5",
    Evidence.NO_RIR: lambda row: (
        f"reps in reserve stand beside only {number(row['value'])}{NBSP}% of sets"
        if row["value"]
        else "reps in reserve are never written down"
    ),
    Evidence.FEW_SESSIONS: _needed,
    Evidence.STALE: lambda row: "the lift was not trained lately",
}
