"""The reserve: what a reported one stands for, what is expected where none is, how far each is trusted."""

from __future__ import annotations

import datetime as dt

import numpy as np
import polars as pl
import pytest

from plateline.strength import set_evidence
from plateline.strength.reserve import UNLOGGED_RIR, error_reps, true_rir, with_learned_rir

from .rows import DAY, sets


def test_reported_reserve_is_a_little_less_than_the_true_one():
    # Halperin et al. 2022, Sports Med 52(2):377-390: 0.95 repetitions too few, 95 % CI 0.17-1.73
    for reported in (1, 2, 3):
        assert 0.17 < true_rir(reported) - reported < 1.73
    # Refalo et al. 2024 (read second-hand), trained people: 0.4 at one in reserve, 0.9 at three
    assert true_rir(1.0) - 1.0 == pytest.approx(0.4, abs=0.15)
    assert true_rir(3.0) - 3.0 == pytest.approx(0.9, abs=0.15)
    assert true_rir(20.0) - 20.0 == pytest.approx(true_rir(5.0) - 5.0)


def test_a_missing_reserve_is_the_lifters_usual_one():
    log = sets(
        {"load_kg": 100.0, "reps": 8, "rir": 3.0},
        {"load_kg": 100.0, "reps": 8, "rir": 9.0},  # not a hard set: not what is usual
        {"load_kg": 100.0, "reps": 8},
        {"load_kg": 50.0, "reps": 8, "exercise": "Overhead press"},
        {"load_kg": 50.0, "reps": 8, "client": "b"},
    )
    used = {
        (row["client"], row["exercise"]): row["rir_used"]
        for row in set_evidence(log).filter(~pl.col("rir_logged")).iter_rows(named=True)
    }
    assert used["a", "Bench press"] == pytest.approx(true_rir(3.0))
    assert used["a", "Overhead press"] == pytest.approx(true_rir(3.0))
    assert used["b", "Bench press"] == pytest.approx(true_rir(UNLOGGED_RIR))


def noted_up_to(most, of=(1.0, 4.0), days=20):
    """Sets at one strength whose reserves alternate between two; those above `most` go unnoted."""
    rng = np.random.default_rng(4)
    strength = 120 * np.exp(rng.normal(0, 0.015, days))
    rows = []
    for day in range(days):
        rir = of[day % 2]
        load = strength[day] * 31 / (30 + 8 + true_rir(rir))
        noted = rir if rir <= most else None
        date = DAY + dt.timedelta(days=3 * day)
        rows.append({"load_kg": load, "reps": 8, "rir": noted, "date": date})
    return set_evidence(sets(*rows)).filter(~pl.col("rir_logged"))["rir_used"]


def test_who_notes_hard_sets_alone_has_more_left_in_the_others():
    # 4 in reserve stands for 5.1, 1 for 1.5; the doubt beforehand keeps part of the way
    assert 3.8 < noted_up_to(2.0).mean() < true_rir(4.0) + 0.3
    # the same sets with the reserve left out whatever it was: no sign of hard sets alone
    assert noted_up_to(0.5, of=(0.0, 3.0), days=6).to_list() == [pytest.approx(true_rir(0.0))] * 3


def test_who_begins_to_note_the_reserve_shows_nothing_about_the_sets_before():
    before = [
        {"load_kg": 80.0, "reps": 8, "date": DAY + dt.timedelta(days=3 * d)} for d in range(9)
    ]
    after = [row | {"rir": 1.0, "date": row["date"] + dt.timedelta(days=27)} for row in before]
    used = set_evidence(sets(*before, *after))["rir_used"]
    assert used.unique().to_list() == [pytest.approx(true_rir(1.0))]


def test_trust_falls_with_the_reserve_with_high_repetitions_and_without_a_reserve():
    def error(**row):
        return set_evidence(sets({"load_kg": 60.0} | row))["error_sd"].item()

    near = error(reps=8, rir=1.0)
    assert near < error(reps=8, rir=4.0) < error(reps=8, rir=7.0)
    assert error(reps=12, rir=0.0) < error(reps=30, rir=0.0)
    assert near < error(reps=8)
    assert error(reps=8, rir=15.0) > 5 * near


@pytest.mark.parametrize(
    ("rir", "to_failure", "error"),
    [
        (1.0, 9.0, 0.6),
        (2.0, 12.0, 0.6),
        (4.0, 12.0, 0.6 + 2 * 0.3),  # up to here a hard set
        (7.0, 12.0, 0.6 + 5 * 0.3 + 3**2 * 0.15),
        (0.0, 20.0, 0.6 + 8 * 0.12),
        (None, 9.0, 1.2),
    ],
)
def test_the_error_of_the_repetitions_to_failure(rir, to_failure, error):
    row = pl.DataFrame(
        {"rir": [rir], "rir_logged": [rir is not None], "reps_to_failure": [to_failure]},
        schema_overrides={"rir": pl.Float64},
    )
    assert row.select(error_reps()).item() == pytest.approx(error)


@pytest.mark.parametrize("days", [9, 8])
def test_what_others_hide_is_learned_from_neighbours_and_shrunk_towards_one_more(days):
    # Sets of one strength, noted in turn: no difference between neighbours. Of n pairs, each worth
    # 100 / (30 + 8 + 1.5) % a repetition squared, three count for two; one more repetition counts
    # as much as a difference of 3.5 % is doubted. Fewer than eight pairs teach nothing.
    noted = [day % 2 == 0 for day in range(days)]
    frame = pl.DataFrame(
        {
            "client": "a",
            "exercise": "Bench press",
            "date": [DAY + dt.timedelta(days=2 * day) for day in range(days)],
            "reps": 8,
            "rir": [1.0 if known else None for known in noted],
            "rir_logged": noted,
            "rir_used": true_rir(1.0),
            "total_kg": 80.0,
        }
    )
    used = with_learned_rir(frame, pl.lit(1.0)).filter(~pl.col("rir_logged"))["rir_used"]
    told = (days - 1) * (100 / 39.5) ** 2 / 1.5
    more = 3.5**2 / (told + 3.5**2) if days > 8 else 0.0
    assert used.to_list() == [pytest.approx(1.5 + more)] * len(used)
