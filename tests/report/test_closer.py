"""More numbers: what a lift shows beyond its trend, and what is honestly said of it."""

from __future__ import annotations

import math
from typing import Any

import polars as pl
import pytest

from plateline.report import Results, client_report
from plateline.report.numbers import NBSP
from plateline.report.sentences_closer import modelled, points_words
from plateline.report.tables_closer import closer_block

ROW: dict[str, Any] = {
    "exercise": "Bench press", "e1rm_kg": None, "date": None, "body_mass_kg": None,
    "per_body_mass": None, "points": None, "event": None, "performance_ratio": None,
    "back_off_ratio": None,
}  # fmt: skip
FIT = {
    "exercise": "Bench press", "tests": 30, "verdict": "not identifiable", "fitness_days": None,
    "fatigue_days": None, "r_squared": 0.6, "reason": None,
}  # fmt: skip


def test_nothing_to_show_is_shown_as_nothing() -> None:
    assert repr(closer_block([ROW], [], None)) == ""
    assert repr(closer_block([], [], None)) == ""


def test_columns_nobody_has_a_number_for_are_left_out() -> None:
    said = repr(closer_block([ROW | {"performance_ratio": 1.1}], [], None))
    assert "Load against results" in said
    assert "Points" not in said
    assert "Estimated 1RM" not in said


def test_a_model_that_the_log_cannot_settle_is_not_read() -> None:
    (said,) = modelled([FIT])
    assert "cannot tell its constants apart, so nothing is read from it" in said
    (few,) = modelled([FIT | {"verdict": "too few tests", "tests": 1}])
    assert few.endswith("but 1 session is too few for it.".replace(" session", f"{NBSP}session"))
    (still,) = modelled(
        [FIT | {"verdict": "too few tests", "reason": "nothing to explain: the same result"}]
    )
    assert "too few" not in still
    assert "never vary" in still
    told = FIT | {"verdict": "identifiable", "fitness_days": 42.0, "fatigue_days": 7.0}
    (found,) = modelled([told])
    assert "42 days" in found.replace(NBSP, " ")
    assert "no forecast" in found


def test_points_stand_with_their_coefficients() -> None:
    # International Powerlifting Federation, formula in force since 1 May 2020: men, classic.
    assert "a = 320.98041, b = 281.40258, c = 0.01008" in points_words("bench press", "m")
    assert "a = 610.32796, b = 1045.59282, c = 0.03048" in points_words("total", "f")
    assert points_words("total", "x") == ""


def test_the_demo_s_bench_press_is_told_for_body_mass(demo_results: Results) -> None:
    rows = demo_results.of("teo").frames["closer"]
    bench = rows.row(by_predicate=pl.col("exercise") == "Bench press", named=True)
    assert bench["per_body_mass"] == pytest.approx(bench["e1rm_kg"] / bench["body_mass_kg"])
    by_hand = 320.98041 - 281.40258 * math.exp(-0.01008 * bench["body_mass_kg"])
    assert bench["points"] == pytest.approx(100 * bench["e1rm_kg"] / by_hand)
    shown = "".join(map(str, client_report(demo_results, "teo").fatigue().pieces))
    assert "cannot tell its constants apart" in shown
    assert f"{bench['points']:.1f}" in shown
