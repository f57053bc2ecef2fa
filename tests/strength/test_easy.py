"""Unmarked warm-ups and other easy sets say nothing."""

from __future__ import annotations

import datetime as dt

import numpy as np

from plateline.strength import lift_sessions
from plateline.strength.easy import easy_sets

from .rows import DAY, sets


def test_an_easy_set_is_lighter_with_hardly_more_repetitions_and_no_reserve():
    log_load = 100 * np.log([60, 80, 100, 100, 85, 85, 100])
    reps = np.array([12.0, 8.0, 8.0, 5.0, 14.0, 8.0, 3.0])
    y = log_load + 100 * np.log(30 + reps)
    logged = np.array([False] * 5 + [True] + [False])
    found = easy_sets(np.array([0, 6]), log_load, y, logged)
    # two warm-ups; not the tired set, the back-off set, the set that was judged, the next day
    assert found.tolist() == [True, True, False, False, False, False, False]


def test_a_days_strength_is_the_same_with_warm_ups_that_nobody_marked():
    work = [{"load_kg": 100.0, "reps": 8}, {"load_kg": 100.0, "reps": 7}]
    ramp = [{"load_kg": 50.0, "reps": 12}, {"load_kg": 75.0, "reps": 9}]
    columns = ["sets", "strength_kg", "e1rm_kg", "load_kg", "reps", "weight"]
    alone, ramped = (
        lift_sessions(
            sets(*(row | {"date": DAY + dt.timedelta(days=d)} for d in (0, 2, 4) for row in rows))
        ).select(columns)
        for rows in (work, ramp + work)
    )
    assert alone.height == 3
    assert alone.equals(ramped)
