"""Small frames in which the evidence for each lever is known."""

from __future__ import annotations

import datetime as dt
from typing import Any

import polars as pl
import pytest

from plateline.words import LIFT_STATUS_DETAIL, SETS

AS_OF = dt.date(2026, 3, 31)


class Frames:
    """Makes SETS and status rows in a line."""

    as_of = AS_OF

    @staticmethod
    def status(**given: Any) -> pl.DataFrame:
        """Return one status row; what is not given is that of a plain plateau."""
        row: dict[str, Any] = dict.fromkeys(LIFT_STATUS_DETAIL)
        row |= {
            "client": "a", "exercise": "Bench press", "state": "plateau", "p_progressing": 0.1,
            "p_plateau": 0.8, "p_declining": 0.1, "slope_pct_week": 0.02, "slope_low": -0.1,
            "slope_high": 0.1, "since": AS_OF - dt.timedelta(weeks=10), "sessions": 30,
            "last_date": AS_OF, "context": [],
        } | given  # fmt: skip
        return pl.DataFrame([row], schema=LIFT_STATUS_DETAIL)

    @staticmethod
    def sets(
        exercise: str = "Bench press",
        *,
        client: str = "a",
        weeks: range = range(20),
        per_week: int = 8,
        reps: int = 9,
        load_kg: float = 80.0,
        rir: float | None = 1.0,
        feel: float | None = None,
        days_ago: int = 1,
    ) -> pl.DataFrame:
        """Return sets of one lift, `per_week` in one session in each of the weeks ago."""
        rows = [
            {
                "client": client, "date": AS_OF - dt.timedelta(days=days_ago + 7 * ago),
                "exercise": exercise, "set_order": i + 1, "set_kind": "working",
                "load_kg": load_kg, "reps": reps, "rir": rir, "feel": feel,
            }
            for ago in weeks
            for i in range(per_week)
        ]  # fmt: skip
        whole = [dict.fromkeys(SETS) | row for row in rows]
        return pl.DataFrame(whole, schema=SETS).sort("client", "date", maintain_order=True)

    @staticmethod
    def readiness(weeks: range = range(4), **given: Any) -> pl.DataFrame:
        """Return readiness rows of the last weeks."""
        base = {
            "client": "a", "hooper_index": 11.0, "usual_index": 11.0, "sleep_h": 7.6,
            "body_mass_pct_week": 0.0, "is_high_fatigue": False, "is_short_sleep": False,
            "is_losing_mass": False, "against_aim": "within",
        } | given  # fmt: skip
        monday = AS_OF - dt.timedelta(days=AS_OF.weekday())
        return pl.DataFrame([base | {"week": monday - dt.timedelta(weeks=w)} for w in weeks])

    @staticmethod
    def clients(**given: Any) -> pl.DataFrame:
        """Return one row of CLIENTS."""
        from plateline.words import CLIENTS

        return pl.DataFrame([dict.fromkeys(CLIENTS) | {"client": "a"} | given], schema=CLIENTS)

    @staticmethod
    def plan(*rows: dict[str, Any]) -> pl.DataFrame:
        """Return PLAN rows of one block that began eight weeks ago."""
        from plateline.words import PLAN

        base = dict.fromkeys(PLAN) | {
            "client": "a", "block": "B", "start": AS_OF - dt.timedelta(weeks=8), "weeks": 10,
            "session": "A", "exercise": "Bench press", "role": "progression",
            "set_kind": "working", "sets": 8, "reps_low": 8, "reps_high": 10,
        }  # fmt: skip
        return pl.DataFrame([base | row for row in rows or ({},)], schema=PLAN)


@pytest.fixture(scope="session")
def frames() -> type[Frames]:
    return Frames
