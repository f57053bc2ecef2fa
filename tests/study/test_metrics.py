from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from plateline.study.metrics import (
    accuracy,
    auc,
    brier,
    calibration_bins,
    calibration_error,
    coverage,
    roc_points,
)

cases = st.lists(st.tuples(st.integers(0, 6), st.booleans()), min_size=4, max_size=40).filter(
    lambda rows: 0 < sum(t for _, t in rows) < len(rows)
)


@given(cases)
def test_auc_is_the_mann_whitney_statistic(rows: list[tuple[int, bool]]) -> None:
    """Hanley and McNeil 1982, Radiology 143:29-36; U as scipy counts it."""
    from scipy.stats import mannwhitneyu

    score = np.array([s for s, _ in rows], float)
    truth = np.array([t for _, t in rows])
    u = mannwhitneyu(score[truth], score[~truth]).statistic
    assert auc(score, truth) == pytest.approx(u / (truth.sum() * (~truth).sum()))


@given(cases)
def test_area_under_the_roc_points_is_the_auc(rows: list[tuple[int, bool]]) -> None:
    score = np.array([s for s, _ in rows], float)
    truth = np.array([t for _, t in rows])
    x, y = roc_points(score, truth)
    assert (x[0], y[0], x[-1], y[-1]) == (0, 0, 1, 1)
    assert np.trapezoid(y, x) == pytest.approx(auc(score, truth))


def test_an_unknown_score_gains_nothing() -> None:
    truth = np.array([True, True, False, False])
    assert auc(np.array([np.nan] * 4), truth) == 0.5
    assert auc(np.array([1.0, np.nan, np.nan, 0.0]), truth) == pytest.approx(0.875)


def test_one_class_has_no_auc() -> None:
    assert np.isnan(auc(np.array([1.0, 2.0]), np.array([True, True])))


def test_brier_by_hand() -> None:
    assert brier(np.array([0.8, 0.3]), np.array([True, False])) == pytest.approx(0.065)


def test_calibration_by_hand() -> None:
    said = np.array([0.1, 0.1, 0.9, 0.9])
    was = np.array([False, True, True, True])
    means, shares, counts = calibration_bins(said, was, bins=2)
    assert means.tolist() == pytest.approx([0.1, 0.9])
    assert shares.tolist() == [0.5, 1.0]
    assert counts.tolist() == [2, 2]
    assert calibration_error(said, was, bins=2) == pytest.approx((0.4 + 0.1) / 2)


def test_accuracy_and_coverage() -> None:
    assert accuracy(np.array(["a", "b"]), np.array(["a", "c"])) == 0.5
    low, high = np.array([0, 0, np.nan]), np.array([1, 1, 1])
    assert coverage(low, high, np.array([0.5, 2.0, 0.5])) == 0.5
