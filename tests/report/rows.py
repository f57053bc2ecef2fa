"""Rows of the report's frames with plain defaults, for tests of what is said about them."""

from __future__ import annotations

import datetime as dt
from typing import Any

MONTH = dt.date(2026, 3, 1)


def a_lift(
    exercise: str = "Back squat", state: str = "progressing", **changed: Any
) -> dict[str, Any]:
    """Return a row of the frame of lifts: moving up by 2.1 % unless told otherwise."""
    row = {
        "client": "ann",
        "exercise": exercise,
        "state": state,
        "p_progressing": 0.9 if state == "progressing" else 0.05,
        "p_plateau": 0.87 if state == "plateau" else 0.05,
        "p_declining": 0.93 if state == "declining" else 0.05,
        "slope_pct_week": 0.5,
        "slope_low": 0.3,
        "slope_high": 0.7,
        "since": None,
        "since_low": None,
        "since_high": None,
        "is_long": False,
        "may_be_long": False,
        "scale": "e1rm",
        "usual_reps": 9.0,
        "strength_kg": 102.1,
        "strength_low": 100.0,
        "strength_high": 104.0,
        "sessions_needed": None,
        "context": [],
        "reason": None,
        "role": "progression",
        "state_before": "progressing",
        "change_pct": 2.1,
        "change_low": 1.2,
        "change_high": 3.0,
        "sessions_month": 4,
        "records_month": 0,
        "best_load_kg": 82.5,
        "best_reps": 9,
        "best_rir": 1.0,
        "best_date": dt.date(2026, 3, 14),
        "best_source_file": "log.csv",
        "best_source_line": 1042,
        "last_date": dt.date(2026, 3, 28),
        "attention": 1.0,
        "leads": True,
        "best_ever_date": None,
    }
    return row | changed


def some_facts(**changed: Any) -> dict[str, Any]:
    """Return a row of the frame of clients: twelve sessions logged, nothing else known."""
    row = {
        "client": "ann",
        "name": "Ann",
        "unit": "kg",
        "phase": None,
        "goal": None,
        "sessions_month": 12,
        "sets_month": 180,
        "sessions_before": 11,
        "last_date": dt.date(2026, 3, 28),
        "rir_share": 1.0,
        "rejected": 0,
        "swap_from": None,
    }
    return row | changed


def a_decision(decision: str, exercise: str | None = "Squat", **changed: Any) -> dict[str, Any]:
    """Return a row of the frame of decisions: about one lift of four, of which three move up."""
    row = {
        "client": "ann",
        "decision": decision,
        "urgency": 50.0,
        "exercise": exercise,
        "p": 0.9,
        "since": None,
        "is_long": False,
        "lifts": 1,
        "others": [],
        "weight": 0.9,
        "moving": 3,
        "judged": 4,
    }
    return row | changed
