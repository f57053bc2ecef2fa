"""Whether the intervals hold the truth; `python -m plateline.study.coverage` asks it at length."""

from __future__ import annotations

import polars as pl
import pytest

from plateline.study import coverage as module
from plateline.study.coverage import COVERAGE, EFFECT_SIZES, Situation, coverage, covered_intervals
from plateline.study.effects import WITHIN
from plateline.study.naive import NAIVE

COHORTS, LIFTERS = 4, 40


@pytest.fixture(scope="module")
def intervals() -> pl.DataFrame:
    """Rep ranges chosen by training age: four cohorts and three contrasts an effect."""
    return pl.concat(
        covered_intervals(Situation(effect, "training age", LIFTERS), COHORTS, seed=place)
        for place, effect in enumerate(EFFECT_SIZES)
    )


def held(intervals: pl.DataFrame, model: str) -> float:
    some = intervals.filter(pl.col("model") == model)
    return some.select(pl.col("truth").is_between("low", "high").mean()).item()


def test_intervals_hold_the_truth_and_naive_ones_do_not(intervals: pl.DataFrame) -> None:
    """Of 36 intervals that hold 95 %, fewer than 29 would be a sign of error (binomial, 1 in
    1,000)."""
    assert held(intervals, WITHIN) >= 29 / 36
    assert held(intervals, NAIVE) < 0.6


def test_standard_errors_are_as_wide_as_the_scatter(intervals: pl.DataFrame) -> None:
    """Errors over their standard errors have a root mean square of 1, give or take."""
    some = intervals.filter(pl.col("model") == WITHIN)
    z = (pl.col("effect") - pl.col("truth")) / ((pl.col("high") - pl.col("low")) / 4)
    assert 0.7 < some.select((z**2).mean().sqrt()).item() < 1.3
    assert abs(some.select((pl.col("effect") - pl.col("truth")).mean()).item()) < 0.04


def test_the_table_keeps_its_contract() -> None:
    table = coverage(Situation("zero", "past progress", 20), cohorts=2)
    assert dict(table.schema) == COVERAGE
    assert table["intervals"].to_list()[0] == 6
    assert table["held_share"].is_between(0, 1).all()


def test_the_printed_table_has_a_row_for_every_model(monkeypatch, capsys) -> None:
    monkeypatch.setattr(module, "SIZES", {20: 1.0})
    monkeypatch.setattr(module, "SELECTIONS", {"training age": {"confounding": 1.0}})
    monkeypatch.setattr(module, "EFFECT_SIZES", {"zero": (0.0, 0.0)})
    module.main(["--cohorts", "1"])
    head, rule, *rows = capsys.readouterr().out.splitlines()
    assert head.count("|") == rule.count("|") == len(COVERAGE) + 1
    assert [row.split(" | ")[3] for row in rows] == [WITHIN, "within lifts", NAIVE]
