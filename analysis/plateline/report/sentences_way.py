"""The sentence on what stands in the way: the third of the first screen."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from plateline.report.numbers import (
    count,
    day,
    day_range,
    fixed,
    interval,
    number,
    percent,
)
from plateline.report.sentences import listed, opened, worded
from plateline.report.sentences_pain import pain_line
from plateline.words import Phase, Role, State

__all__ = ["in_the_way"]

Row = Mapping[str, Any]

# A ratio of recent to usual load outside this band is worth a word: about one typical week
# (common practice, no source); it says nothing about risk.
_LOAD_HIGH, _LOAD_LOW = 1.3, 0.7
_SLEEP_SHORTER_H = 0.5
_RESERVE_SHARE = 0.25


def in_the_way(
    facts: Row, lifts: Sequence[Row], rejected: Sequence[Row], pain: Sequence[Row] = ()
) -> str:
    """Say what stands beside the states: a break, a diet, a deload, tiredness, gaps in the log.

    Notes that speak of pain come first, always. Of the rest at most two things are named, the
    weightiest first; where there is nothing, that is said with what was looked at.
    """
    found = [
        _break(facts),
        _diet(facts, lifts),
        _deload(facts, lifts),
        _switch(facts, lifts),
        _not_gaining(facts, lifts),
        _missed(facts),
        _tired(facts),
        _unreadable(facts, rejected),
        _no_reserve(facts),
        _load(facts),
    ]
    told = [sentence for sentence in found if sentence][:2]
    said = [sentence for sentence in (pain_line(pain), *told) if sentence]
    return " ".join(said) or _nothing(facts)


def _break(facts: Row) -> str:
    days = facts.get("break_days")
    if not days:
        return ""
    stretch = f"{day_range(facts['break_from'], facts['break_to'])} ({count(days, 'day')})"
    return (
        f"There was no session from {stretch}; strength usually comes back within about as long "
        "as the break lasted, so a dip there is not a decline."
    )


def _diet(facts: Row, lifts: Sequence[Row]) -> str:
    rate = facts.get("mass_pct_week")
    named = any("diet phase" in (row.get("context") or []) for row in lifts)
    if rate is None or rate >= 0 or not (named or facts.get("phase") == Phase.LOSE):
        return ""
    aim = {
        "within": "as the phase aims",
        "faster": "faster than the phase aims",
        "slower": "slower than the phase aims",
        "other way": "though the phase does not aim to lose",
    }.get(facts.get("against_aim") or "", "")
    text = (
        f"Body mass is falling {percent(-rate)} a week "
        f"({interval(-facts['mass_high'], -facts['mass_low'], 1, '%')})"
    )
    if aim:
        text += f", {aim}"
    return f"{text}; some loss of strength is common in such a phase and need not be the training."


def _deload(facts: Row, lifts: Sequence[Row]) -> str:
    if facts.get("deload_planned") is None:
        return ""
    if facts.get("deload_from"):
        when = opened(day_range(facts["deload_from"], facts["deload_to"]))
        text = f"{when} was a planned deload" if facts["deload_planned"] else f"{when} were light"
    else:
        text = "A light stretch this month looks like a deload"
    falling = any(
        row["state"] == State.DECLINING and row["role"] == Role.PROGRESSION for row in lifts
    )
    tail = "" if falling else ", and nothing here is a decline"
    return f"{text}: its light loads do not count against any lift{tail}."


def _switch(facts: Row, lifts: Sequence[Row]) -> str:
    main = [row for row in lifts if row["role"] == Role.PROGRESSION and row["sessions_month"]]
    switched = [row["exercise"] for row in main if "rep-range switch" in (row["context"] or [])]
    if not switched:
        return ""
    left = [f"{worded(len(switched) - 3)} more"] if len(switched) > 3 else []
    shown = listed([*switched[:3], *left])
    if len(switched) == len(main) > 1:
        shown = f"all {worded(len(main))} progression lifts"
    when = ""
    if facts.get("switch_date"):
        when = (
            f" about {day(facts['switch_date'])}, from about {number(facts['switch_reps_before'])} "
            f"to about {number(facts['switch_reps_after'])} reps"
        )
    return opened(
        f"{shown} changed rep range{when}: the loads on either side cannot be compared as they "
        "are, so strength is followed across the switch."
    )


def _not_gaining(facts: Row, lifts: Sequence[Row]) -> str:
    """Say that body mass holds or falls in a phase of gaining, where a lift stands still."""
    stands = any(
        row["state"] in (State.PLATEAU, State.DECLINING) and row["role"] == Role.PROGRESSION
        for row in lifts
    )
    short = facts.get("against_aim") in ("slower", "other way")
    if facts.get("phase") != Phase.GAIN or not short or not stands or _diet(facts, lifts):
        return ""
    rate = percent(facts["mass_pct_week"], 1, sign=True)
    return f"Body mass changes by {rate} a week, though the phase is to gain."


def _missed(facts: Row) -> str:
    planned, done = facts.get("sessions_planned"), facts.get("sessions_done")
    if not planned or done >= 0.85 * planned:
        return ""
    return f"Only {done} of {count(planned, 'planned session')} were done."


def _tired(facts: Row) -> str:
    parts = []
    slept, usual = facts.get("sleep_h"), facts.get("sleep_usual_h")
    if slept is not None and usual is not None and slept <= usual - _SLEEP_SHORTER_H:
        parts.append(f"sleep was {number(slept, 1)} h against {number(usual, 1)} h before")
    weeks = facts.get("weeks_tired") or 0
    if weeks >= 2:
        parts.append(f"{worded(weeks)} weeks were rated more tired than usual")
    return f"{opened(listed(parts))}." if parts else ""


def _unreadable(facts: Row, rejected: Sequence[Row]) -> str:
    if not rejected:
        return ""
    places = _places(rejected[:3])
    more = f" and {count(len(rejected) - 3, 'more')}" if len(rejected) > 3 else ""
    doubled = facts.get("duplicates") or 0
    tail = f"; {count(doubled, 'row')} that repeat others were counted once" if doubled else ""
    verb = "row" if len(rejected) == 1 else "rows"
    return f"{opened(worded(len(rejected)))} {verb} could not be read ({places}{more}){tail}."


def _places(rejected: Sequence[Row]) -> str:
    """Say where rows stand: `log.csv lines 7 and 12`."""
    by_file: dict[str, list[str]] = {}
    for row in rejected:
        by_file.setdefault(row["source_file"], []).append(str(row["source_line"]))
    return listed(
        [
            f"{name} {'line' if len(lines) == 1 else 'lines'} {listed(lines)}"
            for name, lines in by_file.items()
        ]
    )


def _no_reserve(facts: Row) -> str:
    logged = facts.get("rir_share")
    if logged is None or logged >= _RESERVE_SHARE:
        return ""
    return (
        "Reps in reserve are not written down, so a set that stopped early looks like a weak one "
        "and every interval here is wider than it needs to be."
    )


def _load(facts: Row) -> str:
    ratio = facts.get("load_ratio")
    explained = facts.get("deload_planned") is not None or facts.get("break_days")
    if ratio is None or explained or _LOAD_LOW <= ratio <= _LOAD_HIGH:
        return ""
    return (
        f"In the week up to {day(facts['load_ratio_date'])} the volume-load was {fixed(ratio)} "
        "times that of the three weeks before."
    )


def _nothing(facts: Row) -> str:
    seen = []
    if facts.get("sessions_planned"):
        seen.append(
            f"{facts['sessions_done']} of {count(facts['sessions_planned'], 'planned session')} done"
        )
    if facts.get("against_aim") == "within":
        seen.append("body mass as aimed")
    if facts.get("checkins_month") and facts.get("hooper") is not None:
        tired = " but for one week" if facts.get("weeks_tired") else ""
        seen.append(f"sleep and fatigue as usual{tired}")
    if not seen:
        return "Nothing in the log stands in the way, as far as it was logged."
    return f"Nothing in the log stands in the way: {listed(seen)}."
