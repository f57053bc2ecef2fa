"""What a trend is drawn through: no line over a long break, no kilograms that are not known."""

from __future__ import annotations

import datetime as dt
from typing import Any

import polars as pl

from plateline.charts import accessory_chart, trend_chart
from plateline.charts.trend import LONGEST_LINE_DAYS
from plateline.words import LIFT_CURVES


def drawn(*days: int) -> list[dict[str, Any]]:
    """Return the line of a lift trained on these days, and the one ahead of it."""
    first = dt.date(2025, 1, 6)
    rows = [
        {"client": "ann", "exercise": "Squat", "date": first + dt.timedelta(days=day),
         "kind": "session", "observed_kg": 100.0, "fitted_kg": 100.0, "low_kg": 98.0,
         "high_kg": 102.0, "load_kg": 80.0, "reps": 8}
        for day in days
    ]  # fmt: skip
    rows.append(rows[-1] | {"kind": "forecast", "date": first + dt.timedelta(days=days[-1] + 28)})
    figure = trend_chart(pl.DataFrame(rows, schema=dict(LIFT_CURVES)))
    return [part for part in figure.spec["layer"] if part["mark"]["type"] == "line"]


def test_no_line_is_drawn_over_a_break_of_months() -> None:
    past, ahead = drawn(0, 7, 14, 14 + LONGEST_LINE_DAYS + 1, 80)
    assert [row["g"] for row in past["data"]["values"]] == [0, 0, 0, 1, 1]
    assert past["encoding"]["detail"]["field"] == "g"
    assert "detail" not in ahead["encoding"]


def test_a_lift_that_rotates_has_one_line() -> None:
    past, _ = drawn(0, 28, 56, 84)
    assert "detail" not in past["encoding"]
    assert "g" not in past["data"]["values"][0]


def test_where_a_stretch_is_named_its_label_has_room_above_the_points() -> None:
    first = dt.date(2025, 1, 6)
    rows = [
        {"client": "ann", "exercise": "Squat", "date": first + dt.timedelta(days=7 * week),
         "kind": "session", "observed_kg": 100.0, "fitted_kg": 100.0, "low_kg": 98.0,
         "high_kg": 102.0, "load_kg": 80.0, "reps": 8}
        for week in range(8)
    ]  # fmt: skip
    curves = pl.DataFrame(rows, schema=dict(LIFT_CURVES))
    named = pl.DataFrame({"start": [first], "end": [dt.date(2025, 2, 3)], "label": ["break"]})

    def padding(phases: pl.DataFrame | None) -> int:
        points = trend_chart(curves, phases=phases).spec["layer"][-1]
        return points["encoding"]["y"]["scale"].get("padding", 0)

    assert padding(named) >= 14
    assert padding(None) == 0


def test_numbers_beside_a_name_written_right_to_left_stay_in_their_place() -> None:
    weekly = pl.DataFrame(
        {
            "week": [dt.date(2026, 3, 2)],
            "exercise": ["سكوات"],
            "reps": [18],
            "volume_load_kg": [900.0],
        }
    )
    said = str(accessory_chart(weekly).spec)
    assert "سكوات\u200e: 18 reps" in said or "سكوات\\u200e: 18 reps" in said
