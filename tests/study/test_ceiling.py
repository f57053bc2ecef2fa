from __future__ import annotations

import numpy as np
import polars as pl
import pytest

from plateline.study.baselines import regression_eight_weeks
from plateline.study.ceiling import ceiling
from plateline.study.metrics import auc, calibration_error
from plateline.study.scenarios import SCENARIOS
from plateline.study.simulate import Simulation, simulation


@pytest.fixture(scope="module", params=["base", "no RIR"])
def simulated(request: pytest.FixtureRequest) -> Simulation:
    return simulation(SCENARIOS[request.param], 70, 26, seed=12)


@pytest.fixture(scope="module")
def top(simulated: Simulation) -> pl.DataFrame:
    return ceiling(simulated, paths=3000)


def test_the_ceiling_is_above_a_regression_and_calibrated(
    simulated: Simulation, top: pl.DataFrame
) -> None:
    sets, truth = simulated.frames()
    rising = (truth["state"] == "progressing").to_numpy()
    plain = regression_eight_weeks(sets, simulated.as_of)
    key = truth.select("client", "exercise")
    said, other = (
        key.join(frame, on=["client", "exercise"], how="left", maintain_order="left")
        for frame in (top, plain)
    )
    best = auc(said["p_progressing"].to_numpy(), rising)
    assert best > 0.93
    assert best > auc(other["score"].to_numpy(), rising) + 0.05
    assert calibration_error(said["p_progressing"].to_numpy(), rising) < 0.07


def test_its_error_of_strength_is_as_large_as_it_says(
    simulated: Simulation, top: pl.DataFrame
) -> None:
    _, truth = simulated.frames()
    both = truth.join(top, on=["client", "exercise"], suffix="_said")
    z = both.select(
        100 * (pl.col("strength_kg") / pl.col("true_1rm_kg")).log() / pl.col("strength_sd_pct")
    ).to_series()
    assert 0.85 < np.std(z.to_numpy()) < 1.25
    assert abs(float(z.mean())) < 0.3  # type: ignore[arg-type]


def test_it_reads_only_up_to_its_day() -> None:
    simulated = simulation(SCENARIOS["base"], 12, 26, seed=12)
    early = ceiling(simulated, day=100, paths=1000)
    later = simulated.rows["day"] > 100
    kept = {name: values[~later] for name, values in simulated.rows.items()}
    cut = Simulation(
        simulated.scenario, simulated.group, simulated.paths, kept, simulated.first_day, simulated.as_of
    )  # fmt: skip
    same = ceiling(cut, day=100, paths=1000)
    columns = ["client", "exercise", "p_progressing", "p_declining", "state", "since"]
    assert early.select(columns).equals(same.select(columns))
