"""Small logs for the tests of strength and trend: rows in, a SETS frame out."""

from __future__ import annotations

import datetime as dt
from typing import Any

import polars as pl

from plateline.words import SETS, conform

DAY = dt.date(2026, 1, 5)


def sets(*rows: dict[str, Any]) -> pl.DataFrame:
    """Return a SETS frame; what a row leaves out is an ordinary bench-press set."""
    usual = {"client": "a", "exercise": "Bench press", "date": DAY, "set_kind": "working"}
    filled = [
        dict.fromkeys(SETS)
        | usual
        | {"set_order": number, "source_file": "log.csv", "source_line": number + 1}
        | row
        for number, row in enumerate(rows, start=1)
    ]
    return conform(pl.DataFrame(filled, infer_schema_length=None), SETS)


def body_mass(**by_day: float) -> pl.DataFrame:
    """Return check-ins of client a: ``body_mass(d0=80, d10=82)`` is days after `DAY`."""
    return pl.DataFrame(
        {
            "client": ["a"] * len(by_day),
            "date": [DAY + dt.timedelta(days=int(day[1:])) for day in by_day],
            "body_mass_kg": list(by_day.values()),
        }
    )
