"""Tables that the kit finds: what sessions say, the state of each lift, curves, records and targets."""

from __future__ import annotations

import polars as pl

from plateline.words.schema import SET_KIND_TYPE, Schema
from plateline.words.terms import State

__all__ = [
    "LIFT_CURVES",
    "LIFT_CURVES_DETAIL",
    "LIFT_RECORDS",
    "LIFT_SESSIONS",
    "LIFT_STATUS",
    "LIFT_STATUS_DETAIL",
    "P_OF_STATE",
    "TARGETS",
    "TARGETS_DETAIL",
]

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

P_OF_STATE = {
    State.PROGRESSING: "p_progressing",
    State.PLATEAU: "p_plateau",
    State.DECLINING: "p_declining",
}
"""The column of LIFT_STATUS that holds the probability of a state."""

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
