"""The regimes against exact answers, and against published series."""

from __future__ import annotations

import warnings
from dataclasses import replace
from itertools import combinations, pairwise, product

import numpy as np
import pytest

from plateline.trend import hypotheses, regimes
from plateline.trend.assumptions import FIRST_LEVEL_PCT, SETTLED_WEEKS, WOBBLE_PCT
from plateline.trend.pooled import DECLINING, FLAT, PRIOR, PROGRESSING, Pooled
from plateline.trend.regimes import run_regimes
from plateline.trend.weeks import Weeks

ONE_CLASS = Pooled(
    start=np.array([0.0, 0.0, 1.0]),
    hazard=np.zeros(3),
    change=np.eye(3),
    slope_mean=np.array([-0.5, 0.0, 0.4]),
    slope_sd=np.array([0.2, 0.03, 0.3]),
)


def weeks_of(y, var=2.0, seen=None):
    """Return Weeks of lifts in columns; unseen weeks have no precision."""
    y = np.asarray(y, dtype=float)
    y = y[:, None] if y.ndim == 1 else y
    seen = np.ones(y.shape, bool) if seen is None else np.broadcast_to(seen, y.shape)
    return Weeks(
        y=np.where(seen, y, 0.0),
        precision=np.where(seen, 1 / np.broadcast_to(var, y.shape), 0.0),
        shock=np.zeros(y.shape),
        start=seen.argmax(0),
    )


def design(t, changes):
    """Rows of (level, one slope a regime) for weeks `t`; a regime's slope acts after its start."""
    edges = [0, *changes, 10_000]
    slopes = [np.clip(t, a, b) - a for a, b in pairwise(edges)]
    return np.column_stack([np.ones_like(t), *slopes])


def exact_log_density(y, var, changes, classes, pooled):
    """Log density of a series under given dates of change, all integrated out.

    `classes` has a row of classes, one a regime, for each density to return.
    """
    t, classes = np.arange(len(y), dtype=float), np.asarray(classes)
    A = design(t, changes)
    first = np.ones((len(classes), 1))
    mean = np.hstack([y[0] * first, pooled.slope_mean[classes]]) @ A.T
    prior = np.hstack([FIRST_LEVEL_PCT**2 * first, pooled.slope_sd[classes] ** 2])
    wobble = WOBBLE_PCT**2 * np.minimum(t[:, None], t[None])
    covariance = (A * prior[:, None]) @ A.T + wobble + var * np.eye(len(y))
    return normal_log_density(y - mean, covariance)


def normal_log_density(off, covariance):
    """Log density of several multivariate normals, each `off` its mean."""
    squared = (off * np.linalg.solve(covariance, off[..., None])[..., 0]).sum(axis=-1)
    log_size = np.linalg.slogdet(2 * np.pi * covariance).logabsdet
    return -(squared + log_size) / 2


def test_the_normal_density_is_scipys():
    from scipy.stats import multivariate_normal

    rng = np.random.default_rng(1)
    root, off = rng.normal(size=(5, 11, 11)), rng.normal(size=(5, 11))
    covariance = root @ root.transpose(0, 2, 1)
    theirs = [multivariate_normal.logpdf(x, cov=c) for x, c in zip(off, covariance, strict=True)]
    assert normal_log_density(off, covariance) == pytest.approx(theirs)


