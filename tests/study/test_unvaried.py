"""Exposures that nobody varied have no effect to tell, rather than one of rounding."""

from __future__ import annotations

import numpy as np
import polars as pl
import pytest

from plateline.study.design import adjustment_columns, spline_basis
from plateline.study.dose import _trained_near


def blocks(sets: np.ndarray, sessions: np.ndarray) -> pl.DataFrame:
    count = len(sets)
    return pl.DataFrame(
        {
            "kind": ["squat"] * count,
            "weeks_before": np.arange(count) % 30,
            "training_age_years": pl.Series([None] * count, dtype=pl.Float64),
            "rir": np.linspace(0.5, 3.0, count),
            "hard_sets_week": sets,
            "sessions_week": sessions,
        }
    )


EVEN = np.tile([1.0, -1.0, 0.5, -0.5], 10)


@pytest.mark.parametrize(
    ("sets", "sessions", "kept"),
    [
        (6 + 0.01 * EVEN, 2 + 0.003 * EVEN, {"rir"}),  # the same all along, but for rounding
        (6 + EVEN, (6 + EVEN) / 3, {"rir", "log2 hard sets"}),  # three sets a session, always
        (6 + EVEN, 2 + 0.5 * EVEN[::-1] ** 2, {"rir", "log2 hard sets", "sessions"}),
    ],
)
def test_only_what_was_varied_by_itself_is_adjusted_for(
    sets: np.ndarray, sessions: np.ndarray, kept: set[str]
) -> None:
    names = set(adjustment_columns(blocks(sets, sessions), training_age=False).names)
    assert names - {"weeks before"} == kept


def test_curve_has_points_only_where_blocks_were_trained() -> None:
    reps = np.repeat([5.1, 7.9, 12.2], 20)
    assert [n for n in range(2, 20) if _trained_near(reps, n)] == [8, 12]
    assert _trained_near(np.repeat([4.6, 5.1, 7.9], 20), 5)


def test_knots_that_crowd_are_one() -> None:
    """Three numbers of reps leave three knots: a straight line and one bend."""
    rng = np.random.default_rng(1)
    logs = np.log2(np.repeat([5.0, 8.0, 12.0], 40) + rng.normal(0, 0.1, 120))
    assert spline_basis(logs, logs).shape[1] == 2
    smooth = np.log2(rng.uniform(3, 15, 120))
    assert spline_basis(smooth, smooth).shape[1] == 3
