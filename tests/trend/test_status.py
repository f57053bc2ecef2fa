"""The state of lifts whose truth is known, and what must not change it."""

from __future__ import annotations

import datetime as dt

import numpy as np
import polars as pl
import pytest

from plateline.errors import MissingColumnError, NoResultError
from plateline.trend import lift_status
from plateline.words import LIFT_STATUS_DETAIL, PLAN, conform

from .lifters import AS_OF, lifter, steady, turning

PROBABILITIES = ["p_progressing", "p_plateau", "p_declining"]


def only(frame: pl.DataFrame) -> dict:
    assert frame.height == 1
    return frame.row(0, named=True)


@pytest.mark.parametrize(
    ("slope", "state"), [(0.6, "progressing"), (0.0, "plateau"), (-0.6, "declining")]
)
def test_a_steady_lift_is_what_it_is(slope, state):
    row = only(lift_status(lifter(steady(slope)), AS_OF))
    assert row["state"] == state
    assert (
        row[{"progressing": "p_progressing", "plateau": "p_plateau"}.get(state, "p_declining")]
        > 0.8
    )
    assert row["slope_pct_week"] == pytest.approx(slope, abs=0.15)
    assert row["slope_low"] < slope < row["slope_high"]
    first_day = AS_OF - dt.timedelta(days=181)
    assert row["since_low"] == first_day
    assert row["since"] - first_day <= dt.timedelta(weeks=4)
    assert sum(row[p] for p in PROBABILITIES) == pytest.approx(1)


@pytest.mark.parametrize(
    ("before", "after", "state"),
    [(0.7, 0.0, "plateau"), (0.7, -0.7, "declining"), (0.0, 0.8, "progressing")],
)
def test_a_turn_is_found_and_dated(before, after, state):
    row = only(lift_status(lifter(turning(before, after, 15)), AS_OF))
    assert row["state"] == state
    truth = AS_OF - dt.timedelta(days=181 - 15 * 7)
    assert abs((row["since"] - truth).days) <= 17
    assert row["since_low"] <= row["since"] <= row["since_high"]
    assert row["since_low"] <= truth <= row["since_high"]


def test_what_comes_out_is_the_schema_sorted_by_lift():
    log = pl.concat([lifter(steady(0.3), client=c) for c in ("b", "a")])
    status = lift_status(log, AS_OF)
    assert status.schema == pl.Schema(LIFT_STATUS_DETAIL)
    assert status["client"].to_list() == ["a", "b"]


def test_strength_and_forecast_are_those_of_the_day():
    row = only(lift_status(lifter(steady(0.5), noise_pct=0.5), AS_OF))
    truth = 120 * np.exp(0.005 * 26)
    assert row["scale"] == "e1rm"
    assert row["e1rm_kg"] == row["strength_kg"] == pytest.approx(truth, rel=0.05)
    assert row["e1rm_low"] < truth < row["e1rm_high"]
    assert row["forecast_kg"] == pytest.approx(row["strength_kg"] * 1.02, rel=0.006)
    wide = row["forecast_high"] - row["forecast_low"]
    assert wide > row["strength_high"] - row["strength_low"]


def test_only_what_was_logged_by_the_day_counts():
    log = lifter(turning(0.7, -0.9, 15))
    early = AS_OF - dt.timedelta(weeks=11)
    cut = lift_status(log.filter(pl.col("date") <= early), early)
    assert lift_status(log, early).equals(cut)
    assert only(cut)["state"] == "progressing"


def test_the_last_day_of_the_log_is_the_default():
    log = lifter(steady(0.4))
    assert lift_status(log).equals(lift_status(log, log["date"].max()))


def test_a_switch_of_rep_range_is_no_change_of_strength():
    row = only(lift_status(lifter(steady(0.4), reps=lambda t: np.where(t < 13, 6, 14)), AS_OF))
    assert row["state"] == "progressing"
    assert "rep-range switch" in row["context"]


def test_repetitions_that_always_jump_are_one_wide_range_and_no_switch():
    rng = np.random.default_rng(7)
    log = pl.concat(
        lifter(steady(0.3), exercise=f"Lift {n}", reps=lambda t: rng.integers(20, 41, t.size))
        for n in range(12)
    )
    found = [
        context for context in lift_status(log, AS_OF)["context"] if "rep-range switch" in context
    ]
    assert len(found) <= 2


