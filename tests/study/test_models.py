"""The effects of a cohort whose true effect is known."""

from __future__ import annotations

import polars as pl
import pytest

from plateline.study.effects import EFFECTS, zone_contrasts
from plateline.study.models import primary_model
from plateline.study.naive import NAIVE
from plateline.study.study import run_study

from . import groups

TRUE_DIFFERENCE = -0.4
"""Of 13-20 from 1-5 reps in the shared cohort, % a week."""


@pytest.fixture(scope="module")
def study():
    return groups.studied()


def test_effects_keep_the_contract(study) -> None:
    assert dict(study.effects.schema) == EFFECTS
    assert study.effects["model"][0] == study.facts["primary"] == "within lifters"
    models = set(study.effects["model"])
    assert {
        "within lifters", "within lifts", "between lifters", "all blocks, adjusted",
        "lifters' own contrasts", "mixed model (REML)", NAIVE, "sensitivity: Epley equation",
    } <= models  # fmt: skip
    terms = set(study.effects["term"])
    assert terms == {
        "rep zone", "reps", "reps, spline", "reps in reserve", "hard sets a week", "sessions a week",
    }  # fmt: skip
    known = study.effects.filter(pl.col("low").is_finite())
    assert (known["low"] <= known["effect_pct_week"]).all()
    assert (known["effect_pct_week"] <= known["high"]).all()


def test_an_interval_excludes_zero_just_where_p_is_small(study) -> None:
    rows = study.effects.filter(pl.col("low").is_finite())
    excludes = (rows["low"] > 0) | (rows["high"] < 0)
    assert (excludes == (rows["p"] < 0.05)).all()


def test_contrasts_add_up(study) -> None:
    for model in ("within lifters", "all blocks, adjusted", "mixed model (REML)"):
        rows = study.effects.filter(pl.col("model") == model, pl.col("term") == "rep zone")
        effect = dict(rows.select("contrast", "effect_pct_week").iter_rows())
        total = effect["6-12 reps against 1-5 reps"] + effect["13-20 reps against 6-12 reps"]
        assert effect["13-20 reps against 1-5 reps"] == pytest.approx(total)


def test_every_model_but_the_naive_one_finds_the_effect(study) -> None:
    rows = study.effects.filter(
        pl.col("contrast") == "13-20 reps against 1-5 reps",
        ~pl.col("model").str.starts_with("sensitivity"),
    )
    for row in rows.iter_rows(named=True):
        if row["model"] == NAIVE:
            assert row["low"] > TRUE_DIFFERENCE
        elif row["model"] != "between lifters":
            assert abs(row["effect_pct_week"] - TRUE_DIFFERENCE) < row["high"] - row["low"]
            assert row["high"] < 0


def test_zone_pairs_are_named_once() -> None:
    pairs = list(zone_contrasts(["6-12 reps", "1-5 reps", "over 20 reps"]))
    assert pairs == [
        ("6-12 reps", "1-5 reps"), ("over 20 reps", "1-5 reps"), ("over 20 reps", "6-12 reps"),
    ]  # fmt: skip


def test_lifters_with_one_zone_each_are_compared_with_each_other(study) -> None:
    single = study.blocks.sort("client", "start").filter(
        pl.col("zone") == pl.col("zone").first().over("client")
    )
    assert primary_model(study.blocks) == "within lifters"
    assert primary_model(single) == "all blocks, adjusted"


def test_same_log_same_study() -> None:
    one, again = groups.studied(), run_study(groups.logbook(groups.cohort(0.2, -0.2)))
    assert one.effects.equals(again.effects)
    assert one.power.equals(again.power)
    assert one.facts == again.facts