def test_one_regime_is_the_bayesian_regression_line():
    rng = np.random.default_rng(3)
    y = 450 + 0.5 * np.arange(14) + rng.normal(0, 1.4, 14)
    found = run_regimes(weeks_of(y), ONE_CLASS)
    t = np.arange(14.0)
    A = np.column_stack([np.ones(14), t])
    noise = np.diag(np.full(14, 2.0)) + WOBBLE_PCT**2 * np.minimum(t[:, None], t[None])
    prior = np.diag([FIRST_LEVEL_PCT**2, 0.3**2])
    precision = np.linalg.inv(prior) + A.T @ np.linalg.solve(noise, A)
    cov = np.linalg.inv(precision)
    mean = cov @ (np.linalg.solve(prior, [y[0], 0.4]) + A.T @ np.linalg.solve(noise, y))
    assert found.mean[1, PROGRESSING, 0] == pytest.approx(mean[1], abs=1e-8)
    assert found.cov[2, PROGRESSING, 0] == pytest.approx(cov[1, 1], abs=1e-8)
    assert found.weight[:, 0] == pytest.approx([0, 0, 1])
    # the density leaves out the constant log 2 pi
    exact = exact_log_density(y, 2.0, [], [[PROGRESSING]], ONE_CLASS)[0] + 7 * np.log(2 * np.pi)
    assert found.log_evidence[0] == pytest.approx(exact, abs=1e-6)


def exact_class_probabilities(y, var, pooled):
    """Sum over every history of at most three changes, each integrated exactly."""
    last = len(y) - SETTLED_WEEKS
    log_terms, final = [], []
    for n in range(4):
        for changes in combinations(range(1, last), n):
            possible, priors = [], []
            for classes in product(range(3), repeat=n + 1):
                prior = np.log(pooled.start[classes[0]])
                edges = [0, *changes, last]
                for k, c in enumerate(classes):
                    stayed = edges[k + 1] - edges[k] - 1
                    prior += stayed * np.log1p(-pooled.hazard[c])
                    if k < n:
                        move = pooled.hazard[c] * pooled.change[c, classes[k + 1]]
                        prior += np.log(move) if move > 0 else -np.inf
                if prior > -30:
                    possible.append(classes)
                    priors.append(prior)
            if possible:
                log_terms += [priors + exact_log_density(y, var, changes, possible, pooled)]
                final += [np.array(possible)[:, -1]]
    log_terms, final = np.concatenate(log_terms), np.concatenate(final)
    w = np.exp(log_terms - log_terms.max())
    return np.array([w[final == c].sum() for c in range(3)]) / w.sum()


@pytest.mark.parametrize(
    ("slopes", "turn"), [((0.9, 0.0), 6), ((0.0, -0.9), 5), ((0.6, 0.6), 4), ((0.0, 0.0), 4)]
)
def test_collapsing_histories_costs_next_to_nothing(slopes, turn):
    rng = np.random.default_rng(turn)
    t = np.arange(11.0)
    y = 450 + slopes[0] * np.minimum(t, turn) + slopes[1] * np.maximum(t - turn, 0)
    y = y + rng.normal(0, 0.8, t.size)
    exact = exact_class_probabilities(y, 0.64, PRIOR)
    found = run_regimes(weeks_of(y, var=0.64), PRIOR).weight[:, 0]
    assert found == pytest.approx(exact, abs=0.02)


def test_probabilities_sum_to_one_and_weeks_without_evidence_say_nothing():
    rng = np.random.default_rng(0)
    y = 450 + np.cumsum(rng.normal(0.2, 1, (20, 9)), axis=0)
    seen = rng.random((20, 9)) < 0.6
    seen[3] = True
    found = run_regimes(weeks_of(y, seen=seen), PRIOR)
    assert found.weight.sum(0) == pytest.approx(np.ones(9), abs=1e-12)
    assert (found.cov[[0, 2]] >= 0).all()
    loud = replace(weeks_of(y, seen=seen), y=np.where(seen, y, 9e3))
    assert run_regimes(loud, PRIOR).weight == pytest.approx(found.weight, abs=1e-12)


def test_chunks_threads_and_neighbours_change_nothing(monkeypatch):
    rng = np.random.default_rng(1)
    weeks = weeks_of(450 + np.cumsum(rng.normal(0.2, 1, (26, 70)), axis=0))
    whole = run_regimes(weeks, PRIOR, path=True)
    for chunk, threads in ((1, 1), (7, 2), (33, 1)):
        monkeypatch.setattr(regimes, "CHUNK", chunk)
        monkeypatch.setattr(regimes, "THREADS", threads)
        parts = run_regimes(weeks, PRIOR, path=True)
        assert np.array_equal(parts.weight, whole.weight)
        assert np.array_equal(parts.mean, whole.mean)
        assert np.array_equal(parts.since, whole.since)
        assert np.array_equal(parts.path.level, whole.path.level)
    order = rng.permutation(70)
    shuffled = run_regimes(weeks.take(order), PRIOR)
    assert np.array_equal(shuffled.weight, whole.weight[:, order])


