"""The tables of the fatigue room: names, order and types of their columns, written once."""

from __future__ import annotations

import polars as pl

from plateline.words import Schema

__all__ = [
    "BACK_OFF_RATIO",
    "BODY_MASS_TREND",
    "DAILY_LOAD",
    "DROP_OFF",
    "EXPLAIN_MONTH",
    "HOOPER",
    "IMPULSE_PREDICTION",
    "IMPULSE_RESPONSE",
    "LOAD_RATIOS",
    "MONOTONY_STRAIN",
    "PERFORMANCE_RATIO",
    "READINESS",
    "RELATIVE_STRENGTH",
    "WEEK_CHANGE",
]

DAILY_LOAD: Schema = {
    "client": pl.String,
    "date": pl.Date,
    "trained": pl.Boolean,
    "volume_load_kg": pl.Float64,
    "hard_sets": pl.Float64,
    "session_rpe_load": pl.Float64,
}

LOAD_RATIOS: Schema = {
    "client": pl.String,
    "week": pl.Date,
    "date": pl.Date,
    "measure": pl.String,
    "acute_per_day": pl.Float64,
    "chronic_per_day": pl.Float64,
    "ratio_coupled": pl.Float64,
    "ratio_uncoupled": pl.Float64,
    "acute_ewma_per_day": pl.Float64,
    "chronic_ewma_per_day": pl.Float64,
    "ratio_ewma": pl.Float64,
    "days_of_log": pl.Int64,
    "reason": pl.String,
}

WEEK_CHANGE: Schema = {
    "client": pl.String,
    "week": pl.Date,
    "volume_load_kg": pl.Float64,
    "previous_volume_load_kg": pl.Float64,
    "volume_load_change_pct": pl.Float64,
    "hard_sets": pl.Float64,
    "previous_hard_sets": pl.Float64,
    "hard_sets_change_pct": pl.Float64,
    "is_partial": pl.Boolean,
    "reason": pl.String,
}

MONOTONY_STRAIN: Schema = {
    "client": pl.String,
    "week": pl.Date,
    "measure": pl.String,
    "week_load": pl.Float64,
    "mean_per_day": pl.Float64,
    "sd_per_day": pl.Float64,
    "monotony": pl.Float64,
    "strain": pl.Float64,
    "is_partial": pl.Boolean,
    "reason": pl.String,
}

DROP_OFF: Schema = {
    "client": pl.String,
    "date": pl.Date,
    "session": pl.String,
    "exercise": pl.String,
    "side": pl.String,
    "superset": pl.String,
    "load_kg": pl.Float64,
    "sets": pl.Int64,
    "reps": pl.List(pl.Int32),
    "first_reps": pl.Int64,
    "last_reps": pl.Int64,
    "drop_off": pl.Float64,
    "drop_off_to_last": pl.Float64,
    "reps_lost_per_set": pl.Float64,
    "median_rest_s": pl.Float64,
    "rir_change": pl.Float64,
    "reason": pl.String,
}

BACK_OFF_RATIO: Schema = {
    "client": pl.String,
    "date": pl.Date,
    "session": pl.String,
    "exercise": pl.String,
    "top_load_kg": pl.Float64,
    "top_reps": pl.Int64,
    "top_rir": pl.Float64,
    "back_off_load_kg": pl.Float64,
    "back_off_reps": pl.Int64,
    "back_off_rir": pl.Float64,
    "expected_reps": pl.Float64,
    "back_off_ratio": pl.Float64,
    "population_ratio": pl.Float64,
    "curve": pl.String,
    "reason": pl.String,
}

PERFORMANCE_RATIO: Schema = {
    "client": pl.String,
    "exercise": pl.String,
    "week": pl.Date,
    "date": pl.Date,
    "load_ratio": pl.Float64,
    "performance": pl.Float64,
    "performance_ratio": pl.Float64,
    "sessions": pl.Int64,
    "reason": pl.String,
}

IMPULSE_RESPONSE: Schema = {
    "client": pl.String,
    "exercise": pl.String,
    "verdict": pl.String,
    "start_kg": pl.Float64,
    "fitness_gain": pl.Float64,
    "fatigue_gain": pl.Float64,
    "fitness_days": pl.Float64,
    "fatigue_days": pl.Float64,
    "tests": pl.Int64,
    "rmse": pl.Float64,
    "r_squared": pl.Float64,
    "reason": pl.String,
}

IMPULSE_PREDICTION: Schema = {
    "client": pl.String,
    "exercise": pl.String,
    "date": pl.Date,
    "predicted": pl.Float64,
    "low": pl.Float64,
    "high": pl.Float64,
    "observed": pl.Float64,
}

HOOPER: Schema = {
    "client": pl.String,
    "date": pl.Date,
    "sleep": pl.Float64,
    "stress": pl.Float64,
    "fatigue": pl.Float64,
    "soreness": pl.Float64,
    "items": pl.Int64,
    "hooper_index": pl.Float64,
    "usual_index": pl.Float64,
    "usual_sd": pl.Float64,
    "reason": pl.String,
}

BODY_MASS_TREND: Schema = {
    "client": pl.String,
    "date": pl.Date,
    "body_mass_kg": pl.Float64,
    "smoothed_kg": pl.Float64,
    "level_kg": pl.Float64,
    "slope_pct_week": pl.Float64,
    "slope_low": pl.Float64,
    "slope_high": pl.Float64,
    "phase": pl.String,
    "aim_low_pct_week": pl.Float64,
    "aim_high_pct_week": pl.Float64,
    "against_aim": pl.String,
    "weighings": pl.Int64,
    "reason": pl.String,
}

READINESS: Schema = {
    "client": pl.String,
    "week": pl.Date,
    "checkins": pl.Int64,
    "hooper_index": pl.Float64,
    "usual_index": pl.Float64,
    "sleep_h": pl.Float64,
    "energy_kcal": pl.Float64,
    "protein_g": pl.Float64,
    "protein_g_kg": pl.Float64,
    "body_mass_kg": pl.Float64,
    "body_mass_pct_week": pl.Float64,
    "phase": pl.String,
    "against_aim": pl.String,
    "load_ratio": pl.Float64,
    "is_high_fatigue": pl.Boolean,
    "is_short_sleep": pl.Boolean,
    "is_losing_mass": pl.Boolean,
    "reason": pl.String,
}

EXPLAIN_MONTH: Schema = {
    "client": pl.String,
    "exercise": pl.String,
    "month": pl.Date,
    "month_pct": pl.Float64,
    "is_bad_month": pl.Boolean,
    "factor": pl.String,
    "share_in_month": pl.Float64,
    "share_before": pl.Float64,
    "difference_pct": pl.Float64,
    "difference_low": pl.Float64,
    "difference_high": pl.Float64,
    "sessions_with": pl.Int64,
    "sessions_without": pl.Int64,
    "explains_pct": pl.Float64,
    "verdict": pl.String,
    "reason": pl.String,
}

RELATIVE_STRENGTH: Schema = {
    "client": pl.String,
    "exercise": pl.String,
    "date": pl.Date,
    "e1rm_kg": pl.Float64,
    "body_mass_kg": pl.Float64,
    "per_body_mass": pl.Float64,
    "points": pl.Float64,
    "event": pl.String,
    "reason": pl.String,
}
