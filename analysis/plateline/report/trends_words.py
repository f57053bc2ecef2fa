"""Every sentence of an athlete's page, but those on how the log was read."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

import polars as pl

from plateline.report.blocks import Block, paragraphs
from plateline.report.numbers import NBSP, count, day, percent, share
from plateline.report.sentences import listed, opened
from plateline.report.sentences_data import LOGGED_SHARE
from plateline.report.sentences_stuck import LOG_START_DAYS, LONG
from plateline.words import P_OF_STATE, State

if TYPE_CHECKING:
    from plateline.report.trends import TrendsPage

__all__ = [
    "ALL_LIFTS",
    "HOW_READ",
    "LIFT",
    "LIFTS_CAPTION",
    "MEASURE",
    "MUSCLES",
    "NEXT",
    "NO_TARGETS",
    "ONE_LIFT",
    "RECORDS_CAPTION",
    "RUNS_AHEAD",
    "STRETCH",
    "TARGETS_CAPTION",
    "UNIT",
    "also_stuck",
    "caption",
    "logging_lines",
    "named_in_short",
    "no_strength",
    "no_target",
    "nothing_stuck",
    "opening",
    "shared_change",
    "signed",
    "since",
    "state_sentence",
    "title",
    "why_unclear",
    "would_settle",
]

Row = Mapping[str, Any]

ONE_LIFT = "One lift at a time"
ALL_LIFTS = "All lifts"
MUSCLES = "Volume by muscle"
NEXT = "What to do next"
HOW_READ = "Methods and cautions"
LIFT, MEASURE, STRETCH, UNIT = "Lift", "Show", "Time", "Loads in"

LIFTS_CAPTION = "Every lift; those that ask for attention first (intervals are 90 %)"
RECORDS_CAPTION = "Records: sets that no heavier or longer set beats"
TARGETS_CAPTION = (
    "Loads for a next session with one rep in reserve, not rounded to plates (intervals are 80 %)"
)
RECENT_DAYS = 84
"""Whether reserve is logged is looked at over the last twelve weeks."""

STATE_WORDS = {
    State.PROGRESSING: "progressing",
    State.PLATEAU: "on a plateau",
    State.DECLINING: "declining",
    State.UNCLEAR: "not clear yet",
}


def title(client: str, lone: str) -> str:
    """Return the page's title."""
    return "Training trends" if client == lone else f"Training trends of {client}"


def opening(page: TrendsPage) -> Block:
    """Say what the log holds, and how many lifts move, stand still or fall."""
    sets, status = page.frames["sets"], page.frames["status"]
    first, last = sets["date"].min(), sets["date"].max()
    days = count(sets["date"].n_unique(), "day") + ", from "
    when = f"{days}{day(first, year=True)} to " if first != last else ""  # type: ignore[arg-type]
    held = (
        f"{count(len(sets), 'set')} of {count(len(status), 'lift')} on {when}"
        f"{day(last, year=True)}."  # type: ignore[arg-type]
    )
    return paragraphs([_states(status)], "pl-lead") + paragraphs([held], "pl-quiet")


def _states(status: pl.DataFrame) -> str:
    told = []
    for state in (State.PROGRESSING, State.PLATEAU, State.DECLINING):
        names = status.filter(state=state)["exercise"].to_list()
        if names:
            told.append(
                f"{named_in_short(names)} {'is' if len(names) == 1 else 'are'} {STATE_WORDS[state]}"
            )
    new = status.filter(pl.col("state") == State.UNCLEAR, pl.col("runs_ahead"))[
        "exercise"
    ].to_list()
    if new:
        verb = "climbs" if len(new) == 1 else "climb"
        told.append(f"{named_in_short(new)} {verb} from session to session, too new for a state")
    unclear = status.filter(state=State.UNCLEAR).height - len(new)
    if unclear:
        rest = "lift" if not told else "other lift"
        told.append(
            f"{count(unclear, rest)} cannot be told yet: too few sessions, or too even a chance"
        )
    return "; ".join(told)[:1].upper() + "; ".join(told)[1:] + "."


def named_in_short(names: Sequence[str]) -> str:
    """Return the names of a few lifts, or the first two and how many more."""
    return listed(names if len(names) <= 3 else [*names[:2], f"{len(names) - 2} more"])


def state_sentence(row: Row) -> str:
    """Say a lift's state, how sure that is, and since when."""
    state = row["state"]
    column = P_OF_STATE.get(state)
    if column is None:
        needed = row.get("sessions_needed")
        more = f" {opened(would_settle(needed))}." if needed else ""
        return f"{why_unclear(row)}{more}{f' {AHEAD}' if row['runs_ahead'] else ''}"
    when = f" {since(row)}" if since(row) else ""
    change = (
        f" Change: {percent(row['slope_pct_week'], 2, sign=True)} a week "
        f"({signed(row['slope_low'])} to {signed(row['slope_high'])})."
        if row["slope_pct_week"] is not None and not row["runs_ahead"]
        else ""
    )
    beside = [word for word in row.get("context") or [] if word != "stale"]
    context = f" Beside it: {listed(beside)}." if beside else ""
    stale = (
        f" Last trained on {day(row['last_date'], year=True)}."
        if "stale" in (row.get("context") or [])
        else ""
    )
    ahead = f" {AHEAD}" if row["runs_ahead"] else ""
    return (
        f"{STATE_WORDS[state].capitalize()}{when} (probability {share(row[column])})."
        f"{change}{context}{stale}{ahead}"
    )


