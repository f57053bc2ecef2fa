from __future__ import annotations

import datetime as dt

import numpy as np
import polars as pl
import pytest

from plateline.study.baselines import (
    change_point_search,
    equivalence_eight_weeks,
    no_new_best,
    regression_eight_weeks,
    session_bests,
)
from plateline.words import SETS, conform

FIRST = dt.date(2026, 1, 5)


def log(loads: list[float], reps: int = 5, gap: int = 4, rir: float | None = 0.0) -> pl.DataFrame:
    rows = [
        {
            "client": "A", "exercise": "Squat", "date": FIRST + dt.timedelta(days=gap * i),
            "set_order": 1, "set_kind": "working", "load_kg": load, "reps": reps, "rir": rir,
        }
        for i, load in enumerate(loads)
    ]  # fmt: skip
    frame = pl.DataFrame(rows, infer_schema_length=None)
    return conform(
        frame.with_columns(pl.lit(None).alias(n) for n in SETS if n not in frame.columns), SETS
    )


def test_session_best_is_epley_with_reserve() -> None:
    """100 kg for 5 with 2 in reserve: 100 x (1 + 7/30) (Epley 1985)."""
    best = session_bests(log([100.0], rir=2.0), dt.date(2026, 2, 1))
    assert best["e1rm_kg"].item() == pytest.approx(100 * (1 + 7 / 30))


def test_rule_calls_a_plateau_after_21_days() -> None:
    sets = log([100, 105, 110, 108, 109, 107, 108, 109, 110, 109])
    best = FIRST + dt.timedelta(days=8)
    for days, state in ((21, "progressing"), (22, "plateau")):
        call = no_new_best(sets, best + dt.timedelta(days=days)).row(0, named=True)
        assert call["state"] == state
        assert call["score"] == -days
        assert call["since"] == (None if state == "progressing" else best)


def test_regression_is_scipys() -> None:
    from scipy.stats import linregress

    rng = np.random.default_rng(1)
    loads = 100 * np.exp(0.002 * np.arange(12) + rng.normal(0, 0.01, 12))
    sets = log(loads.tolist())
    as_of = sets["date"].max()
    assert isinstance(as_of, dt.date)
    weeks = np.arange(12) * 4 / 7
    line = linregress(weeks, 100 * np.log(loads))
    call = regression_eight_weeks(sets, as_of).row(0, named=True)
    assert call["score"] == pytest.approx(line.slope / line.stderr)
    one_sided = line.pvalue / 2 if line.slope > 0 else 1 - line.pvalue / 2
    assert call["p_progressing"] == pytest.approx(1 - one_sided)


def test_regression_without_enough_sessions_knows_nothing() -> None:
    call = regression_eight_weeks(log([100, 101]), dt.date(2026, 2, 1)).row(0, named=True)
    assert call["p_progressing"] == 0.5
    assert call["state"] == "plateau"


def test_a_plateau_is_called_only_where_the_slope_is_shown_to_be_small() -> None:
    """A quiet flat lift is shown to stand still, a noisy one is not shown to do anything."""
    rng = np.random.default_rng(3)
    noise = rng.normal(0, 1, 16)
    for sd, state in ((0.0005, "plateau"), (0.03, "unclear")):
        sets = log((100 * np.exp(sd * noise)).tolist())
        as_of = sets["date"].max()
        assert isinstance(as_of, dt.date)
        assert regression_eight_weeks(sets, as_of)["state"].item() == "plateau"
        assert equivalence_eight_weeks(sets, as_of)["state"].item() == state
    rising = log((100 * np.exp(0.01 * np.arange(16) + 0.003 * noise)).tolist())
    assert equivalence_eight_weeks(rising, as_of)["state"].item() == "progressing"


def test_change_point_search_finds_the_bend() -> None:
    pytest.importorskip("ruptures", reason="the change-point library is in the test group")
    rng = np.random.default_rng(2)
    rise = np.concatenate([np.linspace(0, 0.12, 20), np.full(20, 0.12)])
    sets = log((100 * np.exp(rise + rng.normal(0, 0.004, 40))).tolist())
    call = change_point_search(sets, dt.date(2026, 7, 1)).row(0, named=True)
    assert call["state"] == "plateau"
    assert abs((call["since"] - (FIRST + dt.timedelta(days=80))).days) <= 16
