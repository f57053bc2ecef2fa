"""The reasons why a client needs a decision or does not, and how urgent each is."""

from __future__ import annotations

from enum import StrEnum

__all__ = ["DECIDE_FROM", "URGENCY", "WATCH_FROM", "Decision", "urgency_word"]


class Decision(StrEnum):
    """Why a client needs, or does not need, a decision."""

    PAIN_NOTED = "notes speak of pain"
    MASS_FALLS_FAST = "body mass falls fast"
    MOST_STUCK = "most lifts stuck"
    FALLING = "falling"
    STOPPED = "nothing logged"
    STUCK = "stuck"
    FALLING_IN_DIET = "falling in a diet phase"
    SESSIONS_MISSED = "sessions missed"
    PERHAPS_FALLING = "perhaps falling"
    PERHAPS_STUCK = "perhaps stuck"
    STUCK_EXPLAINED = "stuck, with a break or light week just behind"
    FALLING_EXPLAINED = "falling after a break"
    BACK_FROM_BREAK = "back from a break"
    HOLDING_IN_DIET = "holding in a diet phase"
    ROWS_UNREADABLE = "rows not readable"
    NO_RESERVE = "no reserve logged"
    UNCLEAR = "unclear"
    FELT_LITTLE = "accessory lift felt little"
    RANGE_SWITCHED = "rep range switched"
    DELOADED = "deload"
    STEADY = "steady"


# Which of a client's reasons is named first. Only the order of these numbers, and the two
# borders below, mean anything.
URGENCY = {
    Decision.PAIN_NOTED: 97.0,
    Decision.MASS_FALLS_FAST: 95.0,
    Decision.MOST_STUCK: 88.0,
    Decision.FALLING: 85.0,
    Decision.STOPPED: 80.0,
    Decision.STUCK: 72.0,
    Decision.FALLING_IN_DIET: 66.0,
    Decision.SESSIONS_MISSED: 62.0,
    Decision.PERHAPS_FALLING: 56.0,
    Decision.PERHAPS_STUCK: 52.0,
    Decision.FALLING_EXPLAINED: 50.0,
    Decision.STUCK_EXPLAINED: 48.0,
    Decision.BACK_FROM_BREAK: 46.0,
    Decision.HOLDING_IN_DIET: 44.0,
    Decision.ROWS_UNREADABLE: 40.0,
    Decision.NO_RESERVE: 36.0,
    Decision.UNCLEAR: 32.0,
    Decision.RANGE_SWITCHED: 20.0,
    Decision.FELT_LITTLE: 18.0,
    Decision.DELOADED: 15.0,
    Decision.STEADY: 0.0,
}
DECIDE_FROM = 60.0
"""From here up a client needs a decision."""
WATCH_FROM = 30.0
"""From here up a client is worth watching."""


def urgency_word(urgency: float) -> str:
    """Return `decide`, `watch` or `carry on`."""
    if urgency >= DECIDE_FROM:
        return "decide"
    return "watch" if urgency >= WATCH_FROM else "carry on"
