"""A simulated cohort in which the effect of the rep range on progress is known.

Built on the lifters of `simulate`: the same rep curves, readiness, RIR misjudgement, load
habits and logs; only the rates of progress are drawn otherwise:

    rate = 0.55 x (training age / 1.5 years)^-0.35 x e^(N(0, 0.25)) + N(0, 0.12)
           + effect(rep range of that day) + lift and time terms      (% a week)

Lifters choose rep ranges by training age (`confounding`): beginners train in long sets and
progress fast whatever they do, so a comparison that does not know about training age sees a
benefit of long sets that is not there. They may also choose by past progress (`by_progress`):
a lift changes its rep range after its worst six weeks, the worse they were the more surely to
longer sets. What was worst by chance is better afterwards, whatever is done: regression to the mean.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
import polars as pl

from plateline.study.latent import Paths, draw_paths, draw_switch_days
from plateline.study.lifters import REP_RANGES, Group, draw_group
from plateline.study.scenarios import SCENARIOS, Scenario
from plateline.study.sessions import train
from plateline.study.simulate import DEFAULT_AS_OF, Simulation
from plateline.words import CLIENTS

__all__ = ["SEPARATE_RANGES", "Cohort", "log_linear_effect", "simulate_cohort", "zone_effect"]

WORST_DAYS = 42

SEPARATE_RANGES = ((4, 6), (8, 12), (15, 20))

COHORT_SCENARIO = replace(
    SCENARIOS["base"], name="cohort", sentence="lifters whose rate depends on their rep range",
    switch_share=0.5, layoff_share=0.05,
)  # fmt: skip

Effect = Callable[[np.ndarray], np.ndarray]


@dataclass(frozen=True)
class Cohort:
    """A simulated cohort: the log, the clients file's frame, and the truth beneath."""

    sets: pl.DataFrame
    clients: pl.DataFrame
    simulated: Simulation
    effect: Effect

    def true_contrast(self, reps: float, against: float) -> float:
        """Return the true difference in rate, % a week, between two numbers of reps."""
        values = self.effect(np.array([reps, against], float))
        return float(values[0] - values[1])


def log_linear_effect(per_doubling: float) -> Effect:
    """Return an effect that adds `per_doubling` % a week each time the reps double."""
    return lambda reps: per_doubling * np.log2(np.asarray(reps, float) / 8.0)


def zone_effect(heavy: float, long: float) -> Effect:
    """Return an effect of heavy (to 5.5 reps) and of long sets (from 12.5) against the middle."""
    return lambda reps: np.select(
        [np.asarray(reps) <= 5.5, np.asarray(reps) >= 12.5], [heavy, long]
    )


def simulate_cohort(
    lifters: int = 300,
    *,
    effect: Effect | None = None,
    confounding: float = 1.0,
    by_progress: float = 0.0,
    switch_share: float = 0.5,
    weeks: int = 26,
    lifts_each: tuple[int, int] = (2, 4),
    effect_sd: float = 0.0,
    ranges: Sequence[tuple[int, int]] = REP_RANGES,
    scenario: Scenario = COHORT_SCENARIO,
    as_of: dt.date = DEFAULT_AS_OF,
    seed: int = 1,
) -> Cohort:
    """Simulate a cohort.

    Parameters
    ----------
    effect
        Maps reps (the middle of a rep range) to % a week; none at all where not given.
    confounding
        0: rep ranges have nothing to do with training age; 1: a lifter of 0.5 years trains on
        average one and a half places up the list of rep ranges from one of 5 years.
    by_progress
        0: a lift that changes its rep range does so on a random day and goes either way; above
        0: after its worst six weeks, and at 1 one whose worst weeks were a standard deviation
        worse than others' goes to longer sets five times in six.
    switch_share
        Share of lifts that change their rep range once, at a random day.
    effect_sd
        Spread between lifters of the effect of a doubling of reps.
    ranges
        The rep ranges there are, shortest sets first; `SEPARATE_RANGES` lie well inside one
        zone each.
    """
    rng = np.random.default_rng(seed)
    days = weeks * 7
    scenario = replace(scenario, switch_share=switch_share)
    group = draw_group(rng, lifters, lifts_each, scenario)
    _choose_ranges(rng, group, confounding, np.array(ranges))
    base = _base_rates(rng, group, days)
    regime = np.zeros(group.lifts, int)
    switch_day = draw_switch_days(rng, group, days)
    paths = draw_paths(rng, group, days, (regime, regime - 1, base), switch_day)
    if by_progress:
        switch_day = _after_the_worst(rng, group, paths.strength, by_progress, np.array(ranges))
    known = effect or log_linear_effect(0.0)
    middles = np.stack(
        [(group.range_low + group.range_high) / 2, (group.later_low + group.later_high) / 2]
    )
    own = rng.normal(0, effect_sd, group.n)[group.lifter] * np.log2(middles / 8.0)
    first, second = known(middles) + own
    later = np.arange(days) >= switch_day[:, None]
    paths = _with_effect(paths, np.where(later, second[:, None], first[:, None]), switch_day)
    rows = train(rng, group, paths)
    rows["mistyped"] = np.zeros(len(rows["load"]), bool)
    simulated = Simulation(scenario, group, paths, rows, as_of - dt.timedelta(days=days - 1), as_of)
    sets, _ = simulated.frames()
    return Cohort(sets, _clients(group), simulated, known)