def test_a_planned_light_week_is_not_a_decline():
    log = lifter(steady(0.4), rir=None)
    light = pl.col("date") > AS_OF - dt.timedelta(days=7)
    log = log.with_columns(
        load_kg=pl.when(light).then(0.85 * pl.col("load_kg")).otherwise("load_kg")
    )
    block = {"client": "a", "block": "Deload 3", "start": AS_OF - dt.timedelta(days=6), "weeks": 1}
    rows = pl.DataFrame([dict.fromkeys(PLAN) | block])
    plan = conform(rows, PLAN)
    for known in (None, plan):
        row = only(lift_status(log, AS_OF, plan=known))
        assert row["state"] == "progressing"
        assert "deload" in row["context"]


def test_a_layoff_is_named_and_is_not_a_decline():
    def path(t):
        lost = np.where(t > 18, 4 * np.exp(-(t - 18) / 1.5), 0)
        return 0.4 * t - lost

    log = lifter(path)
    start = AS_OF - dt.timedelta(days=181)
    away = pl.col("date").is_between(start + dt.timedelta(weeks=15), start + dt.timedelta(weeks=18))
    row = only(lift_status(log.filter(~away), AS_OF))
    assert "layoff" in row["context"]
    assert row["p_declining"] < 0.1


def test_typing_errors_are_harmless():
    log = lifter(steady(0.4)).with_row_index()
    factors = {10: 10.0, 30: 0.1, 50: 2.2046}
    slip = pl.col("index").replace_strict(factors, default=1.0)
    row = only(lift_status(log.with_columns(load_kg=pl.col("load_kg") * slip), AS_OF))
    clean = only(lift_status(log, AS_OF))
    assert row["state"] == clean["state"] == "progressing"
    assert row["p_progressing"] == pytest.approx(clean["p_progressing"], abs=0.02)
    assert row["e1rm_kg"] == pytest.approx(clean["e1rm_kg"], rel=0.04)


def test_a_lifter_without_reserves_still_has_a_slope():
    row = only(lift_status(lifter(steady(0.5), rir=None), AS_OF))
    assert row["state"] == "progressing"
    assert "no RIR" in row["context"]
    assert row["e1rm_high"] / row["e1rm_low"] > 1.07


def test_too_few_sessions_are_unclear_and_say_what_would_settle_it():
    few = only(lift_status(lifter(steady(0.5), weeks=2, days_between=5.0), AS_OF))
    assert few["state"] == "unclear"
    assert few["reason"] == "too few sessions to name a state"
    assert "few sessions" in few["context"]
    assert few["sessions_needed"] >= 1


def test_a_lift_left_alone_is_stale_then_has_no_state():
    log = lifter(steady(0.5))
    month = only(lift_status(log, AS_OF + dt.timedelta(days=28)))
    assert "stale" in month["context"]
    later = only(lift_status(log, AS_OF + dt.timedelta(days=60)))
    assert later["state"] == "unclear"
    assert "not trained" in later["reason"]
    years = only(lift_status(log, AS_OF + dt.timedelta(days=900)))
    assert (years["state"], years["e1rm_kg"]) == ("unclear", None)


def test_three_weeks_without_a_lift_are_stale_and_six_have_no_present_state():
    log = lifter(steady(0.5))
    last = log["date"].max()

    def after(days: int) -> dict:
        return only(lift_status(log, last + dt.timedelta(days=days)))

    assert ["stale" in after(days)["context"] for days in (21, 22)] == [False, True]
    assert ["not trained" in (after(days)["reason"] or "") for days in (42, 43)] == [False, True]


def test_high_repetitions_have_no_maximum_and_say_so():
    row = only(lift_status(lifter(steady(0.4), reps=24), AS_OF))
    assert (row["scale"], row["e1rm_kg"]) == ("working strength", None)
    assert "too many for a one-repetition maximum" in row["reason"]
    assert row["strength_kg"] is not None


def test_a_diet_is_named_as_told_or_as_weighed():
    log = lifter(steady(-0.4))
    told = pl.DataFrame({"client": ["a"], "phase": ["lose"]})
    weighed = pl.DataFrame(
        {
            "client": "a",
            "date": [AS_OF - dt.timedelta(days=d) for d in range(0, 42, 7)],
            "body_mass_kg": [80.0 + 0.6 * k for k in range(6)],
        }
    )
    assert "diet phase" in only(lift_status(log, AS_OF, clients=told))["context"]
    assert "diet phase" in only(lift_status(log, AS_OF, checkins=weighed))["context"]
    assert "diet phase" not in only(lift_status(log, AS_OF))["context"]
    # Two weeks, or three weighings, are too few to tell.
    for few in (weighed[:3], weighed[:3].vstack(weighed[:1])):
        assert "diet phase" not in only(lift_status(log, AS_OF, checkins=few))["context"]
    enough = only(lift_status(log, AS_OF, checkins=weighed[:4]))
    assert "diet phase" in enough["context"]


