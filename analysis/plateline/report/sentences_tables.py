"""The words in and around the tables: captions, cells, and what an empty table says."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from plateline.report.numbers import Units, count, day, number, percent
from plateline.report.sentences import change_in_unit, listed
from plateline.report.sentences_stuck import since
from plateline.strength import LARGEST_REPS
from plateline.words import State

__all__ = [
    "ACCESSORY_CAPTION",
    "HELD_HOW",
    "LIFTS_CAPTION",
    "NO_ACCESSORY_LIFT",
    "NO_PROGRESSION_LIFT",
    "NO_RECORDS",
    "RECORDS_CAPTION",
    "against",
    "change_in_unit",
    "listed",
    "more_records",
    "not_trained",
    "record_words",
    "records_words",
    "scale_words",
    "set_words",
    "spark_label",
    "state_reason",
    "where",
]

Row = Mapping[str, Any]

LIFTS_CAPTION = "Progression lifts, most in need of attention first (intervals are 90 %)"
NO_PROGRESSION_LIFT = "No lift was trained with load that is meant to climb."
ACCESSORY_CAPTION = "Accessory lifts: the work of this month, and of the month before"
HELD_HOW = "; reps held: those of the last round for those of the first"
NO_ACCESSORY_LIFT = "No accessory lift was trained this month."
RECORDS_CAPTION = "Records set this month"
NO_RECORDS = "No record was set this month."


def set_words(
    units: Units, load_kg: float | None, reps: int | None, rir: float | None = None
) -> str:
    """Return a set as people write it: `82.5 kg x 9, 1 in reserve`."""
    if load_kg is None or reps is None:
        return "?"
    if load_kg == 0:
        text = f"body mass \u00d7 {reps}"
    elif load_kg < 0:
        text = f"{units.load(-load_kg)} assistance \u00d7 {reps}"
    else:
        text = f"{units.load(load_kg)} \u00d7 {reps}"
    return text if rir is None else f"{text}, {number(rir, 1)} in reserve"


def where(source_file: str | None, line: int | None) -> str:
    """Say where in the log a set stands: `log.csv line 1042`."""
    if source_file is None:
        return ""
    return source_file if line is None else f"{source_file} line {line}"


def state_reason(row: Row) -> str:
    """Say in a few words since when, what stands beside the state, what would settle it."""
    parts = []
    if row["state"] == State.UNCLEAR and row.get("sessions_needed"):
        parts.append(f"about {count(row['sessions_needed'], 'more session')} would settle it")
    elif row["state"] in (State.PLATEAU, State.DECLINING) and row.get("since"):
        parts.append(since(row))
    parts += [word for word in row.get("context") or [] if word != "stale"]
    return "; ".join(parts)


def scale_words(row: Row) -> str:
    """Say what a lift's strength is measured as."""
    if row["scale"] == "e1rm":
        longer = row.get("best_reps") or 0
        far = f", from sets of {longer}" if longer > LARGEST_REPS else ""
        return f"estimated 1RM{far}"
    return f"for {number(row['usual_reps'])} reps to failure"


def spark_label(row: Row) -> str:
    """Say what a word-sized trend picture shows."""
    change = (
        "" if row["change_pct"] is None else f", {percent(row['change_pct'], sign=True)} this month"
    )
    return f"Trend of {row['exercise']}: {row['state']}{change}"


def records_words(records: int) -> str:
    """Say how many records the month brought; nothing where there was none."""
    return f"{count(records, 'new record')}" if records else ""


def record_words(row: Row, units: Units) -> str:
    """Say which record a set was."""
    if row["record"] == "best e1RM":
        # Without a reserve the repetitions alone are counted: the set may have been worth more.
        least = "at least " if row["rir"] is None else ""
        return f"best estimated 1RM, {least}{units.estimate(row['e1rm_kg'])}"
    if row["load_kg"] == 0:
        return "most reps with body mass alone"
    return f"most load for {count(row['reps'], 'rep')}"


def not_trained(row: Row) -> str:
    """Say when a lift was last trained, where it was not trained this month."""
    return f"not this month; last on {day(row['last_date'])}"


def against(value: float | None, earlier: float | None) -> str:
    """Return the change against last month in per cent, where both are known."""
    if value is None or not earlier:
        return ""
    change = (value / earlier - 1) * 100
    if round(change) == 0:
        return "as last month"
    return f"{percent(change, 0, sign=True)} on last month"


def more_records(left: int) -> str:
    """Say how many further records a lift has this month."""
    return f"and {count(left, 'more record')}" if left else ""
