"""The frame of lifts: order of attention, the month's change, best set and records."""

from __future__ import annotations

import datetime as dt
from typing import Any

import polars as pl
import pytest

from plateline.report.lifts import (
    leading_lifts,
    lift_rows,
    month_best,
    month_changes,
    new_records,
    records_that_beat,
)
from plateline.strength import set_evidence
from plateline.words import (
    LIFT_CURVES,
    LIFT_RECORDS,
    LIFT_SESSIONS,
    LIFT_STATUS_DETAIL,
    SETS,
    State,
)

from .rows import MONTH


def status(*rows: dict[str, object]) -> pl.DataFrame:
    plain = {"client": "ann", "exercise": "Squat", "state": "progressing", "slope_pct_week": 0.5,
             "slope_low": 0.3, "slope_high": 0.7, "last_date": dt.date(2026, 3, 28), "context": []}  # fmt: skip
    return pl.DataFrame([plain | row for row in rows], schema=dict(LIFT_STATUS_DETAIL))


def curves(*points: tuple[str, float]) -> pl.DataFrame:
    rows = [
        {"client": "ann", "exercise": "Squat", "date": dt.date.fromisoformat(day), "kind": "session",
         "fitted_kg": value, "observed_kg": value}
        for day, value in points
    ]  # fmt: skip
    return pl.DataFrame(rows, schema=dict(LIFT_CURVES))


def sessions(*rows: tuple[str, float, int]) -> pl.DataFrame:
    return pl.DataFrame(
        [
            {"client": "ann", "exercise": "Squat", "date": dt.date.fromisoformat(day),
             "strength_kg": value, "load_kg": value * 0.8, "reps": 8, "source_file": "log.csv",
             "source_line": line}
            for day, value, line in rows
        ],
        schema=dict(LIFT_SESSIONS),
    )  # fmt: skip


def test_the_change_runs_from_the_last_session_before_the_month() -> None:
    line = curves(("2026-02-26", 100.0), ("2026-03-05", 101.0), ("2026-03-26", 102.3))
    row = month_changes(line, status({}), MONTH).row(0, named=True)
    # Four weeks at 0.5 % a week (0.3 to 0.7), whatever the line did meanwhile.
    assert row["change_pct"] == pytest.approx(2.0)
    assert row["change_low"] == pytest.approx(1.2)
    assert row["change_high"] == pytest.approx(2.8)


def test_of_a_lift_that_turned_inside_the_month_the_line_tells() -> None:
    line = curves(("2026-02-26", 100.0), ("2026-03-05", 101.0), ("2026-03-26", 102.3))
    turned = status({"since": dt.date(2026, 3, 7)})
    row = month_changes(line, turned, MONTH).row(0, named=True)
    assert row["change_pct"] == pytest.approx(2.3)
    assert row["change_high"] == pytest.approx(2.3 + 0.8)
    unknown = status({"slope_pct_week": None, "slope_low": None, "slope_high": None})
    assert month_changes(line, unknown, MONTH)["change_pct"].item() == pytest.approx(2.3)


def test_a_first_month_starts_at_its_first_session() -> None:
    line = curves(("2026-03-05", 100.0), ("2026-03-26", 103.0))
    assert month_changes(line, status({}), MONTH)["change_days"].item() == 21


def test_one_session_is_no_change_and_old_ones_are_no_beginning() -> None:
    assert month_changes(curves(("2026-03-05", 100.0)), status({}), MONTH).is_empty()
    line = curves(("2026-01-02", 50.0), ("2026-03-05", 100.0), ("2026-03-12", 100.0))
    assert month_changes(line, status({}), MONTH)["change_days"].item() == 7


def best_of(*sets: tuple[str, float, int, float]) -> dict[str, Any]:
    """Return the month's best of squats (day, load, repetitions, reserve), one a line."""
    rows = pl.DataFrame(
        [
            ("ann", dt.date.fromisoformat(day), "Squat", load, reps, rir, "log.csv", line)
            for line, (day, load, reps, rir) in enumerate(sets, start=2)
        ],
        schema=["client", "date", "exercise", "load_kg", "reps", "rir", "source_file", "source_line"],
        orient="row",
    ).select(
        pl.col(name).cast(dtype) if name in ("client", "date", "exercise", "load_kg", "reps", "rir", "source_file", "source_line")
        else pl.lit(None, dtype).alias(name)
        for name, dtype in SETS.items()
    )  # fmt: skip
    days = sorted({day for day, *_ in sets})
    trained = sessions(*((day, 100.0, 2) for day in days))
    return month_best(trained, set_evidence(rows), MONTH).row(0, named=True)


def test_the_best_set_is_the_one_that_says_most_strength_the_first_of_equals() -> None:
    found = best_of(
        ("2026-02-20", 130, 8, 1), ("2026-03-02", 110, 8, 1), ("2026-03-09", 120, 8, 1),
        ("2026-03-16", 120, 8, 1), ("2026-03-16", 90, 8, 1),
    )  # fmt: skip
    assert (found["sessions_month"], found["best_source_line"]) == (3, 4)
    assert found["best_date"] == dt.date(2026, 3, 9)


def test_more_repetitions_with_the_same_load_are_better_however_many_they_are() -> None:
    assert best_of(("2026-03-02", 60, 9, 1), ("2026-03-30", 60, 14, 1))["best_reps"] == 14
    assert best_of(("2026-03-02", 27.5, 31, 1), ("2026-03-06", 27.5, 40, 1))["best_reps"] == 40


