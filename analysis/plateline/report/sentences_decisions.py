"""The sentences on what to decide, on the first screen and in the index."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from plateline.report.decisions import Decision
from plateline.report.numbers import count, day, day_range, percent, share
from plateline.report.sentences import opened, worded

__all__ = ["decide", "index_reason"]

Row = Mapping[str, Any]


def decide(decisions: Sequence[Row], facts: Row, lever: str) -> str:
    """Say what to decide, and what to keep in mind beside it.

    Parameters
    ----------
    decisions
        The client's decisions, the most urgent first.
    facts
        The client's row of facts.
    lever
        The first lever for the lift the first decision is about; may be empty.
    """
    first, *others = decisions
    text = _decision(first, facts, lever)
    second = next((row for row in others if row["decision"] in _ADDED), None)
    return f"{text} {_ADDED[second['decision']]}" if second else text


def _decision(row: Row, facts: Row, lever: str) -> str:
    name, lifts = row["exercise"], row["lifts"]
    also = f" and {worded(lifts - 1)} more" if lifts and lifts > 1 else ""
    verb = "are" if also else "is"
    then = f": {lever}" if lever else ""
    code = row["decision"]
    if code == Decision.MASS_FALLS_FAST:
        return (
            f"Body mass is falling {percent(-facts['mass_pct_week'])} a week. Slow the loss first; "
            "if it was not meant, a doctor or licensed dietitian should look at it."
        )
    if code == Decision.FALLING:
        return (
            f"{name}{also} {verb} falling, and no break, deload or diet explains it. Ask about pain "
            f"first, then {lever or 'look at sleep and food'}."
        )
    if code == Decision.PERHAPS_FALLING:
        return (
            f"None yet: {name}{also} may be falling ({share(row['p'])}). Ask about pain, sleep and "
            f"food; if it goes on for two weeks, {lever or 'change one thing'}."
        )
    if code == Decision.PERHAPS_STUCK:
        return (
            f"None yet: {name}{also} may be stuck ({share(row['p'])}). Give it two more weeks; if "
            f"it still stands, {lever or 'change one thing'}."
        )
    if code == Decision.STOPPED:
        return f"Nothing was logged after {day(facts['last_date'])}: ask before planning the month."
    if code == Decision.STUCK:
        return f"Change one thing about {name}{also}{then}."
    if code == Decision.FALLING_IN_DIET:
        return (
            f"{name}{also} {verb} falling while body mass falls. Slow the loss, or accept it and keep "
            "load and effort while the diet lasts; do not add sets, and chase no records until "
            "body mass holds."
        )
    if code == Decision.HOLDING_IN_DIET:
        return (
            f"None: {name}{also} {'hold' if also else 'holds'} while body mass falls, which is what "
            "a diet can hope for. Keep load and effort as they are."
        )
    if code == Decision.SESSIONS_MISSED:
        return (
            f"{facts['sessions_done']} of {count(facts['sessions_planned'], 'planned session')} "
            "were done: fit the plan to the week before changing any load."
        )
    if code == Decision.FALLING_EXPLAINED:
        return (
            f"None yet: {name}{also} dipped after a break or light weeks. Train as planned and "
            "judge again in three weeks."
        )
    if code == Decision.BACK_FROM_BREAK:
        return (
            "None yet. Train as planned after the break, and judge again at the end of next month."
        )
    if code == Decision.ROWS_UNREADABLE:
        return "None for the training. Mend the rows that could not be read, so that they count."
    if code == Decision.NO_RESERVE:
        return (
            "None for the training. Ask for reps in reserve on every top set: the next report "
            "can then say more, sooner."
        )
    if code == Decision.UNCLEAR:
        return f"None yet: {name}{also} {verb} not clear. Keep the plan and let more sessions settle it."
    if code == Decision.RANGE_SWITCHED:
        return "None. Stay in the new rep range, and add load when its top is reached."
    if code == Decision.DELOADED:
        return "None. Go back to the planned loads after the deload."
    return "None. Keep the plan as it is; add load where the top of a rep range is reached."


_ADDED = {
    Decision.NO_RESERVE: "Ask for reps in reserve on top sets.",
    Decision.ROWS_UNREADABLE: "Mend the rows that could not be read.",
    Decision.BACK_FROM_BREAK: "Judge with the break in mind.",
    Decision.SESSIONS_MISSED: "See first why sessions were missed.",
}


def index_reason(row: Row, facts: Row) -> str:
    """Say in a line why a client stands where it does in the index."""
    name, lifts, p = row["exercise"], row["lifts"], row["p"]
    sure = f" ({share(p)})" if p is not None else ""
    more = (
        f"; so {'is' if lifts == 2 else 'are'} {worded(lifts - 1)} more"
        if lifts and lifts > 1
        else ""
    )
    when = f" since about {day(row['since'])}" if row["since"] is not None else ""
    code = row["decision"]
    if code == Decision.MASS_FALLS_FAST:
        return f"Body mass falls {percent(-facts['mass_pct_week'])} a week."
    if code == Decision.FALLING:
        return f"{name} is falling{when}{sure}, with no reason in the log{more}."
    if code == Decision.PERHAPS_FALLING:
        return f"{name} may be falling{sure}{more}."
    if code == Decision.PERHAPS_STUCK:
        return f"{name} may be stuck{sure}{more}."
    if code == Decision.STOPPED:
        return f"Nothing logged after {day(facts['last_date'])}."
    if code == Decision.STUCK:
        return f"{name} is stuck{when}{sure}{more}."
    if code == Decision.FALLING_IN_DIET:
        rate = facts.get("mass_pct_week")
        tail = f" while body mass falls {percent(-rate)} a week" if rate is not None else ""
        return f"{name} is falling{when}{sure}{tail}{more}."
    if code == Decision.HOLDING_IN_DIET:
        return f"{name} holds while body mass falls{more}."
    if code == Decision.SESSIONS_MISSED:
        return f"{facts['sessions_done']} of {count(facts['sessions_planned'], 'planned session')} done."
    if code == Decision.FALLING_EXPLAINED:
        return f"{name} is down after a break or light weeks{more}."
    if code == Decision.BACK_FROM_BREAK:
        return (
            f"Back from a break ({day_range(facts['break_from'], facts['break_to'])}); "
            "nothing is falling."
        )
    if code == Decision.ROWS_UNREADABLE:
        return f"{opened(worded(facts['rejected']))} {'row' if facts['rejected'] == 1 else 'rows'} of the log could not be read."
    if code == Decision.NO_RESERVE:
        return "Trains without logging reps in reserve."
    if code == Decision.UNCLEAR:
        return f"{opened(worded(lifts))} {'lift is' if lifts == 1 else 'lifts are'} not clear yet."
    if code == Decision.RANGE_SWITCHED:
        what = f"{opened(worded(lifts))} lifts" if lifts > 1 else name
        return f"{what} changed rep range; nothing is falling."
    if code == Decision.DELOADED:
        return "A planned deload this month; nothing is falling."
    if lifts:
        return f"{opened(worded(lifts))} {'lift' if lifts == 1 else 'lifts'} moving up; nothing stands in the way."
    return "Nothing is stuck or falling."
