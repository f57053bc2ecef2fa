"""Whatever a log holds, every table is made, and what is unknown has its reason."""

from __future__ import annotations

from datetime import timedelta

import polars as pl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.load.rows import MONDAY, day, log, plan, work

import plateline.fatigue as fatigue
import plateline.load as load
from plateline.strength import lift_sessions

CHECKINS = pl.DataFrame(
    {
        "client": ["ann"] * 40,
        "date": [day(n) for n in range(40)],
        "body_mass_kg": [70.0 + n % 3 if n % 4 else None for n in range(40)],
        "sleep": [1.0 + n % 7 for n in range(40)],
        "stress": [None if n % 5 == 0 else 3.0 for n in range(40)],
        "fatigue": [2.0 + n % 2 for n in range(40)],
        "soreness": [3.0] * 40,
        "sleep_h": [6.0 + n % 3 for n in range(40)],
        "session_rpe": [7.0 if n % 2 else None for n in range(40)],
        "session_min": [60.0] * 40,
    }
)
PLAN = plan({"exercise": "Back squat"}, {"exercise": "Pull-up", "set_kind": "back-off"}, weeks=6)


def strength(sets: pl.DataFrame) -> pl.DataFrame:
    return lift_sessions(sets)


TABLES = {
    "weekly_load": lambda sets: load.weekly_load(sets, checkins=CHECKINS),
    "monthly_load": lambda sets: load.monthly_load(sets, checkins=CHECKINS),
    "block_load": lambda sets: load.block_load(sets, PLAN, checkins=CHECKINS),
    "session_load": lambda sets: load.session_load(sets, checkins=CHECKINS),
    "weekly_muscles": load.weekly_muscles,
    "weekly_positions": load.weekly_positions,
    "weekly_patterns": load.weekly_patterns,
    "rep_zones": load.rep_zones,
    "effort": load.effort,
    "intensity": lambda sets: load.intensity(sets, checkins=CHECKINS),
    "frequency": load.frequency,
    "roles": lambda sets: load.roles(sets, PLAN),
    "supersets": load.supersets,
    "load_by": lambda sets: load.load_by(sets, "position", "block", plan=PLAN),
    "adherence": lambda sets: load.adherence(sets, PLAN),
    "adherence_weeks": lambda sets: load.adherence_weeks(sets, PLAN),
    "daily_load": lambda sets: fatigue.daily_load(sets, checkins=CHECKINS),
    "load_ratios": lambda sets: fatigue.load_ratios(sets, CHECKINS),
    "week_change": fatigue.week_change,
    "monotony_strain": lambda sets: fatigue.monotony_strain(sets, CHECKINS),
    "drop_off": fatigue.drop_off,
    "back_off_ratio": lambda sets: fatigue.back_off_ratio(sets, checkins=CHECKINS),
    "performance_ratio": lambda sets: fatigue.performance_ratio(sets, strength(sets)),
    "readiness": lambda sets: fatigue.readiness(sets, CHECKINS),
    "explain_month": lambda sets: fatigue.explain_month(
        strength(sets), fatigue.readiness(sets, CHECKINS), day(35)
    ),
    "relative_strength": lambda sets: fatigue.relative_strength(strength(sets), CHECKINS),
}

EXPLAINED = {
    "weekly_load": ("load_share", "moved_kg", "mean_rir", "reference_e1rm_kg"),
    "monthly_load": ("load_share", "moved_kg", "mean_rir"),
    "block_load": ("load_share", "moved_kg", "mean_rir"),
    "session_load": ("density_kg_min", "moved_kg", "session_rpe_load"),
    "frequency": ("sessions_week", "median_days_between"),
    "load_ratios": ("ratio_ewma", "ratio_coupled", "ratio_uncoupled"),
    "week_change": ("volume_load_change_pct", "hard_sets_change_pct"),
    "monotony_strain": ("monotony", "strain"),
    "drop_off": ("drop_off",),
    "back_off_ratio": ("back_off_ratio",),
    "performance_ratio": ("performance_ratio",),
    "readiness": ("hooper_index", "sleep_h", "body_mass_kg"),
    "explain_month": ("difference_pct", "month_pct"),
    "relative_strength": ("points", "per_body_mass"),
    "roles": ("role",),
    "supersets": ("reps_held",),
    "adherence": ("mean_rir",),
    "adherence_weeks": ("rir_reached_share",),
}
"""The values that a table is about: null only with a reason."""


