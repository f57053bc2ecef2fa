"""The scale of the outcome must not favour a rep range."""

from __future__ import annotations

import numpy as np
import polars as pl
import pytest

from plateline.study.cohort import SEPARATE_RANGES, simulate_cohort
from plateline.study.latent import capacity_share
from plateline.study.lifters import LIFTS
from plateline.study.naive import naive_lifts, naive_rows
from plateline.study.outcome import exchange_rates, with_rates
from plateline.study.portions import gather
from plateline.study.rep_sessions import study_sessions


def true_rates(made, blocks: pl.DataFrame) -> np.ndarray:
    """Return the mean true rate over the days of each block, % a week."""
    group = made.simulated.group
    place = {
        (group.client[group.lifter[i]], LIFTS[group.kind[i]][0]): i for i in range(group.lifts)
    }
    rate, first = made.simulated.paths.rate_pct_week, made.simulated.first_day
    return np.array(
        [
            rate[place[client, lift], (start - first).days : (end - first).days + 1].mean()
            for client, lift, start, end in blocks.select(
                "client", "exercise", "start", "end"
            ).iter_rows()
        ]
    )


@pytest.fixture(scope="module")
def made():
    return simulate_cohort(160, confounding=0.0, ranges=SEPARATE_RANGES, seed=21)


@pytest.fixture(scope="module")
def moments(made) -> pl.DataFrame:
    return gather([made.sets]).moments


def test_rates_are_right_in_every_zone(made, moments: pl.DataFrame) -> None:
    blocks = with_rates(moments)
    error = blocks["slope_pct_week"].to_numpy() - true_rates(made, blocks)
    zones = blocks["zone"].to_numpy()
    for zone in np.unique(zones):
        of_zone = error[zones == zone]
        standard_error = of_zone.std() / np.sqrt(len(of_zone))
        assert abs(of_zone.mean()) < 3 * standard_error + 0.01
        assert abs(of_zone.mean()) < 0.06


def test_standard_errors_are_of_the_right_size(made, moments: pl.DataFrame) -> None:
    """Wobbles of weeks are no part of the error of a line: the second stage takes them as scatter."""
    blocks = with_rates(moments)
    error = blocks["slope_pct_week"].to_numpy() - true_rates(made, blocks)
    assert 0.9 < np.std(error / blocks["se_pct_week"].to_numpy()) < 1.8


def test_the_exchange_is_learnt_from_the_cohort(made, moments: pl.DataFrame) -> None:
    """Against the simulator's own curves at the reps of each zone."""
    group = made.simulated.group
    learnt = exchange_rates(moments).group_by("zone").agg(
        exchange=(pl.col("exchange") * pl.col("blocks")).sum() / pl.col("blocks").sum()
    )  # fmt: skip
    for zone, reps in (("1-5 reps", 7.0), ("6-12 reps", 12.0), ("13-20 reps", 19.0)):
        n = np.array([reps - 0.5, reps + 0.5])
        share = np.log(capacity_share(n[:, None], group.curve_k, group.curve_p))
        depth = np.log((30 + n) / 31)
        true = float(((share[0] - share[1]) / (depth[1] - depth[0])).mean())
        found = learnt.filter(pl.col("zone") == zone)["exchange"].item()
        assert found == pytest.approx(true, rel=0.2)


def test_a_change_of_rep_range_bends_the_naive_line_and_not_ours() -> None:
    """Nobody gains more in any zone, yet everyone moves from long sets to heavy ones.

    The equation's error at 15 to 20 reps against 4 to 6 then looks like progress or loss.
    """
    from dataclasses import replace

    from plateline.study.cohort import COHORT_SCENARIO

    made = simulate_cohort(
        80, confounding=0.0, switch_share=1.0, ranges=((15, 20), (4, 6)), seed=8,
        scenario=replace(COHORT_SCENARIO, layoff_share=0.0),
    )  # fmt: skip
    gathered = gather([made.sets])
    blocks = with_rates(gathered.moments)
    ours = blocks["slope_pct_week"].to_numpy() - true_rates(made, blocks)
    naive = naive_lifts(study_sessions(made.sets))
    truth = made.simulated.paths.rate_pct_week.mean()
    spread = float(naive["slope_pct_week"].std())  # type: ignore[arg-type]
    assert np.median(np.abs(ours)) < 0.25
    assert spread > 1.5 * float(np.std(made.simulated.paths.rate_pct_week.mean(axis=1)))
    assert abs(ours.mean()) < 0.05 < abs(naive["slope_pct_week"].mean() - truth) + 0.05  # type: ignore[operator]


def test_other_scales_are_there_for_comparison(moments: pl.DataFrame) -> None:
    rates = {
        scale: with_rates(moments, scale) for scale in ("own", "population", "epley", "brzycki")
    }
    for frame in rates.values():
        assert frame.height == moments.height
        assert frame["se_pct_week"].min() > 0  # type: ignore[operator]
    middle = moments["zone"] == "6-12 reps"
    own, epley = (rates[s].filter(middle)["slope_pct_week"].mean() for s in ("own", "epley"))
    assert own == pytest.approx(epley, abs=0.05)


def test_naive_rows_are_welchs() -> None:
    from scipy.stats import ttest_ind

    lifts = pl.DataFrame(
        {
            "client": list("aabbcc"), "exercise": list("xyxyxy"),
            "zone": ["1-5 reps", "6-12 reps"] * 3, "reps": [4.0, 9.0] * 3,
            "slope_pct_week": [0.1, 0.5, 0.2, 0.4, 0.3, 0.7],
        }
    )  # fmt: skip
    row = next(naive_rows(lifts))
    reference = ttest_ind([0.5, 0.4, 0.7], [0.1, 0.2, 0.3], equal_var=False)
    assert row["p"] == pytest.approx(reference.pvalue)  # type: ignore[attr-defined]
    assert row["effect_pct_week"] == pytest.approx(1 / 3)
