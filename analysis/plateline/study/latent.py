"""What goes on beneath a simulated log: true strength, readiness, light weeks and layoffs.

All paths are arrays (lift or lifter) x day.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from plateline.study.lifters import REGIME_SHARES, REGIMES, Group

__all__ = [
    "WOBBLE_HALF_LIFE_DAYS",
    "WOBBLE_SD",
    "Paths",
    "capacity_share",
    "draw_paths",
    "draw_rates",
    "draw_switch_days",
    "reps_at_share",
]

WOBBLE_HALF_LIFE_DAYS = 18.0
WOBBLE_SD = 0.006
READINESS_DF = 4.0
DETRAINING_PCT_WEEK = 1.2
"""Strength lost a week from the second week away on (common practice, no source)."""
REGAIN_DAYS = 10.0
LATEST_TURN = 0.86
"""No regime changes after this share of the log: nobody could see it."""
SECOND_TURN_AFTER, SECOND_TURN_BEFORE = 28, 105
"""Days between two changes of regime."""


@dataclass
class Paths:
    """Latent paths of a group. Strength is natural log of kg; rates are % a week."""

    trend: np.ndarray
    strength: np.ndarray
    rate_pct_week: np.ndarray
    lost: np.ndarray
    readiness: np.ndarray
    deload: np.ndarray
    away: np.ndarray
    regime: np.ndarray
    onset_day: np.ndarray
    switch_day: np.ndarray


def capacity_share(reps: np.ndarray, k: np.ndarray, p: np.ndarray) -> np.ndarray:
    """Load as a share of 1RM that can be lifted `reps` times: (1 + (reps - 1)/k)^-p."""
    return (1 + (np.maximum(reps, 1) - 1) / k) ** -p


def reps_at_share(share: np.ndarray, k: np.ndarray, p: np.ndarray) -> np.ndarray:
    """Return reps to failure at a share of 1RM (below 1 where the load is beyond the 1RM)."""
    return 1 + k * (share ** (-1 / p) - 1)


def draw_paths(
    rng: np.random.Generator,
    group: Group,
    days: int,
    rates: tuple[np.ndarray, np.ndarray, np.ndarray] | None = None,
    switch_day: np.ndarray | None = None,
) -> Paths:
    """Draw every latent path.

    Parameters
    ----------
    rates
        Regime, day of change and rate of progress, where they are not to be drawn by
        `draw_rates`.
    switch_day
        Day on which each lift changes its rep range (beyond the last day: never).
    """
    regime, onset, rate = draw_rates(rng, group, days) if rates is None else rates
    trend = np.log(group.one_rm)[:, None] + np.cumsum(rate, axis=1) / 700.0
    away, lost = _layoffs(rng, group, days)
    wobble = _ar1(rng, len(regime), days, 0.5 ** (1 / WOBBLE_HALF_LIFE_DAYS), WOBBLE_SD, df=None)
    if switch_day is None:
        switch_day = draw_switch_days(rng, group, days)
    return Paths(
        trend=trend,
        strength=trend + wobble - lost[group.lifter],
        rate_pct_week=rate,
        lost=lost,
        readiness=_ar1(
            rng, group.n, days, group.readiness_ar, group.readiness_sd, df=READINESS_DF
        ),
        deload=_deloads(rng, group, days),
        away=away,
        regime=regime,
        onset_day=onset,
        switch_day=switch_day,
    )  # fmt: skip


def draw_rates(
    rng: np.random.Generator, group: Group, days: int
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Draw regime, day of change (-1: none) and rate of progress by lift and day, % a week.

    A rate of progress falls off with the time trained (strength grows with the logarithm of
    time: Steele et al. 2023, Res Q Exerc Sport 94:913-930).
    """
    count = group.lifts
    regime = rng.choice(len(REGIMES), count, p=REGIME_SHARES)
    day = np.arange(days)
    age_weeks = 52 * group.training_age_years[group.lifter]
    # a lift is usually younger in the log than its lifter is in training
    lift_age = np.clip(age_weeks * rng.uniform(0.3, 1.0, count), 12, None)
    start = np.exp(rng.normal(np.log(0.75), 0.45, count)) * (lift_age / 80) ** -0.12
    progress = start[:, None] * (lift_age[:, None] / (lift_age[:, None] + day / 7))
    flat = rng.normal(0, 0.04, count)[:, None]
    loss = -np.exp(rng.normal(np.log(0.70), 0.40, count))[:, None]
    onset = rng.uniform(0.15, LATEST_TURN, count) * days
    width = rng.uniform(1.0, 8.0, count)  # days; 10 to 90 % of the change takes 4.4 widths
    after = 1 / (1 + np.exp(-(day - onset[:, None]) / width[:, None]))
    rises_first = rng.random(count)[:, None] < 0.65
    r = regime[:, None]
    before_rate = np.select(
        [r == 0, r == 1, r == 2, r == 3, r == 4],
        [progress, progress, flat, np.where(rises_first, progress, flat), flat],
    )
    after_rate = np.select(
        [r == 0, r == 1, r == 2, r == 3, r == 4], [progress, flat, flat, loss, progress]
    )
    onset_day = np.where(np.isin(regime, (0, 2)), -1, np.round(onset)).astype(int)
    rate = before_rate + (after_rate - before_rate) * after
    if group.second_turn_share > 0:
        again = (rng.random(count) < group.second_turn_share) & (onset_day >= 0)
        _turn_again(rng, again, regime, onset_day, rate)
    return regime, onset_day, rate


