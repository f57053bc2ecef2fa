"""How well anyone could do: the state of a simulated lift from the simulator's own truths.

For each lift the ceiling knows what no estimator can: the rep curve, the lifter's RIR bias and
intended RIR, the size and memory of readiness and wobble, the fatigue of every set, the days of
light weeks and the strength lost in a layoff, which sets were mistyped, and the prior from which
rates of progress are drawn. It does not know the rate path, the level, the readiness of a day or
the error of a set. The posterior is taken over thousands of rate paths drawn from the simulator
itself, each weighed by the Gaussian likelihood of the sessions. A set that ended at the top of
its rep range without RIR is a lower bound and enters by moment matching (expectation
propagation, two sweeps). What keeps it from being exact: readiness is taken as Gaussian and
each lift is read alone, so the true ceiling is a little higher where days are shared.
"""

from __future__ import annotations

import datetime as dt
from functools import lru_cache

import numpy as np
import polars as pl

from plateline.study import sessions as act
from plateline.study.baselines import CALLS
from plateline.study.latent import WOBBLE_HALF_LIFE_DAYS, WOBBLE_SD, draw_rates
from plateline.study.lifters import LIFTS, draw_group
from plateline.study.scenarios import Scenario
from plateline.study.simulate import SLOPE_DAYS, STATE_PCT_WEEK, Simulation
from plateline.words import State

__all__ = ["CEILING", "ceiling"]

CEILING = CALLS | {"strength_kg": pl.Float64, "strength_sd_pct": pl.Float64}

OPEN_SD = 0.08
"""Log standard deviation given at first to a day of which only a lower bound is known."""


def ceiling(simulated: Simulation, day: int | None = None, paths: int = 6000) -> pl.DataFrame:
    """Return CEILING: what the best-informed reader of the log says of each lift.

    Parameters
    ----------
    day
        The last day read, counted from the start; the simulation's last where not given.
    paths
        Rate paths drawn from the prior.
    """
    last = simulated.paths.trend.shape[1] - 1 if day is None else day
    bank = _bank(simulated.scenario, simulated.paths.trend.shape[1], last, paths)
    rows = simulated.rows
    use = (rows["day"] <= last) & (rows["kind"] != act.WARM_UP) & ~rows["mistyped"]
    order = np.flatnonzero(use)[np.argsort(rows["lift"][use], kind="stable")]
    ends = np.searchsorted(rows["lift"][order], np.arange(simulated.group.lifts + 1))
    usual = simulated.usual_fatigue()
    out = []
    for lift in range(simulated.group.lifts):
        mine = order[ends[lift] : ends[lift + 1]]
        if len(mine):
            out.append(_read_lift(simulated, bank, lift, mine, last, float(usual[lift])))
    frame = pl.DataFrame(out, schema=CEILING, orient="row")
    return frame.sort("client", "exercise")


class _Bank:
    """Rate paths drawn from the simulator's prior, shared by all lifts."""

    def __init__(self, scenario: Scenario, days: int, last: int, paths: int) -> None:
        rng = np.random.default_rng(20_000 + days)
        group = draw_group(rng, paths, (1, 1), scenario)
        _, self.onset, rate = draw_rates(rng, group, days)
        self.trend = np.cumsum(rate, axis=1) / 700.0
        self.slope = rate[:, max(0, last - SLOPE_DAYS + 1) : last + 1].mean(axis=1)
        self.up = self.slope > STATE_PCT_WEEK
        self.down = self.slope < -STATE_PCT_WEEK


@lru_cache(maxsize=4)
def _bank(scenario: Scenario, days: int, last: int, paths: int) -> _Bank:
    return _Bank(scenario, days, last, paths)


def _read_lift(
    simulated: Simulation, bank: _Bank, lift: int, mine: np.ndarray, last: int, usual: float
):
    """Return one row of CEILING."""
    group, paths = simulated.group, simulated.paths
    who = group.lifter[lift]
    days, y, var, bound, bound_sd = _sessions(simulated, lift, mine)
    gap = np.abs(days[:, None] - days)
    phi = 0.5 ** (1 / WOBBLE_HALF_LIFE_DAYS)
    latent = (
        WOBBLE_SD**2 * phi**gap
        + group.readiness_sd[who] ** 2 * group.readiness_ar[who] ** gap
        + np.eye(len(days)) * group.lift_day_sd[lift] ** 2
    )
    lost = paths.lost[who]
    trend = bank.trend[:, days] - lost[days]
    known = np.isfinite(y)
    site_y, site_var = np.where(known, y, bound), np.where(known, var, OPEN_SD**2)
    has_bound = np.isfinite(bound)
    weight, level, fitted = _weigh(trend, site_y, latent + np.diag(site_var))
    for _ in range(2):
        if not has_bound.any():
            break
        site_y, site_var = _bounded(
            fitted, latent, site_y, site_var, np.where(known, y, 0),
            np.where(known, 1 / var, 0), bound, bound_sd, has_bound,
        )  # fmt: skip
        weight, level, fitted = _weigh(trend, site_y, latent + np.diag(site_var))
    total = latent + np.diag(site_var)
    ahead = WOBBLE_SD**2 * phi ** (last - days)
    pull = np.linalg.solve(total, ahead)
    ends = level + bank.trend[:, last] - lost[last] + (site_y - trend - level[:, None]) @ pull
    mean = float(weight @ ends)
    ones = np.linalg.solve(total, np.ones(len(days)))
    spread = weight @ (ends - mean) ** 2 + 1 / ones.sum() + WOBBLE_SD**2 - pull @ ahead
    p_up, p_down = float(weight @ bank.up), float(weight @ bank.down)
    p = {State.PROGRESSING: p_up, State.DECLINING: p_down, State.PLATEAU: 1 - p_up - p_down}
    state = max(p, key=lambda each: p[each])
    member = {State.PROGRESSING: bank.up, State.DECLINING: bank.down}.get(
        state, ~bank.up & ~bank.down
    )
    since = _median_onset(bank.onset, weight * member, simulated.first_day)
    return (
        group.client[who], LIFTS[group.kind[lift]][0], float(weight @ bank.slope), p_up, p_down,
        state.value, since, float(np.exp(mean - usual)), float(100 * np.sqrt(spread)),
    )  # fmt: skip