def test_leading_weeks_without_evidence_change_nothing():
    rng = np.random.default_rng(2)
    y = 450 + 0.4 * np.arange(15) + rng.normal(0, 1, 15)
    short = run_regimes(weeks_of(y), PRIOR)
    long = run_regimes(weeks_of(np.r_[np.zeros(9), y], seen=(np.arange(24) >= 9)[:, None]), PRIOR)
    assert long.weight == pytest.approx(short.weight, abs=1e-12)
    assert np.array_equal(long.since, short.since + 9)


def test_what_is_expected_of_a_week_does_not_know_it():
    rng = np.random.default_rng(5)
    y = 450 + np.cumsum(rng.normal(0.2, 1, 20))
    later = y.copy()
    later[12:] += 50
    one = run_regimes(weeks_of(y), PRIOR, path=True).path
    other = run_regimes(weeks_of(later), PRIOR, path=True).path
    assert np.array_equal(one.mean[:, :13], other.mean[:, :13])
    assert not np.array_equal(one.level[12], other.level[12])


def test_the_turn_is_dated_and_a_steady_lift_has_none():
    rng = np.random.default_rng(6)
    t = np.arange(26.0)[:, None]
    turning = 450 + 0.8 * np.minimum(t, 14) + rng.normal(0, 1.0, (26, 200))
    found = run_regimes(weeks_of(turning, var=1.0), PRIOR)
    flat = found.weight.argmax(0) == FLAT
    assert flat.mean() > 0.9
    error = found.since[1, FLAT, flat] - 14
    assert np.median(np.abs(error)) <= 1.5
    assert abs(np.median(error)) <= 0.5
    steady = 450 + 0.5 * t + rng.normal(0, 1.0, (26, 200))
    found = run_regimes(weeks_of(steady, var=1.0), PRIOR)
    assert (found.since[1, PROGRESSING] == 0).mean() > 0.8


# Nile flow at Aswan 1871-1970 ships with statsmodels. Local level by maximum likelihood:
# variances 15098.5 and 1469.2, log-likelihood -632.5456 (published by the KFAS reference
# values; statsmodels with an exact diffuse start prints 15098.5235, 1469.1744, -632.5456251).
def test_without_slope_and_change_it_is_the_local_level_model(monkeypatch):
    from statsmodels.datasets import nile

    flow = nile.load().data["volume"].to_numpy(dtype=float)
    assert (flow.sum(), flow.size) == (91935, 100)
    monkeypatch.setattr(hypotheses, "WOBBLE_PCT", 1469.1744**0.5)
    monkeypatch.setattr(hypotheses, "FIRST_LEVEL_PCT", 1e6)
    level_only = Pooled(
        start=np.array([0.0, 1.0, 0.0]), hazard=np.zeros(3), change=np.eye(3),
        slope_mean=np.zeros(3), slope_sd=np.full(3, 1e-9),
    )  # fmt: skip
    found = run_regimes(weeks_of(flow, var=15098.5235), level_only, path=True)
    diffuse_start = -0.5 * np.log(1e12 + 15098.5235)
    likelihood = found.log_evidence[0] - diffuse_start - 99 / 2 * np.log(2 * np.pi)
    assert likelihood == pytest.approx(-632.5456, abs=2e-3)
    import statsmodels.api as sm

    model = sm.tsa.UnobservedComponents(flow, "local level")
    model.ssm.initialize_diffuse()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # about degrees of freedom, which are not used here
        filtered = model.smooth([15098.5235, 1469.1744]).filtered_state[0]
    assert found.path.level[1:, 0] == pytest.approx(filtered[1:], rel=1e-5)


