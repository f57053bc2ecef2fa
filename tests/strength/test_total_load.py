"""The load that is moved: body mass, and what stands in where it is not known."""

from __future__ import annotations

import datetime as dt

import pytest

from plateline.strength import set_evidence
from plateline.strength.total_load import NOMINAL_MASS_KG

from .rows import DAY, body_mass, sets


def test_body_mass_of_the_day_is_part_of_a_pull_up():
    log = sets(
        {"exercise": "Pull-up", "load_kg": 0.0, "reps": 8, "rir": 1.0},
        {"exercise": "Pull-up", "load_kg": 10.0, "reps": 6, "rir": 1.0,
         "date": DAY + dt.timedelta(days=5)},
        {"exercise": "Pull-up", "load_kg": -20.0, "reps": 9, "rir": 1.0,
         "date": DAY + dt.timedelta(days=10)},
    )  # fmt: skip
    evidence = set_evidence(log, checkins=body_mass(d0=80.0, d10=82.0))
    assert evidence["total_kg"].to_list() == pytest.approx([80.0, 91.0, 62.0])
    assert evidence["mass_known"].all()


def test_unknown_body_mass_leaves_the_external_load_or_a_stand_in():
    def moved(exercise: str, load_kg: float) -> float:
        evidence = set_evidence(sets({"exercise": exercise, "load_kg": load_kg, "reps": 6}))
        assert not evidence["mass_known"].item()
        return evidence["total_kg"].item()

    assert moved("Pull-up", 0.0) == NOMINAL_MASS_KG
    assert moved("Pull-up", 10.0) == NOMINAL_MASS_KG + 10.0
    assert moved("Pull-up", 85.0) == 85.0  # the body mass may be in it
    assert moved("Barbell lunge", 60.0) == 60.0


def test_an_unknown_lift_without_load_is_counted_in_repetitions():
    evidence = set_evidence(sets({"exercise": "Zorbing ups", "load_kg": 0.0, "reps": 12}))
    assert evidence["total_kg"].item() == NOMINAL_MASS_KG


def test_dumbbells_beside_the_body_are_two():
    # 80 % of the body, by the catalogue, and a dumbbell in each hand.
    log = sets({"exercise": "Split squat", "load_kg": 20.0, "reps": 8})
    row = set_evidence(log, checkins=body_mass(d0=80.0)).row(0, named=True)
    assert row["hands"] == 2
    assert row["total_kg"] == pytest.approx(2 * 20.0 + 0.8 * 80.0)
    assert row["moved_kg"] == pytest.approx(0.8 * 80.0)


def test_a_dumbbell_without_the_body_counts_as_it_is_logged():
    log = sets({"exercise": "Dumbbell bench press", "load_kg": 30.0, "reps": 8})
    row = set_evidence(log).row(0, named=True)
    assert (row["hands"], row["total_kg"]) == (1, 30.0)
