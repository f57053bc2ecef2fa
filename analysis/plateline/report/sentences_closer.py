"""The words of the folded table of more numbers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from plateline.fatigue.relative import FEDERATION_POINTS, SEXES
from plateline.report.numbers import count, number, share

__all__ = ["CAPTION", "SUMMARY", "how", "modelled", "points_words"]

Row = Mapping[str, Any]

SUMMARY = "More numbers: strength for body mass, balance, a fitness-fatigue model"
CAPTION = "Progression lifts: the month's best estimate for body mass, and balance"


def how(rows: Sequence[Row], sex: str | None) -> list[str]:
    """Say how to read the columns that are shown."""
    told = []
    if any(row["performance_ratio"] is not None for row in rows):
        told.append(
            "Load against results: how the recent load of the lift stands to its usual, over how "
            "its results stand to its trend. 1 is in balance; it tells little ahead of time and "
            "nothing about injury."
        )
    if any(row["back_off_ratio"] is not None for row in rows):
        told.append(
            "Back-off reps: those done for 1 that the day's top set and the lift's own rep curve "
            "led to expect."
        )
    told += [points_words(event, sex) for event in _events(rows)]
    return told


def _events(rows: Sequence[Row]) -> list[str]:
    return sorted({row["event"] for row in rows if row["points"] is not None})


def points_words(event: str, sex: str | None) -> str:
    """Say with which formula and coefficients points were worked out."""
    formula = FEDERATION_POINTS.get((SEXES.get(sex or "", ""), "classic", event))
    if formula is None:
        return ""
    return (
        f"Points ({event}): 100 × kg lifted / (a - b × exp(-c × kg of body mass)) with "
        f"a = {formula.a}, b = {formula.b}, c = {formula.c} (International Powerlifting "
        "Federation, in force since May 2020), here from an estimate and not a judged lift: for "
        "this client's own months, not for a ranking."
    )


def modelled(rows: Sequence[Row]) -> list[str]:
    """Say what a fitness-fatigue model makes of a lift, and whether this log can tell."""
    return [_verdict(row) for row in rows]


def _verdict(row: Row) -> str:
    fitted = f"A fitness-fatigue model was fitted to {row['exercise']}"
    tests = count(row["tests"], "session")
    if row["verdict"] == "identifiable":
        return (
            f"{fitted} ({tests}): fitness would fade with {number(row['fitness_days'])} days and "
            f"fatigue with {number(row['fatigue_days'])}; it explains {share(row['r_squared'])} of "
            "the past ups and downs, which is no forecast."
        )
    if row["verdict"] == "not identifiable":
        return (
            f"{fitted} ({tests}): the log cannot tell its constants apart, so nothing is read from "
            "it. Most training logs cannot."
        )
    if (row["reason"] or "").startswith("nothing to explain"):
        return (
            f"{fitted} ({tests}): its results or its load never vary, so there is nothing to fit."
        )
    return f"{fitted}, but {tests} {'is' if row['tests'] == 1 else 'are'} too few for it."
