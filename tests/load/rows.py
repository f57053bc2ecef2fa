"""Small hand-made logs for the load and fatigue tests."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import polars as pl

from plateline.words import CATALOGUE, PLAN, SETS, SetKind

MONDAY = date(2026, 1, 5)


def day(number: int) -> date:
    """Day `number` after the first Monday."""
    return MONDAY + timedelta(days=number)


def log(*rows: dict[str, Any], **common: Any) -> pl.DataFrame:
    """Make a SETS frame; `common` holds for all rows, what is left out is null or plain."""
    plain = {"client": "ann", "date": MONDAY, "set_kind": SetKind.WORKING.value}
    filled = [plain | common | row for row in rows]
    return pl.DataFrame(
        [{name: row.get(name) for name in SETS} for row in filled], schema=SETS, orient="row"
    )


def work(exercise: str, load_kg: float, reps: int, **more: Any) -> dict[str, Any]:
    """One set."""
    return {"exercise": exercise, "load_kg": load_kg, "reps": reps} | more


def plan(*rows: dict[str, Any], **common: Any) -> pl.DataFrame:
    """Make a PLAN frame of one block of four weeks from the first Monday."""
    plain = {
        "client": "ann",
        "block": "one",
        "start": MONDAY,
        "weeks": 4,
        "session": "A",
        "role": "progression",
        "set_kind": "working",
        "sets": 3,
    }
    filled = [plain | common | row for row in rows]
    return pl.DataFrame([{name: row.get(name) for name in PLAN} for row in filled], schema=PLAN)


def catalogue(*rows: dict[str, Any]) -> pl.DataFrame:
    """Make a CATALOGUE of invented exercises."""
    plain = {
        "aliases": [],
        "pattern": "push",
        "equipment": "barbell",
        "position": "mid",
        "direct": [],
        "indirect": [],
        "laterality": "bilateral",
        "body_mass_share": 0.0,
        "substitutes": [],
    }
    return pl.DataFrame(
        [{name: (plain | row).get(name) for name in CATALOGUE} for row in rows], schema=CATALOGUE
    )