def _turn_again(
    rng: np.random.Generator, again: np.ndarray, regime: np.ndarray, onset_day: np.ndarray,
    rate: np.ndarray,
) -> None:  # fmt: skip
    """Let lifts change their rate a second time, from one day to the next, where time is left.

    A plateau is followed by progress or loss, loss by progress or none, progress by none or
    loss. Changes `onset_day` and `rate` in place.
    """
    count, days = rate.shape
    second = onset_day + rng.integers(SECOND_TURN_AFTER, SECOND_TURN_BEFORE, count)
    which = rng.random(count) < 0.6
    up = np.exp(rng.normal(np.log(0.55), 0.4, count))
    flat = rng.normal(0, 0.04, count)
    down = -np.exp(rng.normal(np.log(0.70), 0.40, count))
    third = np.select(
        [regime == REGIMES.index("plateau"), regime == REGIMES.index("decline")],
        [np.where(which, up, down), np.where(which, flat, up)],
        np.where(which, flat, down),
    )
    turning = again & (second < LATEST_TURN * days)
    after = turning[:, None] & (np.arange(days) >= second[:, None])
    rate[:] = np.where(after, third[:, None], rate)
    onset_day[:] = np.where(turning, second, onset_day)


def draw_switch_days(rng: np.random.Generator, group: Group, days: int) -> np.ndarray:
    """Draw the day on which each lift changes its rep range; beyond the last for the others."""
    day = rng.integers(int(days * 0.25), int(days * 0.8), group.lifts)
    return np.where(group.switches, day, days + 1)


def _ar1(rng, rows: int, days: int, phi, sd, df: float | None) -> np.ndarray:
    """Return stationary first-order autoregressions with standard deviation `sd`."""
    phi, sd = np.broadcast_to(phi, rows), np.broadcast_to(sd, rows)
    shocks = (
        rng.standard_normal((rows, days))
        if df is None
        else rng.standard_t(df, (rows, days)) / np.sqrt(df / (df - 2))
    )
    out = np.empty((rows, days))
    out[:, 0] = shocks[:, 0]
    scale = np.sqrt(1 - phi**2)
    for d in range(1, days):
        out[:, d] = phi * out[:, d - 1] + scale * shocks[:, d]
    return out * sd[:, None]


def _layoffs(rng: np.random.Generator, group: Group, days: int):
    """Days away (lifter x day), and the log strength lost by then and not yet regained."""
    length = rng.integers(14, 29, group.n)
    start = rng.integers(int(days * 0.2), int(days * 0.72), group.n)
    day = np.arange(days)
    away = group.layoff[:, None] & (day >= start[:, None]) & (day < (start + length)[:, None])
    lost = np.zeros((group.n, days))
    run = np.zeros(group.n)
    loss = np.zeros(group.n)
    pace = DETRAINING_PCT_WEEK / 700 * np.exp(rng.normal(0, 0.4, group.n))
    for d in range(days):
        run = np.where(away[:, d], run + 1, 0)
        loss = np.where(away[:, d], loss + pace * (run > 7), loss * np.exp(-1 / REGAIN_DAYS))
        lost[:, d] = loss
    return away, lost


def _deloads(rng: np.random.Generator, group: Group, days: int) -> np.ndarray:
    """Light weeks (lifter x day), every four to eight weeks for those who take them."""
    every = rng.integers(4, 9, group.n)
    shift = rng.integers(0, 8, group.n)
    week = np.arange(days) // 7
    light = (week + shift[:, None]) % every[:, None] == every[:, None] - 1
    return group.deloads[:, None] & light & (week > 0)