def test_lifts_of_which_no_set_says_anything_still_have_a_row():
    log = pl.concat(
        [
            lifter(steady(0.4)),
            lifter(steady(0.4), exercise="Face pull").with_columns(
                set_kind=pl.lit("warm-up", dtype=lifter(steady(0))["set_kind"].dtype)
            ),
        ]
    )
    row = lift_status(log, AS_OF).row(1, named=True)
    assert (row["exercise"], row["state"], row["e1rm_kg"]) == ("Face pull", "unclear", None)
    assert row["reason"] == "no working set with a load and repetitions"
    alone = only(lift_status(log.filter(pl.col("exercise") == "Face pull"), AS_OF))
    assert alone["state"] == "unclear"


def club() -> pl.DataFrame:
    slopes = np.linspace(-0.8, 1.0, 24)
    return pl.concat(
        [
            lifter(turning(s, s / 2, 12), client=f"c{n:02d}", seed=n, noise_pct=2.0)
            for n, s in enumerate(slopes)
        ]
    )


def numbers(status: pl.DataFrame) -> np.ndarray:
    return status.select(*PROBABILITIES, "slope_pct_week", "slope_low", "noise_pct").to_numpy()


def test_row_order_changes_nothing():
    log = club()
    assert lift_status(log.sample(fraction=1, shuffle=True, seed=1)).equals(lift_status(log))


def test_pounds_change_the_loads_only():
    log = club()
    pound = 0.45359237
    status = lift_status(log)
    other = lift_status(log.with_columns(load_kg=pl.col("load_kg") / pound))
    assert numbers(other) == pytest.approx(numbers(status), abs=1e-9)
    assert other["e1rm_kg"].to_numpy() * pound == pytest.approx(status["e1rm_kg"].to_numpy())


def test_shifted_dates_shift_the_dates_only():
    log = club()
    shift = dt.timedelta(days=373)
    status = lift_status(log, AS_OF)
    other = lift_status(log.with_columns(date=pl.col("date") + shift), AS_OF + shift)
    assert np.array_equal(numbers(other), numbers(status))
    assert (other["since"] - status["since"]).unique().to_list() == [shift]


def test_other_clients_move_a_probability_a_little_and_nothing_else():
    log = club()
    some = pl.col("client") < "c20"
    whole = lift_status(log, AS_OF).filter(some)
    part = lift_status(log.filter(some), AS_OF)
    moved = np.abs(whole.select(PROBABILITIES).to_numpy() - part.select(PROBABILITIES).to_numpy())
    assert moved.max() < 0.08
    assert moved.mean() < 0.02
    assert part["sessions"].equals(whole["sessions"])


def test_pandas_frames_are_taken():
    log = lifter(steady(0.4))
    needed = log.select("client", "date", "exercise", "load_kg", "reps", "rir")
    assert only(lift_status(needed.to_pandas(), AS_OF))["state"] == "progressing"


def test_refusals_are_sentences():
    with pytest.raises(NoResultError, match="no set"):
        lift_status(lifter(steady(0)).clear())
    with pytest.raises(MissingColumnError, match="'load_kg'"):
        lift_status(lifter(steady(0)).drop("load_kg"))


def test_equipment_and_body_mass_reach_the_state():
    log = lifter(steady(0.4), exercise="Pull-up", one_rm_kg=40.0)
    unknown = only(lift_status(log, AS_OF))
    assert unknown["e1rm_kg"] is None
    assert "body mass" in unknown["reason"]
    mass = pl.DataFrame({"client": ["a"], "date": [AS_OF], "body_mass_kg": [80.0]})
    known = only(lift_status(log, AS_OF, checkins=mass))
    assert known["e1rm_kg"] > 80
    assert known["slope_pct_week"] < unknown["slope_pct_week"]


def test_a_weighing_after_the_day_changes_nothing() -> None:
    sets = lifter(steady(0.3), exercise="Pull-up", one_rm_kg=40.0)
    weighings = pl.DataFrame(
        {
            "client": ["a"] * 3,
            "date": [
                AS_OF - dt.timedelta(days=150),
                AS_OF - dt.timedelta(days=8),
                AS_OF + dt.timedelta(days=1),
            ],
            "body_mass_kg": [70.0, 70.0, 95.0],
        }
    )
    known = lift_status(sets, AS_OF, checkins=weighings.head(2))
    assert known["e1rm_kg"].is_not_null().all()
    assert lift_status(sets, AS_OF, checkins=weighings).equals(known)
