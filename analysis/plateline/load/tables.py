"""The tables of the load room: names, order and types of their columns, written once."""

from __future__ import annotations

import polars as pl

from plateline.words import Schema

__all__ = [
    "ADHERENCE",
    "ADHERENCE_WEEKS",
    "BLOCK_LOAD",
    "EFFORT",
    "FREQUENCY",
    "INTENSITY",
    "LOAD_BY",
    "MONTHLY_LOAD",
    "REP_ZONES",
    "ROLES",
    "SESSION_LOAD",
    "SUPERSETS",
    "WEEKLY_LOAD",
    "WEEKLY_MUSCLES",
    "WEEKLY_PATTERNS",
    "WEEKLY_POSITIONS",
]

_WORK: Schema = {
    "rows": pl.Int64,
    "sets": pl.Float64,
    "working_sets": pl.Float64,
    "hard_sets": pl.Float64,
    "reps": pl.Int64,
    "volume_load_kg": pl.Float64,
    "working_volume_load_kg": pl.Float64,
    "moved_kg": pl.Float64,
    "mean_load_kg": pl.Float64,
    "top_load_kg": pl.Float64,
}

_SHARE: Schema = {
    "best_e1rm_kg": pl.Float64,
    "reference_e1rm_kg": pl.Float64,
    "load_share": pl.Float64,
}

_EFFORT: Schema = {"mean_rir": pl.Float64, "rir_known_share": pl.Float64}

_PERIOD: Schema = (
    {"exercise": pl.String}
    | _WORK
    | _SHARE
    | _EFFORT
    | {"sessions": pl.Int64, "is_partial": pl.Boolean, "reason": pl.String}
)

WEEKLY_LOAD: Schema = {"client": pl.String, "week": pl.Date} | _PERIOD

MONTHLY_LOAD: Schema = {"client": pl.String, "month": pl.Date} | _PERIOD

BLOCK_LOAD: Schema = {
    "client": pl.String,
    "block": pl.String,
    "start": pl.Date,
    "end": pl.Date,
} | _PERIOD

SESSION_LOAD: Schema = (
    {"client": pl.String, "date": pl.Date, "session": pl.String, "exercises": pl.Int64}
    | _WORK
    | _EFFORT
    | {
        "duration_min": pl.Float64,
        "density_kg_min": pl.Float64,
        "session_rpe_load": pl.Float64,
        "reason": pl.String,
    }
)

_WHERE: Schema = {
    "direct_sets": pl.Float64,
    "indirect_sets": pl.Float64,
    "hard_sets": pl.Float64,
    "all_sets": pl.Float64,
    "direct_reps": pl.Int64,
    "direct_volume_load_kg": pl.Float64,
    "sessions": pl.Int64,
    "exercises": pl.Int64,
    "is_partial": pl.Boolean,
    "reason": pl.String,
}

WEEKLY_MUSCLES: Schema = {"client": pl.String, "week": pl.Date, "muscle": pl.String} | _WHERE

WEEKLY_POSITIONS: Schema = {
    "client": pl.String,
    "week": pl.Date,
    "muscle": pl.String,
    "position": pl.String,
} | _WHERE

WEEKLY_PATTERNS: Schema = {
    "client": pl.String,
    "week": pl.Date,
    "pattern": pl.String,
    "sets": pl.Float64,
    "hard_sets": pl.Float64,
    "reps": pl.Int64,
    "volume_load_kg": pl.Float64,
    "sessions": pl.Int64,
    "exercises": pl.Int64,
    "is_partial": pl.Boolean,
    "reason": pl.String,
}

LOAD_BY: Schema = {
    "client": pl.String,
    "per": pl.String,
    "start": pl.Date,
    "end": pl.Date,
    "label": pl.String,
    "by": pl.String,
    "name": pl.String,
    "direct_sets": pl.Float64,
    "indirect_sets": pl.Float64,
    "hard_sets": pl.Float64,
    "all_sets": pl.Float64,
    "direct_reps": pl.Int64,
    "direct_volume_load_kg": pl.Float64,
    "days": pl.Int64,
    "exercises": pl.Int64,
    "is_partial": pl.Boolean,
    "reason": pl.String,
}

REP_ZONES: Schema = {
    "client": pl.String,
    "week": pl.Date,
    "exercise": pl.String,
    "zone": pl.String,
    "zone_order": pl.Int64,
    "sets": pl.Float64,
    "share": pl.Float64,
    "is_partial": pl.Boolean,
}

EFFORT: Schema = {
    "client": pl.String,
    "week": pl.Date,
    "exercise": pl.String,
    "effort": pl.String,
    "effort_order": pl.Int64,
    "sets": pl.Float64,
    "share": pl.Float64,
    "is_partial": pl.Boolean,
}

INTENSITY: Schema = {
    "client": pl.String,
    "week": pl.Date,
    "exercise": pl.String,
    "band": pl.String,
    "band_order": pl.Int64,
    "sets": pl.Float64,
    "share": pl.Float64,
    "is_partial": pl.Boolean,
    "reason": pl.String,
}

FREQUENCY: Schema = {
    "client": pl.String,
    "what": pl.String,
    "name": pl.String,
    "weeks": pl.Int64,
    "weeks_trained": pl.Int64,
    "sessions": pl.Int64,
    "sessions_week": pl.Float64,
    "median_days_between": pl.Float64,
    "last_date": pl.Date,
    "reason": pl.String,
}

ROLES: Schema = {
    "client": pl.String,
    "exercise": pl.String,
    "role": pl.String,
    "how": pl.String,
    "sessions": pl.Int64,
    "usual_reps": pl.Float64,
    "top_back_off_share": pl.Float64,
    "superset_share": pl.Float64,
    "reason": pl.String,
}

SUPERSETS: Schema = {
    "client": pl.String,
    "date": pl.Date,
    "session": pl.String,
    "superset": pl.String,
    "how": pl.String,
    "exercises": pl.List(pl.String),
    "rounds": pl.Int64,
    "sets": pl.Float64,
    "reps_first_round": pl.Int64,
    "reps_last_round": pl.Int64,
    "reps_held": pl.Float64,
    "reason": pl.String,
}

ADHERENCE: Schema = {
    "client": pl.String,
    "block": pl.String,
    "week": pl.Date,
    "session": pl.String,
    "exercise": pl.String,
    "role": pl.String,
    "set_kind": pl.String,
    "status": pl.String,
    "swapped_for": pl.String,
    "sets_planned": pl.Float64,
    "sets_done": pl.Float64,
    "reps_low": pl.Int64,
    "reps_high": pl.Int64,
    "sets_in_range": pl.Float64,
    "sets_below_range": pl.Float64,
    "sets_above_range": pl.Float64,
    "rir_planned": pl.Float64,
    "sets_with_rir": pl.Float64,
    "sets_rir_reached": pl.Float64,
    "mean_rir": pl.Float64,
    "reason": pl.String,
}

ADHERENCE_WEEKS: Schema = {
    "client": pl.String,
    "block": pl.String,
    "week": pl.Date,
    "sessions_planned": pl.Int64,
    "sessions_done": pl.Int64,
    "sets_planned": pl.Float64,
    "sets_done": pl.Float64,
    "sets_swapped": pl.Float64,
    "sets_missed": pl.Float64,
    "sets_added": pl.Float64,
    "reps_in_range_share": pl.Float64,
    "rir_reached_share": pl.Float64,
    "is_partial": pl.Boolean,
    "reason": pl.String,
}
