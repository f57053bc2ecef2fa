"""How good probabilities, onsets, alarms and intervals are, against a known truth."""

from __future__ import annotations

import numpy as np

__all__ = [
    "accuracy",
    "auc",
    "brier",
    "calibration_bins",
    "calibration_error",
    "coverage",
    "roc_points",
]


def auc(score: np.ndarray, truth: np.ndarray) -> float:
    """Area under the ROC curve: the chance that a true case scores above a false one.

    Ties count one half, which makes it the Mann-Whitney U divided by the number of pairs
    (Hanley and McNeil 1982, Radiology 143:29-36). Scores that are not finite count as the
    middle of the others: a method that does not answer gains nothing.

    Returns
    -------
    float
        Not a number where one of the two classes is empty.
    """
    from scipy.stats import rankdata

    score, truth = _filled(score), np.asarray(truth, bool)
    true, false = int(truth.sum()), int((~truth).sum())
    if not true or not false:
        return float("nan")
    ranks = rankdata(score)
    return float((ranks[truth].sum() - true * (true + 1) / 2) / (true * false))


def roc_points(score: np.ndarray, truth: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Return false and true positive rates at every threshold, from (0, 0) to (1, 1)."""
    score, truth = _filled(score), np.asarray(truth, bool)
    order = np.argsort(-score, kind="stable")
    last = np.flatnonzero(np.diff(score[order], append=-np.inf))
    hits = np.cumsum(truth[order])[last]
    wrong = np.cumsum(~truth[order])[last]
    return (
        np.concatenate([[0.0], wrong / max(1, wrong[-1])]),
        np.concatenate([[0.0], hits / max(1, hits[-1])]),
    )


def brier(probability: np.ndarray, truth: np.ndarray) -> float:
    """Mean squared distance of a probability from what was (Brier 1950, Mon Weather Rev 78:1-3)."""
    return float(np.mean((np.asarray(probability, float) - np.asarray(truth, float)) ** 2))


def calibration_bins(
    probability: np.ndarray, truth: np.ndarray, bins: int = 10
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Mean probability, share that was true and count, in bins of equal count.

    A sample of n leaves a gap of about sqrt(p (1 - p) bins / n) in a bin even when the
    probabilities are perfect: with 1,200 lifts about 0.03.
    """
    probability, truth = np.asarray(probability, float), np.asarray(truth, float)
    parts = np.array_split(np.argsort(probability, kind="stable"), bins)
    parts = [part for part in parts if len(part)]
    return (
        np.array([probability[part].mean() for part in parts]),
        np.array([truth[part].mean() for part in parts]),
        np.array([len(part) for part in parts]),
    )


def calibration_error(probability: np.ndarray, truth: np.ndarray, bins: int = 10) -> float:
    """Mean over bins of equal count of |mean probability - share that was true|."""
    said, was, _ = calibration_bins(probability, truth, bins)
    return float(np.mean(np.abs(said - was)))


def accuracy(called: np.ndarray, truth: np.ndarray) -> float:
    """Share of the calls that are right."""
    return float(np.mean(np.asarray(called) == np.asarray(truth)))


def coverage(low: np.ndarray, high: np.ndarray, truth: np.ndarray) -> float:
    """Share of the truths that lie in their interval, among the intervals that were given."""
    low, high, truth = (np.asarray(x, float) for x in (low, high, truth))
    given = np.isfinite(low) & np.isfinite(high) & np.isfinite(truth)
    inside = (low[given] <= truth[given]) & (truth[given] <= high[given])
    return float(inside.mean()) if given.any() else float("nan")


def _filled(score: np.ndarray) -> np.ndarray:
    score = np.asarray(score, float)
    known = np.isfinite(score)
    return np.where(known, score, np.median(score[known]) if known.any() else 0.0)
