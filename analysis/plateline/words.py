"""The words of the kit: column names, set kinds, states and roles, written once.

Every frame that crosses from one room to another is listed here with its columns and
types. A room returns a frame through :func:`conform`, so a misspelt or missing column is
found where it is made, not three rooms later.

Loads are kilograms, dates are calendar days, weeks are named by their Monday.
"""

from __future__ import annotations

from enum import StrEnum

import polars as pl

__all__ = [
    "CATALOGUE",
    "CHECKINS",
    "CLIENTS",
    "EXERCISE_NAMES",
    "KG_PER_LB",
    "LIFT_CURVES",
    "LIFT_CURVES_DETAIL",
    "LIFT_RECORDS",
    "LIFT_SESSIONS",
    "LIFT_STATUS",
    "LIFT_STATUS_DETAIL",
    "PLAN",
    "REJECTED",
    "SETS",
    "TARGETS",
    "TARGETS_DETAIL",
    "Phase",
    "Position",
    "Role",
    "SetKind",
    "State",
    "conform",
]

KG_PER_LB = 0.45359237
"""A pound, exactly (international yard and pound agreement of 1959)."""

Schema = dict[str, pl.DataType | type[pl.DataType]]


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


SET_KIND_TYPE = pl.Enum([kind.value for kind in SetKind])
"""Set kinds as a Polars type: one byte a row, and no kind but these."""

SETS: Schema = {
    "client": pl.String,
    "date": pl.Date,
    "session": pl.String,
    "exercise": pl.String,
    "set_order": pl.Int32,
    "set_kind": SET_KIND_TYPE,
    "superset": pl.String,
    "load_kg": pl.Float64,
    "reps": pl.Int32,
    "rir": pl.Float64,
    "side": pl.String,
    "rest_s": pl.Float64,
    "feel": pl.Float64,
    "note": pl.String,
    "source_file": pl.String,
    "source_line": pl.Int64,
    "flag": pl.String,
}
"""The clean table: one row per set. `load_kg` is external load, per hand for dumbbells."""

REJECTED: Schema = {
    "source_file": pl.String,
    "source_line": pl.Int64,
    "column": pl.String,
    "value": pl.String,
    "reason": pl.String,
    "row": pl.String,
}

CLIENTS: Schema = {
    "client": pl.String,
    "name": pl.String,
    "sex": pl.String,
    "birth_year": pl.Int32,
    "unit": pl.String,
    "phase": pl.String,
    "goal": pl.String,
    "training_age_years": pl.Float64,
    "load_step_kg": pl.Float64,
    "equipment": pl.List(pl.String),
}

CHECKINS: Schema = {
    "client": pl.String,
    "date": pl.Date,
    "body_mass_kg": pl.Float64,
    "sleep_h": pl.Float64,
    "sleep": pl.Float64,
    "stress": pl.Float64,
    "fatigue": pl.Float64,
    "soreness": pl.Float64,
    "energy_kcal": pl.Float64,
    "protein_g": pl.Float64,
    "session_rpe": pl.Float64,
    "session_min": pl.Float64,
    "note": pl.String,
}

PLAN: Schema = {
    "client": pl.String,
    "block": pl.String,
    "start": pl.Date,
    "weeks": pl.Int32,
    "session": pl.String,
    "exercise": pl.String,
    "role": pl.String,
    "set_kind": SET_KIND_TYPE,
    "sets": pl.Int32,
    "reps_low": pl.Int32,
    "reps_high": pl.Int32,
    "rir": pl.Float64,
    "superset": pl.String,
}

CATALOGUE: Schema = {
    "exercise": pl.String,
    "aliases": pl.List(pl.String),
    "pattern": pl.String,
    "equipment": pl.String,
    "position": pl.String,
    "direct": pl.List(pl.String),
    "indirect": pl.List(pl.String),
    "laterality": pl.String,
    "body_mass_share": pl.Float64,
    "load_step_kg": pl.Float64,
    "substitutes": pl.List(pl.String),
}

EXERCISE_NAMES: Schema = {
    "client": pl.String,
    "name": pl.String,
    "exercise": pl.String,
    "catalogue": pl.String,
    "how": pl.String,
    "score": pl.Float64,
    "suggestion": pl.String,
    "rows": pl.Int64,
}
"""One row per client and name as written: what it was read as, and how.

`exercise` is the label that stands in the clean table (the client's own most usual
spelling of it); `catalogue` is the entry that gives it muscles, null where none matched.
"""

