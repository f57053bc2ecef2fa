"""The tables of the advice room: names, order and types of their columns, written once."""

from __future__ import annotations

from enum import StrEnum

import polars as pl

from plateline.words import Schema

__all__ = ["LEVERS", "SUBSTITUTES", "Caution", "Evidence", "Lever"]


class Lever(StrEnum):
    """What can be changed about a lift next month."""

    WAIT = "wait"
    BACK_OFF = "back off"
    FOOD_AND_SLEEP = "food and sleep"
    FEWER_SETS = "fewer sets"
    MORE_SETS = "more sets"
    REP_RANGE = "rep range"
    VARIANT = "variant"
    LOG_BETTER = "log better"
    LEAVE_ALONE = "leave alone"


class Evidence(StrEnum):
    """What in the log speaks for a lever."""

    PROGRESSING = "progressing"
    UNCLEAR = "unclear"
    HELD_ON_DIET = "it holds while body mass falls as planned"
    ACCESSORY = "judged by effort"
    NO_CAUSE = "nothing in the log speaks for a change"
    PLANNED_DELOAD = "planned deload"
    AFTER_LAYOFF = "after a layoff"
    NEW_REP_RANGE = "new rep range"
    LOAD_ABOVE_PERFORMANCE = "load above performance"
    RATED_TIRED = "rated more tired than usual"
    FALLS = "it falls"
    NO_EASY_WEEK = "no easier week for long"
    ALL_TO_FAILURE = "most sets to failure"
    LOSING_MASS = "losing body mass"
    LOSING_FASTER = "losing body mass fast"
    NOT_GAINING = "body mass holds though the phase is to gain"
    SHORT_SLEEP = "short sleep"
    SETS_BELOW_PLAN = "sets below plan"
    SETS_BELOW_OWN = "sets below own progressing weeks"
    SETS_ABOVE_OWN = "sets above own progressing weeks"
    FEW_SETS = "few weekly sets"
    MANY_SETS = "many weekly sets"
    REPS_FADE = "later sets fade more than before"
    BACK_OFF_FADES = "back-off sets fall short"
    DIET_COST = "sets cost more while losing mass"
    SAME_REPS = "same rep range for long"
    STUCK_LONG = "stuck for long"
    FELT_LITTLE = "target muscle felt little"
    NO_RIR = "no RIR"
    FEW_SESSIONS = "few sessions"
    STALE = "not trained lately"


class Caution(StrEnum):
    """What a lever must be shown with: the kit describes, licensed practice decides."""

    DIET = "diet"
    LOAD_JUMP = "load jump"
    PAIN = "pain"


LEVERS: Schema = {
    "client": pl.String,
    "exercise": pl.String,
    "state": pl.String,
    "rank": pl.Int32,
    "point": pl.Int32,
    "lever": pl.String,
    "evidence": pl.String,
    "muscle": pl.String,
    "value": pl.Float64,
    "reference": pl.Float64,
    "unit": pl.String,
    "now_low": pl.Float64,
    "now_high": pl.Float64,
    "proposed_low": pl.Float64,
    "proposed_high": pl.Float64,
    "proposed_unit": pl.String,
    "for_weeks": pl.Int32,
    "substitute": pl.String,
    "substitute_feel": pl.Float64,
    "caution": pl.String,
}
"""One row per lift, lever and piece of evidence; see `levers`."""

SUBSTITUTES: Schema = {
    "client": pl.String,
    "exercise": pl.String,
    "rank": pl.Int32,
    "substitute": pl.String,
    "catalogue": pl.String,
    "equipment": pl.String,
    "position": pl.String,
    "same_position": pl.Boolean,
    "muscles_shared": pl.Float64,
    "feel": pl.Float64,
    "feel_ratings": pl.Int32,
    "last_done": pl.Date,
    "reason": pl.String,
}
"""One row per lift and possible substitute, best first; see `substitutes`."""
