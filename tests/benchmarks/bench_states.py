"""The states of 100,000 lifts, against a general-purpose local linear trend fitted to each.

Both get the same 26 weekly values a lift. The general-purpose model (statsmodels, maximum
likelihood) is fitted to a sample of the lifts, as all of them would take the better part of an
hour; the two are timed in turn within one run, so that a busy machine slows both. Required: at
least 500 times as many lifts a second.
"""

from __future__ import annotations

import statistics
import time
import warnings

import numpy as np

from plateline.trend.learning import learn_pooled
from plateline.trend.pooled import PRIOR
from plateline.trend.regimes import run_regimes
from plateline.trend.weeks import Weeks

from .measure import SMALL

WEEKS = 26
LIFTS = 2_000 if SMALL else 100_000
ROUNDS = 2 if SMALL else 5
FITTED_EACH_ROUND = 2 if SMALL else 8


def series(seed: int = 1) -> Weeks:
    """Draw weekly strength of lifts with and without a turn; one week in ten is missed."""
    rng = np.random.default_rng(seed)
    t = np.arange(WEEKS, dtype=float)[:, None]
    before, after = rng.choice([-0.5, 0.0, 0.6], (2, LIFTS))
    turn = rng.uniform(4, 40, LIFTS)
    y = 450 + before * np.minimum(t, turn) + after * np.maximum(t - turn, 0)
    y = y + rng.normal(0, 1.7, y.shape)
    seen = rng.random(y.shape) < 0.9
    return Weeks(
        y=np.where(seen, y, 0.0),
        precision=np.where(seen, 1 / 1.7**2, 0.0),
        shock=np.zeros(y.shape),
        start=seen.argmax(0),
    )


def fit_local_linear_trend(y: np.ndarray) -> float:
    """Return the seconds that one maximum-likelihood fit takes."""
    import statsmodels.api as sm

    started = time.perf_counter()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        sm.tsa.UnobservedComponents(y, "local linear trend").fit(disp=False)
    return time.perf_counter() - started


def test_states(benchmark):
    weeks = series()
    observed = np.where(weeks.precision > 0, weeks.y, np.nan)
    fit_local_linear_trend(observed[:, 0])  # imports and first-time costs

    def in_turn() -> dict[str, float]:
        each_state, each_fit = [], []
        for round_ in range(ROUNDS):
            started = time.perf_counter()
            run_regimes(weeks, PRIOR)
            each_state.append((time.perf_counter() - started) / LIFTS)
            low = round_ * FITTED_EACH_ROUND
            each_fit += [
                fit_local_linear_trend(observed[:, lift])
                for lift in range(low, low + FITTED_EACH_ROUND)
            ]
        started = time.perf_counter()
        learn_pooled(weeks)
        return {
            "states_a_second": 1 / statistics.median(each_state),
            "microseconds_a_state": 1e6 * statistics.median(each_state),
            "milliseconds_a_local_linear_trend": 1e3 * statistics.median(each_fit),
            "times_the_throughput": statistics.median(each_fit) / statistics.median(each_state),
            "seconds_to_learn_what_lifts_share": time.perf_counter() - started,
        }

    benchmark.extra_info.update(benchmark.pedantic(in_turn, rounds=1))


def test_whole_answer(benchmark):
    """From sets to the table of states: reading sets, weighing sessions, dates, contexts."""
    import polars as pl

    from plateline.study import simulate_lifters
    from plateline.trend import lift_status

    copies = 1 if SMALL else 12
    sets, truth = simulate_lifters(60 if SMALL else 300, seed=3)
    many = pl.concat([sets.with_columns(client=pl.col("client") + f"-{k}") for k in range(copies)])
    started = time.perf_counter()
    status = benchmark.pedantic(lift_status, (many, truth["as_of"][0]), rounds=1)
    seconds = time.perf_counter() - started
    benchmark.extra_info.update(
        sets=many.height, lifts=status.height, sets_a_second=many.height / seconds,
        lifts_a_second=status.height / seconds,
    )  # fmt: skip