def test_the_fall_of_the_nile_is_dated_1899(monkeypatch):
    # "Apparent changepoint near 1898" (Cobb 1978, Biometrika 65:243-251); the best single shift
    # of the mean begins in 1899 and takes the flow from 1098 to 850. Here a shift is a steep
    # fall between two flat regimes, so the last one begins when the fall is over.
    from statsmodels.datasets import nile

    flow = nile.load().data["volume"].to_numpy(dtype=float)
    monkeypatch.setattr(hypotheses, "WOBBLE_PCT", 1e-6)
    monkeypatch.setattr(hypotheses, "FIRST_LEVEL_PCT", 500.0)
    shifts = Pooled(
        start=np.array([0.0, 1.0, 0.0]), hazard=np.array([0.5, 0.01, 0.5]),
        change=np.array([[0, 1, 0], [0.5, 0, 0.5], [0, 1, 0]], float),
        slope_mean=np.array([-150.0, 0.0, 150.0]), slope_sd=np.array([100.0, 0.01, 100.0]),
    )  # fmt: skip
    found = run_regimes(weeks_of(flow, var=16136.0), shifts)
    assert found.weight[FLAT, 0] > 0.9
    assert found.mean[0, FLAT, 0] == pytest.approx(849.97, abs=15)
    assert 1898 <= 1871 + found.since[1, FLAT, 0] <= 1900


# Stagnant band height against flow rate, both log: Bacon & Watts 1971, Biometrika 58:525-534.
BAND = [
    (-1.39, 1.12), (-1.39, 1.12), (-1.08, 0.99), (-1.08, 1.03), (-0.94, 0.92), (-0.80, 0.90),
    (-0.63, 0.81), (-0.63, 0.83), (-0.25, 0.65), (-0.25, 0.67), (-0.12, 0.60), (-0.12, 0.59),
    (0.01, 0.51), (0.11, 0.44), (0.11, 0.43), (0.11, 0.43), (0.25, 0.33), (0.25, 0.30),
    (0.34, 0.25), (0.34, 0.24), (0.44, 0.13), (0.59, -0.01), (0.70, -0.13), (0.70, -0.14),
    (0.85, -0.30), (0.85, -0.33), (0.99, -0.46), (0.99, -0.43), (1.19, -0.65),
]  # fmt: skip


def test_the_turn_of_the_stagnant_band_is_the_published_one(monkeypatch):
    # A Bayesian reference analysis prints the change at 0.026 (SD 0.032), slopes -0.418 and
    # -1.014; least squares gives 0.0359 (95 % interval -0.032 to 0.081).
    monkeypatch.setattr(hypotheses, "WOBBLE_PCT", 1e-6)
    monkeypatch.setattr(regimes, "SETTLED_WEEKS", 0)
    step, unit = 0.02, 0.0215  # one "week" of flow; the published error as the unit of height
    at, height = np.array(BAND).T
    week = np.round((at - at[0]) / step).astype(int)
    y = np.full(week.max() + 1, 0.0)
    count = np.bincount(week)
    y[count > 0] = np.bincount(week, height)[count > 0] / count[count > 0] / unit
    weeks = replace(weeks_of(y, seen=(count > 0)[:, None]), precision=count[:, None].astype(float))
    slope = step / unit
    vague = Pooled(
        start=np.array([0.5, 0.0, 0.5]), hazard=np.full(3, 0.01),
        change=np.array([[0.5, 0.0, 0.5], [0.5, 0.0, 0.5], [0.5, 0.0, 0.5]]),
        slope_mean=np.array([-0.7, 0.0, -0.7]) * slope, slope_sd=np.full(3, 1.0 * slope),
    )  # fmt: skip
    found = run_regimes(weeks, vague)
    assert found.mean[1, DECLINING, 0] / slope == pytest.approx(-1.015, abs=0.03)
    turn = found.since[1, DECLINING, 0] * step + at[0]
    assert turn == pytest.approx(0.026, abs=0.05)
