"""The words of the kit: column names, set kinds, states and roles, written once.

Every frame that crosses from one room to another is listed here with its columns and
types. A room returns a frame through :func:`conform`, so a misspelt or missing column is
found where it is made, not three rooms later.

Loads are kilograms, dates are calendar days, weeks are named by their Monday.
"""

from plateline.words.brought import (
    CATALOGUE,
    CHECKINS,
    CLIENTS,
    EXERCISE_NAMES,
    PLAN,
    REJECTED,
    SETS,
)
from plateline.words.found import (
    LIFT_CURVES,
    LIFT_CURVES_DETAIL,
    LIFT_RECORDS,
    LIFT_SESSIONS,
    LIFT_STATUS,
    LIFT_STATUS_DETAIL,
    P_OF_STATE,
    TARGETS,
    TARGETS_DETAIL,
)
from plateline.words.schema import SET_KIND_TYPE, Schema, conform
from plateline.words.terms import KG_PER_LB, LIFT, Phase, Position, Role, SetKind, State

__all__ = [
    "CATALOGUE",
    "CHECKINS",
    "CLIENTS",
    "EXERCISE_NAMES",
    "KG_PER_LB",
    "LIFT",
    "LIFT_CURVES",
    "LIFT_CURVES_DETAIL",
    "LIFT_RECORDS",
    "LIFT_SESSIONS",
    "LIFT_STATUS",
    "LIFT_STATUS_DETAIL",
    "PLAN",
    "P_OF_STATE",
    "REJECTED",
    "SETS",
    "SET_KIND_TYPE",
    "TARGETS",
    "TARGETS_DETAIL",
    "Phase",
    "Position",
    "Role",
    "Schema",
    "SetKind",
    "State",
    "conform",
]
