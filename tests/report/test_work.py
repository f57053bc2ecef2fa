"""Where the work landed, worked by hand; plan against done; next month's prescriptions."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import polars as pl
import pytest

from plateline.report import Results, client_report, compute_results
from plateline.report.prescriptions import next_prescriptions
from plateline.words import PLAN, SETS

from .odd_logs import logbook
from .rows import MONTH

PLAN_HEADER = "client,block,start,weeks,session,exercise,role,set_kind,sets,reps_low,reps_high,rir"


@pytest.fixture(scope="module")
def squats(tmp_path_factory: pytest.TempPathFactory) -> Results:
    """Four weeks of March: three hard back squats a week, planned five; one week off."""
    rows = [
        f"ann,2026-03-{day:02d},A,Back squat,{n},working,80,kg,8,1"
        for day in (2, 9, 23)
        for n in (1, 2, 3)
    ]
    plan = f"{PLAN_HEADER}\nann,B,2026-03-02,4,A,Back squat,progression,working,5,6,8,1\n"
    folder: Path = tmp_path_factory.mktemp("squats")
    rows.append("ann,2026-04-02,A,Back squat,1,working,80,kg,8,1")
    return compute_results(logbook(folder, rows, plan=plan), "2026-03")


def test_hard_sets_are_a_mean_over_every_week_of_the_month(squats: Results) -> None:
    # Back squat: quadriceps and glutes directly. 9 sets over the four weeks that begin on
    # 2, 9, 16 and 23 March, the week off included: 2.25 a week, against 5 planned.
    muscles = {row["muscle"]: row for row in squats.frames["muscles"].to_dicts()}
    assert muscles["quadriceps"]["hard_sets_week"] == pytest.approx(2.25)
    assert muscles["quadriceps"]["planned_sets"] == pytest.approx(5.0)
    # An indirect muscle counts a half of each set (Pelland et al. 2024).
    assert muscles["adductors"]["hard_sets_week"] == pytest.approx(1.125)
    assert muscles["adductors"]["planned_sets"] == pytest.approx(2.5)


def test_plan_against_done_counts_the_week_off(squats: Results) -> None:
    facts = squats.frames["clients"].row(0, named=True)
    assert (facts["sessions_done"], facts["sessions_planned"]) == (3, 4)
    assert (facts["sets_done"], facts["sets_planned"]) == (9.0, 20.0)
    said = repr(client_report(squats, "ann").plan())
    assert "3 of 4" in said
    assert "11 of 20 sets not done" in said


def planned(*rows: tuple[str, str, int, int, int]) -> pl.DataFrame:
    return pl.DataFrame(
        [
            {"client": "ann", "block": block, "start": dt.date.fromisoformat(start), "weeks": weeks,
             "exercise": "Squat", "set_kind": "top", "sets": 1, "reps_low": low, "reps_high": high,
             "rir": 1.0, "role": "progression"}
            for block, start, weeks, low, high in rows
        ],
        schema=dict(PLAN),
    )  # fmt: skip


LIFTS = pl.DataFrame(
    {"client": ["ann"], "exercise": ["Squat"], "role": ["progression"], "sessions_month": [4]}
)


def done(*reps: int, kind: str = "top", rir: float | None = None) -> pl.DataFrame:
    return pl.DataFrame(
        [
            {"client": "ann", "exercise": "Squat", "date": dt.date(2026, 3, n + 1), "reps": r,
             "set_kind": kind, "rir": rir, "load_kg": 80.0}
            for n, r in enumerate(reps)
        ],
        schema=dict(SETS),
    )  # fmt: skip


def test_next_month_follows_the_latest_block_of_some_length() -> None:
    plan = planned(
        ("Old", "2026-01-05", 6, 4, 6),
        ("Now", "2026-03-02", 6, 8, 10),
        ("Light", "2026-03-23", 1, 12, 15),
        ("Later", "2026-06-01", 6, 3, 5),
    )
    row = next_prescriptions(plan, LIFTS, done(9, 9), MONTH).row(0, named=True)
    assert (row["reps_low"], row["reps_high"], row["reps"], row["how"]) == (8, 10, 9, "plan")


def test_a_block_that_begins_next_month_counts_already() -> None:
    plan = planned(("Now", "2026-03-02", 4, 8, 10), ("Next", "2026-04-06", 6, 4, 6))
    assert next_prescriptions(plan, LIFTS, done(9), MONTH)["reps"].item() == 5


def test_without_a_plan_the_log_says_what_is_usual() -> None:
    row = next_prescriptions(planned().clear(), LIFTS, done(8, 8, 9, 10, rir=2.0), MONTH).row(
        0, named=True
    )
    assert (row["reps_low"], row["reps_high"], row["rir"], row["how"]) == (8, 9, 2.0, "log")


def test_a_reserve_that_nobody_wrote_down_is_taken_to_be_one() -> None:
    assert next_prescriptions(planned().clear(), LIFTS, done(8), MONTH)["rir"].item() == 1.0


def test_warm_ups_and_accessory_lifts_have_no_prescription() -> None:
    nothing = next_prescriptions(planned().clear(), LIFTS, done(8, kind="warm-up"), MONTH)
    assert nothing.is_empty()
    accessory = LIFTS.with_columns(role=pl.lit("accessory"))
    assert next_prescriptions(
        planned(("Now", "2026-03-02", 4, 8, 10)), accessory, done(8), MONTH
    ).is_empty()


def test_a_plan_that_names_no_kind_of_set_is_for_working_sets() -> None:
    plan = planned(("B", "2026-03-02", 8, 8, 10)).with_columns(
        set_kind=pl.lit(None, PLAN["set_kind"])
    )
    row = next_prescriptions(plan, LIFTS, done(9, kind="working"), MONTH).row(0, named=True)
    assert (row["set_kind"], row["how"]) == ("working", "plan")