def _sessions(simulated: Simulation, lift: int, mine: np.ndarray):
    """Day by day: log strength as the sets measure it, its variance, and a lower bound."""
    group, rows = simulated.group, simulated.rows
    who = group.lifter[lift]
    k, p = group.curve_k[lift], group.curve_p[lift]
    reps, rir, target = (rows[name][mine].astype(float) for name in ("reps", "rir", "target"))
    logged = np.isfinite(rir)
    left = np.where(logged, rir, target)
    long_set = np.maximum(0, reps + left - 12)
    offset = group.rir_bias[who] + act.RIR_LONG_SET * long_set
    shrink = 1 - act.RIR_SHRINK
    able = reps + np.maximum(0, left + offset) / shrink + np.where(logged, 0.0, 0.5)
    noise = act.RIR_NOISE + act.RIR_NOISE_FAR * target + act.RIR_NOISE_LONG * long_set
    sd_reps = np.sqrt((noise**2 + 0.29**2) / shrink**2 + (act.REPS_NOISE * able) ** 2)
    at = 1 + (able - 1) / k
    value = np.log(rows["load"][mine]) + p * np.log(at) + rows["tired"][mine]
    sd = sd_reps * p / k / at
    is_bound = ~logged & (reps >= rows["cap"][mine])
    days, where = np.unique(rows["day"][mine], return_inverse=True)
    precision = np.bincount(where, np.where(is_bound, 0, sd**-2), len(days))
    total = np.bincount(where, np.where(is_bound, 0, value / sd**2), len(days))
    with np.errstate(divide="ignore", invalid="ignore"):
        y, var = total / precision, 1 / precision
    bound = np.full(len(days), -np.inf)
    np.maximum.at(bound, where, np.where(is_bound, value, -np.inf))
    bound_sd = np.full(len(days), 0.01)
    strictest = is_bound & (value == bound[where])
    bound_sd[where[strictest]] = sd[strictest]
    return days, y, var, bound, bound_sd


def _weigh(trend: np.ndarray, y: np.ndarray, cov: np.ndarray):
    """Weights of the paths, the level under each, and the fitted strength by session.

    The level has a flat prior and is integrated out.
    """
    inverse = np.linalg.inv(cov)
    ones = inverse.sum(axis=1)
    left = y - trend
    level = left @ ones / ones.sum()
    left = left - level[:, None]
    log_weight = -0.5 * np.einsum("ij,ij->i", left @ inverse, left)
    weight = np.exp(log_weight - log_weight.max())
    weight /= weight.sum()
    return weight, level, weight @ (trend + level[:, None])


def _bounded(fitted, latent, site_y, site_var, y, precision, bound, bound_sd, has_bound):
    """Replace each lower bound by the Gaussian that has the same effect, given the other days."""
    from scipy.special import log_ndtr

    inverse = np.linalg.inv(latent + np.diag(site_var))
    diagonal = np.diag(inverse)
    others_mean = site_y - inverse @ (site_y - fitted) / diagonal
    others_var = np.maximum(1 / diagonal - site_var, 1e-6)
    cavity_precision = 1 / others_var + precision
    mean = (others_mean / others_var + y * precision) / cavity_precision
    var = 1 / cavity_precision
    spread = np.sqrt(var + bound_sd**2)
    z = (mean - np.where(has_bound, bound, mean)) / spread
    ratio = np.exp(-0.5 * z**2 - 0.5 * np.log(2 * np.pi) - log_ndtr(z))
    new_mean = mean + var * ratio / spread
    new_var = np.maximum(var - var**2 * ratio * (z + ratio) / spread**2, 1e-7)
    site_precision = np.maximum(1 / new_var - 1 / others_var, 1e-3)
    new_y = (new_mean / new_var - others_mean / others_var) / site_precision
    return np.where(has_bound, new_y, site_y), np.where(has_bound, 1 / site_precision, site_var)


def _median_onset(onset: np.ndarray, weight: np.ndarray, first_day: dt.date) -> dt.date | None:
    """Weighted median day of change among the paths of the state called."""
    weight = np.where(onset >= 0, weight, 0)
    if weight.sum() < 1e-9:
        return None
    order = np.argsort(onset)
    place = np.searchsorted(np.cumsum(weight[order]), weight.sum() / 2)
    return first_day + dt.timedelta(days=int(onset[order][min(place, len(order) - 1)]))
