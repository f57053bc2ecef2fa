from __future__ import annotations

from pathlib import Path

import numpy as np
import polars as pl
import pytest

from plateline.errors import UnknownNameError, UsageError
from plateline.exercises import read_log
from plateline.study import SCENARIOS, simulate_lifters, true_loads, write_log
from plateline.study.latent import capacity_share, reps_at_share
from plateline.study.lifters import LIFTS
from plateline.study.simulate import LIFT_TRUTH, STATE_PCT_WEEK, simulation
from plateline.words import SETS, SetKind


def test_same_seed_same_log_other_seed_another() -> None:
    one, truth = simulate_lifters(8, seed=4)
    again, truth_again = simulate_lifters(8, seed=4)
    other, _ = simulate_lifters(8, seed=5)
    assert one.equals(again)
    assert truth.equals(truth_again)
    assert not one.equals(other)


def test_frames_have_their_schemas() -> None:
    sets, truth = simulate_lifters(8)
    assert dict(sets.schema) == SETS
    assert dict(truth.schema) == LIFT_TRUTH
    lifts = sets.select("client", "exercise").unique()
    assert lifts.height == truth.height
    assert sets["client"].is_sorted()


def test_the_state_is_what_the_slope_says() -> None:
    _, truth = simulate_lifters(200)
    by_state = truth.group_by("state").agg(
        low=pl.col("slope_pct_week").min(), high=pl.col("slope_pct_week").max()
    )
    limits = {state: (low, high) for state, low, high in by_state.iter_rows()}
    assert limits["progressing"][0] > STATE_PCT_WEEK
    assert limits["declining"][1] < -STATE_PCT_WEEK
    assert limits["plateau"][0] >= -STATE_PCT_WEEK
    assert limits["plateau"][1] <= STATE_PCT_WEEK


@pytest.mark.parametrize(
    ("lift", "low_80", "high_80"),
    [("Bench Press", 7.7, 10.1), ("Leg Press", 9.8, 17.5)],
)
def test_rep_curves_pass_through_published_reps(lift: str, low_80: float, high_80: float) -> None:
    """95 % intervals of mean reps at 80 % of the maximum, Nuzzo et al. 2024, Sports Med 54:303-321
    (the bench press and leg press values were read second-hand)."""
    k = {name: scale for name, _, _, scale in LIFTS}[lift]
    reps = reps_at_share(np.array(0.8), np.array(k), np.array(0.51))
    assert low_80 <= reps <= high_80


def test_the_rep_curve_is_its_own_inverse() -> None:
    reps = np.array([1.0, 4.0, 11.5, 25.0])
    k, p = np.array(14.0), np.array(0.5)
    assert reps_at_share(capacity_share(reps, k, p), k, p) == pytest.approx(reps)
    assert capacity_share(np.array(1.0), k, p) == 1.0


def test_scenarios_do_what_they_say() -> None:
    frames = {name: simulate_lifters(60, scenario=name)[0] for name in SCENARIOS}
    assert frames["no RIR"]["rir"].null_count() == frames["no RIR"].height
    assert frames["base"]["rir"].null_count() < 0.7 * frames["base"].height

    def days_between(sets: pl.DataFrame) -> float:
        days = sets.select("client", "exercise", "date").unique().sort("client", "exercise", "date")
        gap = pl.col("date").diff().over("client", "exercise").dt.total_days()
        return float(days.select(gap.mean()).item())

    assert 9 < days_between(frames["sparse"]) < 12
    assert 2 < days_between(frames["base"]) < 7

    def longest_gap(sets: pl.DataFrame) -> float:
        days = sets.select("client", "date").unique().sort("client", "date")
        gaps = days.with_columns(gap=pl.col("date").diff().over("client").dt.total_days())
        return float(gaps.group_by("client").agg(pl.col("gap").max())["gap"].median())  # type: ignore[arg-type]

    assert longest_gap(frames["layoffs"]) >= 14 > longest_gap(frames["base"])


def test_lifts_that_turn_again_do_so_sharply_and_after_four_weeks() -> None:
    once, twice = (simulation(SCENARIOS[name], 80, 26, seed=4) for name in ("base", "two turns"))
    first, last = once.paths.onset_day, twice.paths.onset_day
    again = first != last
    assert (first[again] >= 0).all()
    assert 0.3 < again[first >= 0].mean() < 0.9
    assert (last - first)[again].min() >= 28
    rate = twice.paths.rate_pct_week
    for lift in np.flatnonzero(again):
        after = rate[lift, last[lift] :]
        assert np.ptp(after) == 0
        assert rate[lift, last[lift] - 1] != after[0]
    # up to the second turn nothing is different
    before = np.arange(rate.shape[1]) < np.where(again, last, 10_000)[:, None]
    assert np.array_equal(rate[before], once.paths.rate_pct_week[before])


def test_typing_errors_are_few_and_gross() -> None:
    clean, _ = simulate_lifters(150, scenario="base", seed=6)
    dirty, _ = simulate_lifters(150, scenario="typing errors", seed=6)
    differs = (clean["load_kg"] != dirty["load_kg"]) | (clean["reps"] != dirty["reps"])
    share = float(differs.mean())  # type: ignore[arg-type]
    assert 0.002 < share < 0.004


def test_what_lifters_write_is_what_people_can_write() -> None:
    sets, _ = simulate_lifters(100)
    assert sets["reps"].min() >= 1  # type: ignore[operator]
    rir = sets["rir"].drop_nulls()
    assert (rir == rir.round()).all()
    assert (rir >= 0).all()
    per_step = sets.filter(pl.col("exercise") == "Bench Press")["load_kg"] / 2.5
    assert (per_step == per_step.round()).all()
    assert set(sets["set_kind"].unique()) == {
        SetKind.WORKING, SetKind.WARM_UP, SetKind.TOP, SetKind.BACK_OFF,
    }  # fmt: skip


def test_true_loads_fall_with_reps_and_reserve() -> None:
    _, truth = simulate_lifters(10)
    heavy, longer, easier = (
        true_loads(truth, reps, rir)["load_kg"] for reps, rir in ((5, 0), (8, 0), (5, 3))
    )
    assert (heavy > longer).all()
    assert easier.to_list() == pytest.approx(longer.to_list())
    one = true_loads(truth, 1, 0.0)["load_kg"]
    assert one.to_list() == pytest.approx(truth["true_1rm_kg"].to_list())


def test_a_written_log_reads_back(tmp_path: Path) -> None:
    sets, _ = simulate_lifters(5)
    write_log(sets, tmp_path / "log.csv")
    back = read_log(tmp_path / "log.csv")
    assert back.height == sets.height
    assert back["load_kg"].sum() == pytest.approx(sets["load_kg"].sum())
    assert back["rir"].null_count() == sets["rir"].null_count()
    assert not list(tmp_path.glob(".*"))


def test_refusals_are_sentences() -> None:
    with pytest.raises(UnknownNameError, match="noisy"):
        simulate_lifters(5, scenario="noise")
    with pytest.raises(UsageError, match="at least 1 lifter, 4 weeks"):
        simulate_lifters(5, weeks=2)
