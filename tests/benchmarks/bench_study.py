"""The study of a million sets, and its two stages against the mixed model they stand in for.

Everything is told as a ratio to something done beside it in the same run, so that a busy machine
slows both. Required on two cores: a million sets in the notebook within two minutes, which is
also told in seconds.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import polars as pl
import pytest

from plateline.exercises import read_logbook
from plateline.places import notebook
from plateline.study.cohort import SEPARATE_RANGES, simulate_cohort, zone_effect
from plateline.study.mixed import fit_mixed
from plateline.study.pooling import pool
from plateline.study.simulate import write_log
from plateline.study.study import run_study

from .measure import SMALL

LIFTERS = 40 if SMALL else 1000
COPIES = 1 if SMALL else 3
GROUPS = 100 if SMALL else 2000
ROWS_EACH = 8


def timed(work: Callable[[], Any]) -> tuple[float, Any]:
    """Return the seconds that a piece of work takes, and what it gives."""
    started = time.perf_counter()
    made = work()
    return time.perf_counter() - started, made


@pytest.fixture(scope="module")
def log(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A log of about a million sets of three thousand lifters."""
    made = simulate_cohort(
        LIFTERS, effect=zone_effect(0.1, -0.1), ranges=SEPARATE_RANGES, weeks=26, seed=5
    )
    many = pl.concat(
        [made.sets.with_columns(client=pl.col("client") + f"-{k}") for k in range(COPIES)]
    )
    path = tmp_path_factory.mktemp("study") / "log.csv"
    write_log(many, path)
    return path


def test_study(benchmark, log: Path):
    """Reading a log and studying it, against reading its bytes as a plain table."""
    plain_s, table = timed(lambda: pl.read_csv(log, infer_schema=False))
    read_s, book = timed(lambda: read_logbook(log))
    study = benchmark.pedantic(run_study, (book,), rounds=1)
    study_s = benchmark.stats.stats.mean
    benchmark.extra_info.update(
        sets=table.height, blocks=study.blocks.height, seconds_to_read=read_s,
        seconds_to_study=study_s, study_against_reading=study_s / read_s,
        whole_against_a_plain_table=(read_s + study_s) / plain_s,
    )  # fmt: skip
    assert study.facts["sets"] == table.height


def test_notebook(benchmark, log: Path, tmp_path: Path):
    """The notebook from the log to its last picture, in a kernel of its own."""
    import papermill

    def execute() -> None:
        papermill.execute_notebook(
            notebook("rep_range_study"), tmp_path / "done.ipynb", {"source": str(log)},
            progress_bar=False, log_output=False,
        )  # fmt: skip

    benchmark.pedantic(execute, rounds=1)
    seconds = benchmark.stats.stats.mean
    benchmark.extra_info.update(
        seconds=seconds, megabytes=log.stat().st_size / 1e6, share_of_two_minutes=seconds / 120
    )
    assert "95 %" in (tmp_path / "done.ipynb").read_text("utf-8")


def test_two_stages_against_the_mixed_model(benchmark):
    """The same balanced data: lines per lifter pooled, and random slopes by restricted likelihood."""
    from statsmodels.regression.mixed_linear_model import MixedLM

    rng = np.random.default_rng(1)
    who = np.repeat(np.arange(GROUPS), ROWS_EACH)
    week = np.tile(np.arange(ROWS_EACH) - (ROWS_EACH - 1) / 2, GROUPS)
    own = rng.normal((0.0, 0.5), (1.0, 0.2), (GROUPS, 2))[who]
    y = own[:, 0] + own[:, 1] * week + rng.normal(0, 0.5, len(week))
    design = np.column_stack([np.ones(len(week)), week])

    def two_stages() -> float:
        sxx = float((week[:ROWS_EACH] ** 2).sum())
        slopes = (week * y).reshape(GROUPS, ROWS_EACH).sum(axis=1) / sxx
        left = y.reshape(GROUPS, ROWS_EACH) - slopes[:, None] * week[:ROWS_EACH]
        noise = left.var(axis=1, ddof=1).mean() * (ROWS_EACH - 1) / (ROWS_EACH - 2)
        error = np.full(GROUPS, np.sqrt(noise / sxx))
        return float(pool(slopes, error, np.ones((GROUPS, 1)), np.arange(GROUPS)).effect[0])

    two_s, pooled = timed(two_stages)
    started = time.perf_counter()
    fit = benchmark.pedantic(MixedLM(y, design, who, exog_re=design).fit, rounds=1)
    mixed_s = time.perf_counter() - started
    intercepts_s, _ = timed(lambda: fit_mixed(y, design, who))
    benchmark.extra_info.update(
        lifters=GROUPS, random_slopes_against_two_stages=mixed_s / two_s,
        random_intercepts_against_two_stages=intercepts_s / two_s,
        difference_of_slopes=abs(pooled - float(fit.fe_params[1])),
    )  # fmt: skip
    assert pooled == pytest.approx(float(fit.fe_params[1]), abs=1e-4)
