"""Tables that people bring: the log, the files beside it, the catalogue, and names as they write them."""

from __future__ import annotations

import polars as pl

from plateline.words.schema import SET_KIND_TYPE, Schema

__all__ = ["CATALOGUE", "CHECKINS", "CLIENTS", "EXERCISE_NAMES", "PLAN", "REJECTED", "SETS"]

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
