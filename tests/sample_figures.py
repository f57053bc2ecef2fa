"""One figure of every kind, from small invented frames, for the tests of charts and pages."""

from __future__ import annotations

import datetime as dt
import math

import polars as pl

from plateline import charts
from plateline.words import LIFT_CURVES, LIFT_STATUS_DETAIL, Position, conform

PAYLOAD = '<img src=x onerror="window.hacked=1"></script><script>window.hacked=2</script>'
"""Markup that would run if any of it reached a page as markup."""

START = dt.date(2026, 1, 5)
WEEKS = [START + dt.timedelta(weeks=week) for week in range(12)]
MUSCLES = ("quadriceps", "glutes", "hamstrings", "chest", "upper back", "lats", "triceps")


def curves(
    exercise: str = "Bench press", *, sessions: int = 60, file: str = "log.csv"
) -> pl.DataFrame:
    """Return LIFT_CURVES of a lift that climbs and then stands still, with four weeks ahead."""
    rows = []
    fitted, day = 80.0, START
    for count in range(sessions):
        day = START + dt.timedelta(days=4 * count)
        fitted = 80 + 0.4 * min(count, 35)
        observed = fitted * (1 + 0.02 * math.sin(count * 2.4))
        rows.append(
            {
                "client": "C01", "exercise": exercise, "date": day, "kind": "session",
                "observed_kg": observed, "fitted_kg": fitted, "low_kg": fitted * 0.985,
                "high_kg": fitted * 1.015, "load_kg": round(observed * 0.3) * 2.5,
                "reps": 8 + count % 3, "rir": float(count % 3),
                "context": "deload" if count in (20, 21) else None,
                "source_file": file, "source_line": 2 + 3 * count,
            }
        )  # fmt: skip
    rows += [
        {
            "client": "C01", "exercise": exercise, "date": day + dt.timedelta(weeks=week),
            "kind": "forecast", "fitted_kg": fitted + 0.1 * week,
            "low_kg": fitted * (0.985 - 0.004 * week),
            "high_kg": fitted * (1.015 + 0.004 * week),
        }
        for week in range(1, 5)
    ]  # fmt: skip
    return conform(pl.DataFrame(rows, infer_schema_length=None), LIFT_CURVES)


def status(exercise: str = "Bench press") -> pl.DataFrame:
    """Return the LIFT_STATUS_DETAIL row that goes with `curves`."""
    row = dict.fromkeys(LIFT_STATUS_DETAIL) | {
        "client": "C01", "exercise": exercise, "state": "plateau", "p_progressing": 0.08,
        "p_plateau": 0.88, "p_declining": 0.04, "slope_pct_week": 0.02, "slope_low": -0.1,
        "slope_high": 0.14, "since": dt.date(2026, 5, 25), "since_low": dt.date(2026, 5, 10),
        "since_high": dt.date(2026, 6, 12), "scale": "working strength", "usual_reps": 9.0,
        "sessions": 60, "last_date": dt.date(2026, 8, 29), "context": ["deload"],
    }  # fmt: skip
    return pl.DataFrame([row], schema=LIFT_STATUS_DETAIL)


def every_figure(name: str = "Bench press") -> dict[str, charts.Figure]:
    """Return a figure of each kind; `name` is what a person called the lift and the muscle."""
    muscles = [*MUSCLES, name]
    hard_sets = pl.DataFrame(
        {"week": week, "muscle": muscle, "hard_sets": 4.0 + (3 * place + count) % 9}
        for count, week in enumerate(WEEKS[-4:])
        for place, muscle in enumerate(muscles)
    )
    planned = pl.DataFrame({"muscle": muscles[:5], "planned_sets": [10.0, 8.0, 8.0, 12.0, 6.0]})
    positions = pl.DataFrame(
        {"week": week, "muscle": muscle, "position": position, "hard_sets": 2.0 + place % 4}
        for week in WEEKS[-4:]
        for place, muscle in enumerate(muscles)
        for position in Position
    )
    zones = pl.DataFrame(
        {"week": week, "zone": zone, "sets": 1.0 + (count * place) % 7}
        for count, week in enumerate(WEEKS)
        for place, zone in enumerate(("1-5", "6-12", "13-20", "21 and more"))
    )
    efforts = pl.DataFrame(
        {"week": week, "effort": effort, "sets": 1.0 + (count + 2 * place) % 5}
        for count, week in enumerate(WEEKS)
        for place, effort in enumerate(("to failure", "1 in reserve", "2 in reserve", "not logged"))
    )
    weekly = pl.DataFrame(
        {"week": week, "exercise": lift, "reps": 40 + (7 * count + place) % 60,
         "volume_load_kg": 600.0 + 31 * ((count * 5 + place) % 20)}
        for count, week in enumerate(WEEKS)
        for place, lift in enumerate(("Cable fly", "Leg extension", name))
    )  # fmt: skip
    days = [START + dt.timedelta(days=3 * count) for count in range(28)]
    ratios = pl.DataFrame(
        {"date": day, "measure": "volume-load", "ratio_ewma": 1 + 0.2 * math.sin(count / 3)}
        for count, day in enumerate(days)
    )
    wellness = pl.DataFrame(
        {"date": day, "hooper_index": 12.0 + count % 5, "usual_index": 13.0, "usual_sd": 2.0}
        for count, day in enumerate(days)
    )
    masses = pl.DataFrame(
        {"date": day, "body_mass_kg": 80 - 0.1 * count + 0.3 * (count % 3),
         "level_kg": 80.2 - 0.1 * count, "phase": "lose",
         "aim_low_pct_week": -1.0, "aim_high_pct_week": -0.5}
        for count, day in enumerate(days)
    )  # fmt: skip
    return {
        "trend": charts.trend_chart(curves(name), status(name)),
        "trend_lb": charts.trend_chart(curves(name, sessions=12), unit="lb"),
        "weekly_sets": charts.weekly_sets_chart(hard_sets, planned),
        "position": charts.position_chart(positions),
        "rep_zone": charts.rep_zone_chart(zones),
        "effort": charts.effort_chart(efforts),
        "accessory": charts.accessory_chart(weekly),
        "load_ratio": charts.load_ratio_chart(ratios),
        "readiness": charts.readiness_chart(wellness),
        "body_mass": charts.body_mass_chart(masses),
    }
