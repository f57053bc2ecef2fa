"""What a day says, and what its sets teach about the rep curve."""

from __future__ import annotations

import datetime as dt

import numpy as np
import polars as pl
import pytest

from plateline.strength import set_evidence
from plateline.strength.curves import share_of_max
from plateline.strength.reserve import true_rir
from plateline.trend import targets
from plateline.trend.measure import measure
from plateline.words import SETS, conform

FIRST = dt.date(2026, 1, 5)
DAYS = 24


def log(ramp_says: float | None) -> pl.DataFrame:
    """Return a lift that stands at 120 kg: on each day 8 repetitions with 2 in reserve.

    Before them, unless `ramp_says` is None, stands a set at nine tenths of that load, 7
    repetitions, of which the lifter writes that so many were left.
    """
    rng = np.random.default_rng(3)
    top = 120 * share_of_max(8 + true_rir(2.0))
    rows = []
    for day in range(DAYS):
        load = top * np.exp(rng.normal(0, 0.01))
        sets = [(load, 8, 2.0)]
        if ramp_says is not None:
            sets.insert(0, (0.9 * load, 7, ramp_says))
        for order, (kg, reps, rir) in enumerate(sets):
            rows.append(
                dict.fromkeys(SETS)
                | {"client": "a", "exercise": "Bench press", "set_kind": "working"}
                | {"date": FIRST + dt.timedelta(days=4 * day), "set_order": order + 1}
                | {"load_kg": kg, "reps": reps, "rir": rir, "source_file": "log.csv"}
                | {"source_line": len(rows) + 2}
            )
    return conform(pl.DataFrame(rows, infer_schema_length=None), SETS)


def target(sets: pl.DataFrame, reps: int = 8) -> float:
    return targets(sets, reps=reps, rir=true_rir(2.0))["load_kg"].item()


def test_a_reserve_far_from_failure_teaches_no_rep_curve():
    for says in (5.0, 6.0, 10.0):
        lifts, _ = measure(set_evidence(log(says)))
        assert lifts.curve_mean.item() == 0.0
    hard, _ = measure(set_evidence(log(4.0)))
    assert hard.curve_mean.item() != 0.0


@pytest.mark.parametrize("says", [5.0, 6.0, 8.0])
def test_a_set_on_the_way_up_hardly_moves_the_load(says):
    # whether the lifter writes what was left, or 5 or 6 for "or more"
    for reps in (5, 8, 12):
        assert target(log(says), reps) == pytest.approx(target(log(None), reps), rel=0.015)


def test_a_day_shows_its_first_hard_set():
    lifts, days = measure(set_evidence(log(6.0)))
    assert days.frame["reps"].unique().to_list() == [8]
    assert days.first_reps.tolist() == [8.0] * DAYS
    assert lifts.frame["usual_reps"].item() == pytest.approx(8 + true_rir(2.0))


def test_a_log_of_easy_days_is_measured_all_the_same():
    easy = log(6.0).with_columns(rir=pl.lit(6.0))
    lifts, days = measure(set_evidence(easy))
    assert lifts.curve_mean.item() == 0.0
    assert np.isfinite(days.y).all()
    assert days.first_reps.tolist() == [7.0] * DAYS


def with_easy_days(says: float) -> pl.DataFrame:
    """Return the lift with every fourth day at 85 % of the load, of which that is written."""
    light = pl.col("date").rank("dense") % 4 == 0
    return log(None).with_columns(
        load_kg=pl.when(light).then(0.85 * pl.col("load_kg")).otherwise("load_kg"),
        rir=pl.when(light).then(says).otherwise("rir"),
    )


def test_easy_days_teach_no_rep_curve_either():
    for reps in (5, 12):
        assert target(with_easy_days(5.0), reps) == pytest.approx(target(log(None), reps), rel=0.02)