def _choose_ranges(
    rng: np.random.Generator, group: Group, confounding: float, ranges: np.ndarray
) -> None:
    """Place the rep ranges anew, with the less trained in longer sets."""
    last = len(ranges) - 1
    width = last / 7.0
    lean = -np.log(group.training_age_years / 2.0) / np.log(10.0) * 1.5 * confounding
    wish = last / 2 + width * (lean[group.lifter] + rng.normal(0, 1.6, group.lifts))
    chosen = np.clip(np.round(wish), 0, last).astype(int)
    group.range_low, group.range_high = ranges[chosen].T
    far = rng.integers(2, 5, group.lifts) if last > 3 else rng.integers(1, 3, group.lifts)
    jump = far * rng.choice([-1, 1], group.lifts)
    other = chosen + jump
    other = np.where((other < 0) | (other > last), chosen - jump, other)
    group.later_low, group.later_high = ranges[np.clip(other, 0, last)].T


def _after_the_worst(
    rng: np.random.Generator, group: Group, strength: np.ndarray, surely: float, ranges: np.ndarray
) -> np.ndarray:
    """Return the day after each lift's worst six weeks, and choose the rep range it changes to.

    A lift that is at that end of the rep ranges already does not change.
    """
    days = strength.shape[1]
    first = max(int(days * 0.25), WORST_DAYS)
    gain = (
        strength[:, first : int(days * 0.8)]
        - strength[:, first - WORST_DAYS :][:, : int(days * 0.8) - first]
    )
    worst = gain.min(axis=1)
    badness = (worst.mean() - worst) / worst.std()
    way = np.where(surely * badness + rng.normal(0, 1, group.lifts) > 0, 1, -1)
    now = np.searchsorted(ranges[:, 0], group.range_low)
    there = np.clip(now + way * rng.integers(1, 3, group.lifts), 0, len(ranges) - 1)
    group.later_low, group.later_high = ranges[there].T
    group.switches = group.switches & (there != now)
    return np.where(group.switches, first + gain.argmin(axis=1), days + 1)


def _with_effect(paths: Paths, effect_pct_week: np.ndarray, switch_day: np.ndarray) -> Paths:
    """Return the paths with the rep range's effect on the rate, from each day on."""
    gained = np.cumsum(effect_pct_week, axis=1) / 700.0
    return replace(
        paths,
        trend=paths.trend + gained,
        strength=paths.strength + gained,
        rate_pct_week=paths.rate_pct_week + effect_pct_week,
        switch_day=switch_day,
    )


def _base_rates(rng: np.random.Generator, group: Group, days: int) -> np.ndarray:
    """Rates without the rep range: training age, person, lift, and slowing with time."""
    age = group.training_age_years
    person = 0.55 * (age / 1.5) ** -0.35 * np.exp(rng.normal(0, 0.25, group.n))
    lift = rng.normal(0, 0.12, group.lifts)
    age_weeks = np.maximum(52 * age, 12)[group.lifter][:, None]
    slowing = age_weeks / (age_weeks + np.arange(days) / 7)
    return (person[group.lifter] + lift)[:, None] * slowing


def _clients(group: Group) -> pl.DataFrame:
    return pl.DataFrame(
        {"client": group.client, "training_age_years": group.training_age_years}
    ).select(
        (
            pl.col(name) if name in ("client", "training_age_years") else pl.lit(None).alias(name)
        ).cast(dtype)
        for name, dtype in CLIENTS.items()
    )