LIFT_SESSIONS: Schema = {
    "client": pl.String,
    "exercise": pl.String,
    "date": pl.Date,
    "sets": pl.Int32,
    "load_kg": pl.Float64,
    "total_kg": pl.Float64,
    "reps": pl.Int32,
    "rir": pl.Float64,
    "reps_to_failure": pl.Float64,
    "set_kind": SET_KIND_TYPE,
    "strength_kg": pl.Float64,
    "strength_sd_pct": pl.Float64,
    "e1rm_kg": pl.Float64,
    "is_lower_bound": pl.Boolean,
    "weight": pl.Float64,
    "source_file": pl.String,
    "source_line": pl.Int64,
}
"""One row per lift and day: what that day's sets say about strength.

`load_kg`, `reps`, `rir`, `set_kind`, `source_*` are those of the set that says most.
`total_kg` is load with the body mass that is moved, and of both hands then. `strength_kg` is on
the lift's own scale (see LIFT_STATUS_DETAIL.scale); `e1rm_kg` is null outside the equations' window.
"""

LIFT_STATUS: Schema = {
    "client": pl.String,
    "exercise": pl.String,
    "state": pl.String,
    "p_progressing": pl.Float64,
    "p_plateau": pl.Float64,
    "p_declining": pl.Float64,
    "slope_pct_week": pl.Float64,
    "slope_low": pl.Float64,
    "slope_high": pl.Float64,
    "since": pl.Date,
    "e1rm_kg": pl.Float64,
    "e1rm_low": pl.Float64,
    "e1rm_high": pl.Float64,
    "sessions": pl.Int32,
    "last_date": pl.Date,
}
"""The contract of `plateline status`: a row per lift at one date, in this order."""

LIFT_STATUS_DETAIL: Schema = LIFT_STATUS | {
    "since_low": pl.Date,
    "since_high": pl.Date,
    "scale": pl.String,
    "usual_reps": pl.Float64,
    "strength_kg": pl.Float64,
    "strength_low": pl.Float64,
    "strength_high": pl.Float64,
    "forecast_kg": pl.Float64,
    "forecast_low": pl.Float64,
    "forecast_high": pl.Float64,
    "noise_pct": pl.Float64,
    "sessions_needed": pl.Int32,
    "context": pl.List(pl.String),
    "reason": pl.String,
}
"""What `lift_status()` returns: the contract's columns and what explains them.

`scale` is `e1rm` or `working strength` (then `usual_reps` says for how many reps);
`forecast_*` is strength four weeks on; `sessions_needed` is null unless unclear;
`context` names what stands beside the state: `deload`, `layoff`, `rep-range switch`,
`diet phase`, `few sessions`, `no RIR`, `stale`; `reason` is null unless a value is.
"""

LIFT_CURVES: Schema = {
    "client": pl.String,
    "exercise": pl.String,
    "date": pl.Date,
    "kind": pl.String,
    "observed_kg": pl.Float64,
    "fitted_kg": pl.Float64,
    "low_kg": pl.Float64,
    "high_kg": pl.Float64,
    "load_kg": pl.Float64,
    "reps": pl.Int32,
    "rir": pl.Float64,
    "context": pl.String,
    "source_file": pl.String,
    "source_line": pl.Int64,
}
"""What a trend chart needs: a row per session (`kind` = `session`) and per forecast week
(`kind` = `forecast`), with the fitted line and its 90 % band on the lift's scale."""

LIFT_CURVES_DETAIL: Schema = {**LIFT_CURVES, "left_out": pl.Int32}
"""What `lift_curves()` returns: `left_out` counts the sets of a session that fit neither the
rest of that day nor the days around it, and were left out as typing errors."""

LIFT_RECORDS: Schema = {
    "client": pl.String,
    "exercise": pl.String,
    "record": pl.String,
    "reps": pl.Int32,
    "load_kg": pl.Float64,
    "rir": pl.Float64,
    "e1rm_kg": pl.Float64,
    "date": pl.Date,
    "source_file": pl.String,
    "source_line": pl.Int64,
}
"""`record` is `best load` (one row per rep count that no heavier or longer set beats) or
`best e1RM` (one row per lift)."""

TARGETS: Schema = {
    "client": pl.String,
    "exercise": pl.String,
    "reps": pl.Int32,
    "rir": pl.Float64,
    "load_kg": pl.Float64,
    "load_low": pl.Float64,
    "load_high": pl.Float64,
}

TARGETS_DETAIL: Schema = {**TARGETS, "body_kg": pl.Float64}
"""What `targets()` returns: the contract's columns and the body mass in the load.

`load_kg` is external load, per hand for dumbbells, negative for assistance; `body_kg` is the
body mass that the lift moves on top of it, null where it moves none."""


def conform(frame: pl.DataFrame, schema: Schema) -> pl.DataFrame:
    """Return `frame` with exactly the columns of `schema`, in its order and types.

    Parameters
    ----------
    frame
        A frame that holds at least the columns of `schema`.
    schema
        One of the schemas of this module.

    Raises
    ------
    polars.exceptions.ColumnNotFoundError
        When a column is missing: a fault of the room that made the frame.
    """
    return frame.select(pl.col(name).cast(dtype) for name, dtype in schema.items())
