"""Loads for repetitions and reserve."""

from __future__ import annotations

import datetime as dt

import numpy as np
import polars as pl
import pytest

from plateline.errors import MissingColumnError, UsageError
from plateline.strength.evidence import set_evidence
from plateline.strength.reserve import true_rir
from plateline.trend import targets
from plateline.words import TARGETS_DETAIL

from .lifters import AS_OF, lifter, steady


def test_the_load_for_the_usual_set_is_todays_load():
    log = lifter(steady(0.5), noise_pct=0.5)
    row = targets(log, reps=8, rir=true_rir(2.0), as_of=AS_OF).row(0, named=True)
    assert row["load_kg"] == pytest.approx(log["load_kg"][-1], rel=0.02)
    assert row["load_low"] < row["load_kg"] < row["load_high"]


def test_more_repetitions_or_more_reserve_mean_less_load_and_less_certainty():
    log = lifter(steady(0.2))
    rows = [
        targets(log, reps=r, rir=s).row(0, named=True) for r, s in ((8, 2), (8, 3), (9, 2), (15, 2))
    ]
    loads = [row["load_kg"] for row in rows]
    assert loads[0] > loads[1] == pytest.approx(loads[2])
    assert loads[2] > loads[3]
    widths = [np.log(row["load_high"] / row["load_low"]) for row in rows]
    assert widths[3] > widths[0]


def test_an_answer_per_lift_and_day():
    log = pl.concat([lifter(steady(0.2), client=c) for c in "ba"])
    table = targets(log, reps=8, rir=2)
    assert table.schema == pl.Schema(TARGETS_DETAIL)
    assert table["client"].to_list() == ["a", "b"]
    early = targets(log, reps=8, rir=2, as_of=AS_OF - dt.timedelta(days=140))
    assert (early["load_kg"] < table["load_kg"]).all()


def test_prescriptions_are_answered_row_by_row():
    log = lifter(steady(0.2))
    wanted = pl.DataFrame(
        {
            "client": ["a", "nobody", "a"],
            "exercise": ["Bench press"] * 3,
            "reps": [12, 8, 6],
            "rir": [1.0, 2.0, 1.0],
        }
    )
    table = targets(log, wanted)
    assert table["reps"].to_list() == [12, 8, 6]
    assert table["load_kg"].is_null().to_list() == [False, True, False]
    assert table["load_kg"][2] > table["load_kg"][0]
    one = targets(log, reps=12, rir=1.0)["load_kg"][0]
    assert table["load_kg"][0] == pytest.approx(one)


def test_body_mass_that_is_moved_is_taken_off():
    mass = pl.DataFrame({"client": ["a"], "date": [AS_OF], "body_mass_kg": [80.0]})
    log = lifter(steady(0.2), exercise="Pull-up", one_rm_kg=40.0)
    row = targets(log, reps=8, rir=true_rir(2.0), checkins=mass).row(0, named=True)
    assert row["load_kg"] == pytest.approx(log["load_kg"][-1], rel=0.06)

    assert row["body_kg"] == pytest.approx(80.0)
    assert targets(lifter(steady(0.2)), reps=8, rir=2)["body_kg"][0] is None


def test_a_pair_of_dumbbells_is_held_beside_body_mass():
    mass = pl.DataFrame({"client": ["a"], "date": [AS_OF], "body_mass_kg": [80.0]})
    log = lifter(steady(0.0), exercise="Walking lunge", noise_pct=0.0).with_columns(load_kg=18.0)
    evidence = set_evidence(log, checkins=mass)
    assert evidence["total_kg"].unique().to_list() == [pytest.approx(2 * 18.0 + 0.8 * 80)]
    row = targets(log, reps=8, rir=true_rir(2.0), checkins=mass).row(0, named=True)
    assert row["load_kg"] == pytest.approx(18.0, abs=0.5)
    assert row["body_kg"] == pytest.approx(64.0)


def test_without_a_known_body_mass_no_load_is_named():
    log = lifter(steady(0.2), exercise="Pull-up").with_columns(load_kg=0.0)
    assert targets(log, reps=8, rir=2)["load_kg"][0] is None


def test_a_bare_intervals_share_holds_the_truth():
    # plain lifters of this folder report their reserve without error, so the truth is known
    truth = 120 / (1 + 10 / 30)
    log = pl.concat(
        [
            lifter(steady(0.0), client=f"c{n}", seed=n, noise_pct=2.0, days_between=7)
            for n in range(60)
        ]
    )
    table = targets(log, reps=8, rir=true_rir(2.0))
    inside = (table["load_low"] <= truth) & (truth <= table["load_high"])
    assert inside.mean() > 0.8
    assert ((table["load_kg"] / truth - 1).abs()).median() < 0.01


def test_wrong_calls_are_refused_in_a_sentence():
    log = lifter(steady(0.2))
    with pytest.raises(UsageError, match="both reps and rir"):
        targets(log, reps=8)
    with pytest.raises(MissingColumnError, match="'rir'"):
        targets(log, pl.DataFrame({"client": ["a"], "exercise": ["Bench press"], "reps": [8]}))
