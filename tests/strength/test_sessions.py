"""One row per lift and day, and the scale a lift is shown on."""

from __future__ import annotations

import datetime as dt

import polars as pl
import pytest

from plateline.strength import LARGEST_REPS, lift_scale, lift_sessions, set_evidence
from plateline.words import LIFT_SESSIONS

from .rows import DAY, sets

NEXT = DAY + dt.timedelta(days=3)


def test_a_row_per_lift_and_day_with_the_set_that_says_most():
    log = sets(
        {"load_kg": 60.0, "reps": 10, "set_kind": "warm-up"},
        {"load_kg": 100.0, "reps": 8, "rir": 1.0, "set_kind": "top"},
        {"load_kg": 80.0, "reps": 17, "rir": 2.0, "set_kind": "back-off"},
        {"load_kg": 102.5, "reps": 8, "rir": 1.0, "set_kind": "top", "date": NEXT},
    )
    days = lift_sessions(log)
    assert days.schema == pl.Schema(LIFT_SESSIONS)
    assert days["date"].to_list() == [DAY, NEXT]
    first = days.row(0, named=True)
    assert (first["load_kg"], first["reps"], first["set_kind"], first["sets"]) == (100, 8, "top", 2)
    assert first["source_line"] == 3
    assert days["strength_kg"][1] > days["strength_kg"][0]


def test_more_hard_sets_make_a_day_more_certain_but_not_without_limit():
    def error(n):
        return lift_sessions(sets(*({"load_kg": 100.0, "reps": 8, "rir": 1.0} for _ in range(n))))[
            "strength_sd_pct"
        ].item()

    assert error(1) > error(2) > error(4)


def test_fatigue_from_set_to_set_is_not_weakness():
    once = lift_sessions(sets({"load_kg": 100.0, "reps": 8, "rir": 1.0}))["strength_kg"].item()
    tired = lift_sessions(
        sets({"load_kg": 100.0, "reps": 8, "rir": 1.0}, {"load_kg": 100.0, "reps": 8, "rir": 0.0})
    )["strength_kg"].item()
    assert tired == pytest.approx(once, rel=0.02)


def test_high_repetitions_are_trended_as_working_strength():
    log = sets({"load_kg": 20.0, "reps": 25, "rir": 1.0})
    scale = lift_scale(set_evidence(log)).row(0, named=True)
    assert scale["scale"] == "working strength"
    assert scale["usual_reps"] > LARGEST_REPS
    day = lift_sessions(log).row(0, named=True)
    assert day["e1rm_kg"] is None
    assert day["strength_kg"] == pytest.approx(20.0)


def test_the_usual_repetitions_are_those_of_hard_sets():
    ramp = {"load_kg": 90.0, "reps": 12, "rir": 6.0}
    top = {"load_kg": 100.0, "reps": 8, "rir": 2.0}
    alone, ramped, easy = (
        lift_scale(set_evidence(sets(*rows)))["usual_reps"].item()
        for rows in ([top], [ramp, top], [ramp])
    )
    assert ramped == alone
    assert easy > ramped + 5  # a day without hard sets is taken as it is


def test_lower_bounds_are_named():
    days = lift_sessions(
        sets({"load_kg": 60.0, "reps": 8}, {"load_kg": 60.0, "reps": 8, "rir": 1.0, "date": NEXT})
    )
    assert days["is_lower_bound"].to_list() == [True, False]


def test_pounds_and_kilograms_say_the_same():
    pound = 0.45359237
    rows = [
        {"load_kg": 60.0 + n, "reps": 8, "rir": 1.0, "date": DAY + dt.timedelta(days=n)}
        for n in range(5)
    ]
    kilos = lift_sessions(sets(*rows))
    pounds = lift_sessions(sets(*({**row, "load_kg": row["load_kg"] / pound} for row in rows)))
    assert pounds["strength_kg"].to_numpy() * pound == pytest.approx(
        kilos["strength_kg"].to_numpy()
    )


def test_a_log_without_working_sets_gives_no_rows():
    assert lift_sessions(sets({"load_kg": 60.0, "reps": 8, "set_kind": "warm-up"})).is_empty()


def test_a_doubtful_set_counts_only_where_the_day_has_no_other():
    log = sets(
        {"load_kg": 1000.0, "reps": 5, "rir": 0.0, "flag": "tenfold load"},
        {"load_kg": 100.0, "reps": 5, "rir": 1.0},
        {"load_kg": 1000.0, "reps": 5, "flag": "tenfold load", "date": DAY + dt.timedelta(days=3)},
    )
    assert lift_sessions(log)["load_kg"].to_list() == [100.0, 1000.0]
    assert lift_sessions(log)["sets"].to_list() == [1, 1]


def test_the_error_of_a_day_is_that_of_its_sets_together():
    # Precisions add up: two equal sets leave the error of one over the square root of two.
    log = sets(*[{"load_kg": 100.0, "reps": 8, "rir": 1.0}] * 2)
    one = set_evidence(log)["error_sd"][0]
    row = lift_sessions(log).row(0, named=True)
    assert row["strength_sd_pct"] == pytest.approx(100 * one / 2**0.5)
    assert row["weight"] == 1.0
