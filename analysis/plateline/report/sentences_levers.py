"""The levers of the advice room in words: what to change, why, and what to mind."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from plateline.advice.tables import Caution, Evidence, Lever
from plateline.report.numbers import NBSP, count, number, percent
from plateline.report.sentences import listed, opened, worded

__all__ = ["CAUTION_WORDS", "Advice", "action", "because", "first_lever", "grouped"]

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
    if not mine:
        return ""
    points = [row for row in mine if row["rank"] == mine[0]["rank"]]
    return f"{action(points[0])}. {opened(because(points))}"


def action(row: Row) -> str:
    """Say what to change, as a clause that starts with a verb."""
    low, high = row["proposed_low"], row["proposed_high"]
    now_low, now_high = row["now_low"], row["now_high"]
    weeks = f" for {worded(row['for_weeks'])} weeks" if (row["for_weeks"] or 0) > 1 else ""
    lever = row["lever"]
    if lever == Lever.WAIT:
        return "change nothing and judge again in three weeks"
    if lever == Lever.BACK_OFF:
        share_of_sets = _range(low, high)
        return f"back off for a week, with {share_of_sets} % of the usual sets and lighter loads"
    if lever == Lever.FOOD_AND_SLEEP:
        return "look at food and sleep before the training"
    if lever in (Lever.FEWER_SETS, Lever.MORE_SETS):
        verb = "do fewer" if lever == Lever.FEWER_SETS else "do more"
        return (
            f"{verb} sets for {row['muscle']}, {_range(low, high)} hard ones a week instead of "
            f"{number(now_low, 1)}{weeks}"
        )
    if lever == Lever.REP_RANGE:
        return (
            f"train it for {_range(low, high)} reps instead of {_range(now_low, now_high)}{weeks}"
            f"{_begun_with(row)}"
        )
    if lever == Lever.VARIANT:
        feel = row["substitute_feel"]
        felt = f", which was felt well ({number(feel, 1)} of 5)," if feel is not None else ""
        return f"swap it for {row['substitute']}{felt}{weeks}".rstrip(",") + _begun_with(row)
    if lever == Lever.LOG_BETTER:
        return _LOGGING.get(row["evidence"], "log it more closely")
    return "leave it alone"


_LOGGING = {
    Evidence.NO_RIR: "write down reps in reserve",
    Evidence.FEW_SESSIONS: "keep it in the plan until more sessions settle it",
    Evidence.STALE: "train it again before judging it",
}


def _begun_with(row: Row) -> str:
    """Say with which load to begin, where the log knows: `, beginning with about 45 kg`."""
    load = row.get("try_load")
    if not load:
        return ""
    return f", beginning with about {number(load, 2)}{NBSP}{row['try_unit']} for {row['try_reps']}"


def _range(low: float | None, high: float | None) -> str:
    if low == high:
        return number(low, 1)
    return f"{number(low, 1)} to {number(high, 1)}"


def because(points: Sequence[Row]) -> str:
    """Return the evidence for one lever, piece by piece."""
    return listed([_evidence(row) for row in points])


def _evidence(row: Row) -> str:
    value, reference, muscle = row["value"], row["reference"], row["muscle"]
    words = {
        Evidence.PROGRESSING: f"the lift moves by {percent(value, 2, sign=True)} a week",
        Evidence.UNCLEAR: "its direction is not clear yet",
        Evidence.ACCESSORY: "accessory work is judged by effort and volume",
        Evidence.NO_CAUSE: "nothing in the log speaks for a change",
        Evidence.PLANNED_DELOAD: "a planned light week is just behind",
        Evidence.AFTER_LAYOFF: f"{number(value)} days without training are just behind",
        Evidence.NEW_REP_RANGE: f"the rep range is new ({number(value)} % of sessions in it)",
        Evidence.LOAD_ABOVE_PERFORMANCE: (
            f"load runs ahead of performance, {number(value, 2)} times balance"
        ),
        Evidence.RATED_TIRED: (
            f"tiredness is rated {number(value, 1)} of 28 against a usual {number(reference, 1)}"
        ),
        Evidence.NO_EASY_WEEK: f"there was no easier week for {number(value)} weeks",
        Evidence.ALL_TO_FAILURE: f"{number(value)} % of sets went to failure",
        Evidence.LOSING_MASS: f"body mass changes by {percent(value, 2, sign=True)} a week",
        Evidence.LOSING_FASTER: (
            f"body mass changes by {percent(value, 2, sign=True)} a week, faster than the "
            f"{percent(reference, 1)} at which trained people still gained strength"
        ),
        Evidence.SHORT_SLEEP: f"sleep is {number(value, 1)} h a night",
        Evidence.SETS_BELOW_PLAN: (
            f"{muscle} got {number(value, 1)} hard sets a week of {number(reference, 1)} planned"
        ),
        Evidence.SETS_BELOW_OWN: (
            f"{muscle} got {number(value, 1)} hard sets a week, and {number(reference, 1)} while "
            "the lift still moved"
        ),
        Evidence.SETS_ABOVE_OWN: (
            f"{muscle} gets {number(value, 1)} hard sets a week, and got {number(reference, 1)} "
            "while the lift still moved"
        ),
        Evidence.FEW_SETS: f"{muscle} gets only {number(value, 1)} hard sets a week",
        Evidence.MANY_SETS: f"{muscle} gets {number(value, 1)} hard sets a week",
        Evidence.DIET_COST: (
            f"sets cost more while body mass falls, and {muscle} gets {number(value, 1)} a week"
        ),
        Evidence.SAME_REPS: f"the rep range has been the same for {number(value)} weeks",
        Evidence.STUCK_LONG: f"the lift has been stuck for {number(value)} weeks",
        Evidence.FELT_LITTLE: f"the target muscle was felt {number(value, 1)} of 5",
        Evidence.NO_RIR: f"reps in reserve stand beside {number(value)} % of sets",
        Evidence.FEW_SESSIONS: _needed(reference),
        Evidence.STALE: "the lift was not trained lately",
    }
    return words.get(row["evidence"], str(row["evidence"]))


def _needed(sessions: float | None) -> str:
    if sessions is None:
        return "more sessions are needed"
    return f"about {count(round(sessions), 'more session')} would settle it"
