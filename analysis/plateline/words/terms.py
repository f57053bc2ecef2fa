"""What things are called, once: kinds of sets, states, roles, positions, phases, and the pound."""

from __future__ import annotations

from enum import StrEnum

__all__ = ["KG_PER_LB", "LIFT", "Phase", "Position", "Role", "SetKind", "State"]

KG_PER_LB = 0.45359237
"""A pound, exactly (international yard and pound agreement of 1959)."""

LIFT = ["client", "exercise"]
"""The columns that say which lift a row is about: one exercise of one client."""


class SetKind(StrEnum):
    """What a set was for."""

    WORKING = "working"
    WARM_UP = "warm-up"
    TOP = "top"
    BACK_OFF = "back-off"
    DROP = "drop"


class State(StrEnum):
    """The state of a lift at a date."""

    PROGRESSING = "progressing"
    PLATEAU = "plateau"
    DECLINING = "declining"
    UNCLEAR = "unclear"


class Role(StrEnum):
    """What a lift is in the plan for: load that climbs, or volume and effort."""

    PROGRESSION = "progression"
    ACCESSORY = "accessory"


class Position(StrEnum):
    """Where in its range of motion a muscle is loaded most."""

    LENGTHENED = "lengthened"
    MID = "mid"
    SHORTENED = "shortened"


class Phase(StrEnum):
    """What a client's body mass is meant to do (the `phase` of the clients file)."""

    GAIN = "gain"
    HOLD = "hold"
    LOSE = "lose"