def unexplained(name: str, table: pl.DataFrame) -> pl.DataFrame:
    """Return the rows in which such a value is null and nothing says why."""
    if name not in EXPLAINED:
        return table.clear()
    unknown = pl.any_horizontal(pl.col(*EXPLAINED[name]).is_null())
    return table.filter(unknown & pl.col("reason").is_null())


a_set = st.fixed_dictionaries(
    {
        "client": st.sampled_from(["ann", "bo"]),
        "date": st.integers(0, 60).map(lambda n: MONDAY + timedelta(days=n)),
        "session": st.sampled_from([None, "A", "B"]),
        "exercise": st.sampled_from(
            ["Back squat", "Pull-up", "Dumbbell curl", "Leg press", "my own invention"]
        ),
        "load_kg": st.sampled_from([-20.0, 0.0, 2.5, 60.0, 100.0]),
        "reps": st.integers(0, 40),
        "rir": st.sampled_from([None, 0.0, 2.0, 9.0]),
        "set_kind": st.sampled_from(["working", "warm-up", "top", "back-off", "drop"]),
        "superset": st.sampled_from([None, None, "S1"]),
        "side": st.sampled_from([None, None, "left", "right", "each"]),
        "rest_s": st.sampled_from([None, 90.0]),
        "set_order": st.sampled_from([None, 1, 2, 3]),
    }
)


@settings(max_examples=settings().max_examples // 6)
@given(rows=st.lists(a_set, min_size=0, max_size=30))
def test_any_log_gives_a_table(rows):
    """Every table of the same log: drawing one takes as long as making a table of it."""
    drawn = log(*rows)
    for name, make in TABLES.items():
        table = make(drawn)
        for column, dtype in table.schema.items():
            if dtype.is_float():
                assert table[column].drop_nulls().is_finite().all(), (name, column)
        assert unexplained(name, table).is_empty(), (name, unexplained(name, table))


SPECIAL = {
    "one session, or weeks without training": log(
        *[work("Back squat", 100, 5, client="once")] * 3,
        *[work("Back squat", 100, 5, client="monthly", date=day(d)) for d in (0, 30, 60)],
        *[work("Back squat", 100, 5, client="gap", date=day(d)) for d in (0, 2, 45, 47)],
    ),
    "one set": log(work("Back squat", 100, 5)),
    "all warm-ups": log(*[work("Back squat", 60, 5, set_kind="warm-up", date=day(d)) for d in range(40)]),
    "zero load": log(*[work("Back squat", 0, 5, date=day(d)) for d in range(40)]),
    "no RIR": log(*[work("Back squat", 100, 5, date=day(d)) for d in range(0, 60, 2)]),
    "nothing": log(),
}  # fmt: skip


@pytest.mark.parametrize("name", TABLES)
@pytest.mark.parametrize("kind", SPECIAL)
def test_special_logs_give_a_table(name, kind):
    table = TABLES[name](SPECIAL[kind])
    assert unexplained(name, table).is_empty(), unexplained(name, table)


@pytest.mark.parametrize("name", TABLES)
def test_a_client_alone_is_the_same_to_the_last_bit(name):
    # One session, one lift a day, or many: Polars divides a single row otherwise than several.
    many = [
        work(lift, 60.7 + d / 3, reps, rir=1.0, date=day(d), client="ann")
        for d in range(0, 60, 2)
        for lift, reps in (("Back squat", 8), ("Pull-up", 5), ("Dumbbell curl", 17))
    ]
    few = [row | {"client": "bo", "load_kg": 33.3} for row in many[:3]]
    one = [many[0] | {"client": "cy"}]
    together = TABLES[name](log(*many, *few, *one))
    for client, rows in (("ann", many), ("bo", few), ("cy", one)):
        mine = pl.col("client") == client
        assert TABLES[name](log(*rows)).filter(mine).equals(together.filter(mine)), client