def test_of_sets_that_say_the_same_the_one_with_more_done_is_the_best() -> None:
    same = [("2026-03-02", 87.5, 6, 3), ("2026-03-09", 87.5, 7, 2)]
    assert best_of(*same)["best_reps"] == 7


def test_a_lighter_back_off_set_is_not_taken_for_the_best() -> None:
    both = [("2026-03-02", 100, 8, 0), ("2026-03-02", 80, 30, 0)]
    assert best_of(*both)["best_load_kg"] == 100


def test_records_are_those_of_the_month() -> None:
    rows = [
        {"client": "ann", "exercise": "Squat", "record": "best load", "reps": 8, "date": day}
        for day in (dt.date(2026, 2, 28), dt.date(2026, 3, 1), dt.date(2026, 3, 31))
    ]
    frame = pl.DataFrame(rows, schema=dict(LIFT_RECORDS))
    assert new_records(frame, MONTH)["records_month"].item() == 2


def test_the_first_day_of_a_lift_sets_no_record() -> None:
    days = [dt.date(2026, 3, 2), dt.date(2026, 3, 9)]
    sets = pl.DataFrame({"client": "ann", "exercise": "Squat", "date": days})
    rows = [
        {"client": "ann", "exercise": "Squat", "record": "best load", "date": day} for day in days
    ]
    kept = records_that_beat(pl.DataFrame(rows, schema=dict(LIFT_RECORDS)), sets)
    assert kept["date"].to_list() == days[1:]


def test_the_lift_most_in_need_comes_first() -> None:
    now = status(
        {"exercise": "Curl", "state": State.DECLINING, "p_declining": 0.9},
        {"exercise": "Deload", "state": State.DECLINING, "p_declining": 0.9, "context": ["deload"]},
        {"exercise": "Fall", "state": State.DECLINING, "p_declining": 0.9},
        {"exercise": "Open", "state": State.UNCLEAR},
        {"exercise": "Stuck", "state": State.PLATEAU, "p_plateau": 0.9},
        {"exercise": "Up", "state": State.PROGRESSING, "p_progressing": 0.9},
        {"exercise": "Absent", "state": State.DECLINING, "p_declining": 0.9},
    )
    names = now["exercise"].to_list()
    roles = pl.DataFrame(
        {
            "client": "ann",
            "exercise": names,
            "role": ["accessory" if name == "Curl" else "progression" for name in names],
        }
    )
    trained = pl.concat(
        [
            sessions(("2026-03-05", 100.0, 2)).with_columns(exercise=pl.lit(n))
            for n in names
            if n != "Absent"
        ]
    )
    rows = lift_rows(
        now,
        now.clear(),
        roles,
        trained,
        curves().clear(),
        pl.DataFrame(schema=dict(LIFT_RECORDS)),
        NONE_LEADS,
        NO_EVIDENCE,
        MONTH,
    )
    order = rows["exercise"].to_list()
    assert order[:3] == ["Fall", "Stuck", "Deload"]
    assert order[-1] == "Up"
    assert order.index("Curl") > order.index("Stuck")
    assert order.index("Absent") > order.index("Open")


NO_EVIDENCE = set_evidence(pl.DataFrame(schema=dict(SETS)))
NONE_LEADS = pl.DataFrame(schema={"client": pl.String, "exercise": pl.String, "leads": pl.Boolean})


def test_a_lift_leads_where_sessions_begin_with_it_accessories_aside() -> None:
    done = [
        ("2026-03-02", ["Curl", "Squat", "Row"]), ("2026-03-09", ["Squat", "Row"]),
        ("2026-03-16", ["Row", "Squat"]), ("2026-02-16", ["Row"]), ("2026-02-17", ["Row"]),
    ]  # fmt: skip
    sets = pl.DataFrame(
        [
            {"client": "ann", "date": dt.date.fromisoformat(day), "session": None, "exercise": name}
            for day, names in sorted(done)
            for name in names
        ],
        schema_overrides={"session": pl.String},
    )
    roles = pl.DataFrame(
        [("ann", "Curl", "accessory"), ("ann", "Squat", "progression"), ("ann", "Row", "progression")],
        schema=["client", "exercise", "role"], orient="row",
    )  # fmt: skip
    found = leading_lifts(sets, roles, MONTH).select("exercise", "leads").sort("exercise")
    assert found.rows() == [("Row", False), ("Squat", True)]


def rows_of(**roles: str | None) -> pl.DataFrame:
    now = status(*({"exercise": name} for name in roles))
    given = pl.DataFrame(
        {"client": "ann", "exercise": list(roles), "role": list(roles.values())},
        schema_overrides={"role": pl.String},
    )
    trained = pl.concat(
        sessions(("2026-03-05", 100.0, 2)).with_columns(exercise=pl.lit(name)) for name in roles
    )
    nothing = pl.DataFrame(schema=dict(LIFT_RECORDS))
    return lift_rows(
        now, now.clear(), given, trained, curves().clear(), nothing, NONE_LEADS, NO_EVIDENCE, MONTH
    )


def test_a_lift_of_no_known_role_counts_as_accessory() -> None:
    rows = rows_of(Odd=None, Squat="progression")
    assert dict(rows.select("exercise", "role").iter_rows()) == {
        "Odd": "accessory",
        "Squat": "progression",
    }
    assert rows["state_before"].null_count() == 2


def test_where_nothing_is_trained_for_load_everything_is_judged_by_strength() -> None:
    assert set(rows_of(Curl="accessory", Raise=None)["role"]) == {"progression"}