def why_unclear(row: Row) -> str:
    """Say why a lift has no state yet: too new, too long ago, or too even."""
    if row["first_date"] is None:
        return f"{opened(row['reason'] or 'no set says anything about strength')}."
    if row["sessions_needed"] is None:
        last = day(row["last_date"], year=True)
        return f"No present state: last trained on {last}."
    if row["is_new"]:
        return f"Too new to tell: {count(row['sessions'], 'session')} so far."
    odds = ", ".join(
        f"{STATE_WORDS[state]} {share(row[column])}" for state, column in P_OF_STATE.items()
    )
    return f"Too even to tell: {odds}."


def would_settle(sessions: int) -> str:
    """Say how many more sessions would name the state."""
    return f"about {count(sessions, 'more session')} would settle it"


def since(row: Row) -> str:
    """Say since when a lift has its state; empty where the log does not tell."""
    if row["is_long"]:
        return LONG
    if not row["since"]:
        return ""
    if (row["since"] - row["first_date"]).days <= LOG_START_DAYS:
        return "" if row["state"] == State.PROGRESSING else "for as long as it is in the log"
    all_along = row["since_low"] and (row["since_low"] - row["first_date"]).days <= LOG_START_DAYS
    if row["state"] == State.PROGRESSING and all_along:
        return ""  # it may have moved up from the first session on
    longer = " or longer" if row["may_be_long"] else ""
    return f"since about {day(row['since'], year=True)}{longer}"


def signed(value: float | None) -> str:
    """Return an end of an interval of slopes with its sign and always two decimals."""
    return percent(value, 2, sign=True).partition(NBSP)[0]


def no_strength(row: Row) -> str:
    """Say in a few words why a lift has no strength in kg."""
    if row["runs_ahead"]:
        return "climbs faster than a line follows"
    return "body mass not known" if "body mass" in (row["reason"] or "") else ""


def no_target(row: Row) -> str:
    """Say why there is no load for a lift."""
    if row["is_relative"]:
        return "No loads: body mass is a part of this lift's load and is not known."
    return "The log does not yet say enough for a load."


AHEAD = "It climbs faster than a trend line follows, so the points stand alone."
RUNS_AHEAD = (
    "The last sessions climb faster than the trend follows, so it gives no loads: go on from the "
    "last best set,"
)
NO_TARGETS = "There is no lift to give a load for yet."


def nothing_stuck(status: pl.DataFrame) -> str:
    """Say that nothing has to change, as far as the log can tell."""
    told = status.filter(pl.col("state") != State.UNCLEAR)
    if told.is_empty():
        return (
            "It is too early to say what to change. Keep the lifts in the plan and go on logging "
            "them in the same way; beside the lifts stands how many sessions would settle them."
        )
    return (
        "No lift whose load is meant to climb is stuck, so there is nothing to change for its sake."
    )


def shared_change(
    lifts: Sequence[str], stuck: int, change: str, reason: str
) -> tuple[str, str, str]:
    """Say what most stuck lifts have as a first change: for which, what, and why."""
    whom = "all stuck lifts" if len(lifts) == stuck else named_in_short(lifts)
    return f"First, for {whom}:", f"{change}.", f"{opened(reason)}. What still stands after that:"


def also_stuck(lifts: Sequence[str]) -> str:
    """Name the stuck lifts that are not told what to change."""
    verb = "stands" if len(lifts) == 1 else "stand"
    return f"{listed(lifts)} {verb} still too. Change the ones above first, and look again."


def logging_lines(status: pl.DataFrame, sets: pl.DataFrame) -> list[str]:
    """Say what to log more closely, where that would sharpen the page."""
    last: dt.date = sets["date"].max()  # type: ignore[assignment]
    recent = sets.filter(pl.col("date") > last - dt.timedelta(days=RECENT_DAYS))
    logged = recent["rir"].count() / max(len(recent), 1)
    if logged >= LOGGED_SHARE or status.is_empty():
        return []
    return [
        "Few sets say how many more repetitions would have been possible. Written down (a column "
        "named rir, 0 for none left), they bring strength and loads closer."
    ]


def caption() -> str:
    """Say how to read and to use the picture of a lift."""
    return (
        "Points: what a day's sets say; hover or use the arrow keys to see the set. Line: the "
        "trend with its 90 % band. Dashed: where it goes if nothing changes. Drag over the small "
        "picture below to choose a stretch of time; click it to see all."
    )
