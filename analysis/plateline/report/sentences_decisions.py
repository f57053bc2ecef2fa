"""The sentences on what to decide, on the first screen and in the index."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from plateline.report.numbers import count, day, day_range, is_far, number, percent, share
from plateline.report.sentences import listed, opened, worded
from plateline.report.sentences_levers import FOOD_FIRST
from plateline.report.sentences_pain import quoted
from plateline.report.sentences_stuck import LONG
from plateline.report.urgency import WATCH_FROM, Decision

__all__ = ["decide", "index_reason"]

Row = Mapping[str, Any]

NAMED = 2
"""Lifts named in a decision; of more, one is named and the others are counted."""

_DECIDE = {
    Decision.PAIN_NOTED: (
        "Ask about the pain, injury or dizziness in the notes before anything else; what brings "
        "it on is left out until a licensed professional has seen to it."
    ),
    Decision.MASS_FALLS_FAST: (
        "Body mass is falling {loss} a week. Slow the loss first; if it was not meant, a doctor or "
        "licensed dietitian should look at it."
    ),
    Decision.MOST_STUCK: (
        "{Amount} of {judged} lifts stand still or fall: look for one cause before changing lifts "
        "one by one. {common}."
    ),
    Decision.FALLING: (
        "{Lifts} {are} falling, and no break, deload or diet explains it. Ask about pain first, "
        "then {lever_or_look}."
    ),
    Decision.PERHAPS_FALLING: (
        "None yet: {lifts} may be falling ({p}). Ask about pain, sleep and food; if it goes on for "
        "two weeks, {lever_or_one}."
    ),
    Decision.PERHAPS_STUCK: (
        "None yet: {lifts} may be stuck ({p}). Give it two more weeks; if it still stands, "
        "{lever_or_one}."
    ),
    Decision.STOPPED: "Nothing was logged after {last}: ask before planning the month.",
    Decision.STUCK: "Change one thing about {first}: {lever}.{next}",
    Decision.FALLING_IN_DIET: (
        "{Lifts} {are} falling while body mass falls. Slow the loss, or accept it and keep load "
        "and effort while the diet lasts; do not add sets, and chase no records until body mass "
        "holds."
    ),
    Decision.HOLDING_IN_DIET: (
        "None: {lifts} {hold} while body mass falls, which is what a diet can hope for. Keep load "
        "and effort as they are."
    ),
    Decision.SESSIONS_MISSED: (
        "{done} of {planned} were done: fit the plan to the week before changing any load."
    ),
    Decision.STUCK_EXPLAINED: (
        "None yet: {lifts} {have} stood still{when}{sure}, but a break or light week is just behind. "
        "Train as planned for three weeks; if it still stands, change one thing."
    ),
    Decision.FALLING_EXPLAINED: (
        "None yet: {lifts} dipped after a break or light weeks. Train as planned and judge again "
        "in three weeks."
    ),
    Decision.BACK_FROM_BREAK: (
        "None yet. Train as planned after the break, and judge again at the end of next month."
    ),
    Decision.ROWS_UNREADABLE: (
        "None for the training. Mend the rows that could not be read, so that they count."
    ),
    Decision.NO_RESERVE: (
        "None for the training. Ask for reps in reserve on every top set: the next report can then "
        "say more, sooner."
    ),
    Decision.UNCLEAR: (
        "None yet: {lifts} {are} not clear. {keep}, and let more sessions settle it."
    ),
    Decision.FELT_LITTLE: "None for the progression lifts.",
    Decision.RANGE_SWITCHED: (
        "None. Stay in the new rep range, and add load when its top is reached."
    ),
    Decision.DELOADED: "None. Go back to the planned loads after the deload.",
    Decision.STEADY: ("None. {keep}; add load where the top of a rep range is reached."),
}

_NO_LEVER = (
    "{First} is stuck and the log shows no reason. Ask about pain, sleep and technique before "
    "changing anything.{next}"
)

_ADDED = {
    Decision.SESSIONS_MISSED: "See first why sessions were missed.",
    Decision.BACK_FROM_BREAK: "Judge with the break in mind.",
    Decision.ROWS_UNREADABLE: "Mend the rows that could not be read.",
    Decision.NO_RESERVE: "Ask for reps in reserve on top sets.",
    Decision.FELT_LITTLE: "One swap: {swap}.",
}
"""What is said beside the first decision, where it stands too."""

_INDEX = {
    Decision.PAIN_NOTED: "Notes speak of pain or dizziness: {pain}.",
    Decision.MASS_FALLS_FAST: "Body mass falls {loss} a week.",
    Decision.MOST_STUCK: "{Amount} of {judged} lifts stand still or fall, {first} first{sure}.",
    Decision.STUCK_EXPLAINED: (
        "{First} has stood still{when}{sure}, a break or light week just behind{more}."
    ),
    Decision.FALLING: "{First} is falling{when}{sure}, with no reason in the log{more}.",
    Decision.PERHAPS_FALLING: "{First} may be falling{sure}{more}.",
    Decision.PERHAPS_STUCK: "{First} may be stuck{sure}{more}{rest}.",
    Decision.STOPPED: "Nothing logged after {last}.",
    Decision.STUCK: "{First} is stuck{when}{sure}{more}{rest}.",
    Decision.FALLING_IN_DIET: "{First} is falling{when}{sure}{while_losing}{more}.",
    Decision.HOLDING_IN_DIET: "{First} holds while body mass falls{more}.",
    Decision.SESSIONS_MISSED: "{done} of {planned} done.",
    Decision.FALLING_EXPLAINED: "{First} is down after a break or light weeks{more}.",
    Decision.BACK_FROM_BREAK: "Back from a break ({break}); {calm}.",
    Decision.ROWS_UNREADABLE: "{Rows} of the log could not be read.",
    Decision.NO_RESERVE: "Trains without logging reps in reserve.",
    Decision.UNCLEAR: "{Amount} {lift_is} not clear yet.",
    Decision.FELT_LITTLE: "{swap_from} is felt little ({swap_felt} of 5); {calm}.",
    Decision.RANGE_SWITCHED: "{Switched} changed rep range; {calm}.",
    Decision.DELOADED: "A planned deload this month; {calm}.",
    Decision.STEADY: "{Calm}; nothing stands in the way.",
}


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
    if first["decision"] == Decision.PAIN_NOTED:
        rest = decide(others, facts, lever) if _asks(others) else ""
        return f"{_DECIDE[Decision.PAIN_NOTED]} {f'Then: {rest}' if rest else ''}".rstrip()
    words = _words(first, facts, lever)
    text = _DECIDE[Decision(first["decision"])]
    if first["decision"] == Decision.STUCK and not lever:
        text = _NO_LEVER
    added = _ADDED.get(Decision.FELT_LITTLE) if first["decision"] == Decision.FELT_LITTLE else None
    if added is None:
        added = next((_ADDED[d["decision"]] for d in others if d["decision"] in _ADDED), None)
    return (f"{text} {added}" if added else text).format_map(words)


def _asks(decisions: Sequence[Row]) -> bool:
    """Tell whether there is something to decide or to watch among these."""
    return bool(decisions) and decisions[0]["urgency"] >= WATCH_FROM


def index_reason(row: Row, facts: Row) -> str:
    """Say in a line why a client stands where it does in the index."""
    return _INDEX[Decision(row["decision"])].format_map(_words(row, facts, ""))


class _Words(dict[str, str]):
    """What the sentences are filled with; what is not known of a client reads as nothing."""

    def __missing__(self, key: str) -> str:
        return ""


def _words(row: Row, facts: Row, lever: str) -> _Words:
    first, others, amount = row["exercise"] or "", list(row["others"] or []), row["lifts"] or 0
    several = amount > 1
    names = [first, *others]
    if len(names) > NAMED:
        names = [first, f"{worded(len(others))} more"]
    sure = f" ({share(row['p'])})" if row["p"] is not None else ""
    more = f"; so {'is' if amount == 2 else 'are'} {worded(amount - 1)} more" if several else ""
    next_ones = f" After that, {listed(others[:NAMED])}." if others else ""
    words = _Words(
        first=first,
        First=opened(first),
        lifts=listed(names),
        Lifts=opened(listed(names)),
        are="are" if several else "is",
        hold="hold" if several else "holds",
        have="have" if several else "has",
        judged=worded(row["judged"]),
        common=_common(lever),
        p=share(row["p"]) if row["p"] is not None else "",
        sure=sure,
        more=more,
        next=next_ones,
        lever=lever,
        lever_or_one=lever or "change one thing",
        lever_or_look=lever or "look at sleep and food",
        when=_when(row, facts),
        Amount=opened(worded(amount)),
        lift_is="lifts are" if several else "lift is",
        Switched=f"{opened(worded(amount))} lifts" if several else opened(first),
        rest=_rest(row),
        calm=_calm(row),
        Calm=opened(_calm(row)),
    )
    return _Words(words | _client_words(facts))


def _when(row: Row, facts: Row) -> str:
    """Say since when the first lift is what it is; empty where that is not told."""
    if row["is_long"]:
        return f" {LONG}"
    if row["since"] is None:
        return ""
    return f" since about {day(row['since'], year=is_far(row['since'], facts['last_date']))}"


def _common(lever: str) -> str:
    """Say where to begin when most lifts stand still."""
    if lever.startswith(FOOD_FIRST):
        return opened(lever)
    ask = "Ask about sleep, food and stress"
    return f"{ask}. {opened(lever)}" if lever else f"{ask}; each lift's own levers stand below"


def _rest(row: Row) -> str:
    """Say that all other lifts move, where they do."""
    rest = row["judged"] - row["lifts"]
    if rest < 2 or row["moving"] != rest:
        return ""
    return f"; the other {worded(rest)} move up"


def _calm(row: Row) -> str:
    """Say how many lifts move up, or at least that none falls."""
    moving, judged = row["moving"], row["judged"]
    if not moving:
        return "nothing is falling"
    if moving == judged:
        return "the one lift moves up" if judged == 1 else f"all {worded(judged)} lifts move up"
    return f"{worded(moving)} of {worded(judged)} lifts move up"


def _client_words(facts: Row) -> dict[str, str]:
    """Return the words about the client, whatever is known."""
    planned = facts.get("sessions_planned")
    words = {"keep": "Keep the plan as it is" if planned else "Carry on as now"}
    rate = facts.get("mass_pct_week")
    if rate is not None:
        words["loss"] = percent(-rate)
        words["while_losing"] = f" while body mass falls {percent(-rate)} a week"
    if facts.get("last_date") is not None:
        words["last"] = day(facts["last_date"])
    if facts.get("sessions_planned"):
        words["done"] = str(facts["sessions_done"])
        words["planned"] = count(facts["sessions_planned"], "planned session")
    if facts.get("break_from") is not None:
        words["break"] = day_range(facts["break_from"], facts["break_to"])
    if facts.get("pain_note"):
        where = f" ({facts['pain_exercise']})" if facts.get("pain_exercise") else ""
        words["pain"] = f"{quoted(facts['pain_note'])}{where}"
    if facts.get("rejected"):
        rows = "row" if facts["rejected"] == 1 else "rows"
        words["Rows"] = f"{opened(worded(facts['rejected']))} {rows}"
    if facts.get("swap_from"):
        words["swap_from"] = opened(facts["swap_from"])
        words["swap_felt"] = number(facts["swap_felt"], 1)
        words["swap"] = (
            f"{facts['swap_from']}, felt {number(facts['swap_felt'], 1)} of 5, for "
            f"{facts['swap_to']}{_felt_well(facts['swap_to_felt'])}"
        )
    return words


def _felt_well(feel: float | None) -> str:
    return "" if feel is None else f", felt {number(feel, 1)} of 5"
