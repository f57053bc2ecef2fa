"""Simulated people and their lifts: who they are, before a single session is drawn."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from plateline.study.scenarios import Scenario

__all__ = [
    "HABITS",
    "LIFTS",
    "REGIMES",
    "REGIME_SHARES",
    "REP_RANGES",
    "RIR_MODES",
    "Group",
    "draw_group",
]

RIR_MODES = ("always", "sometimes", "hard sets", "late", "never")
HABITS = ("double progression", "autoregulated", "stubborn", "keeps the load")
"""How a lifter chooses the next load; see `sessions.next_load`."""
HABIT_SHARES = (0.45, 0.25, 0.15, 0.15)

REGIMES = ("progress", "plateau", "flat", "decline", "resumed")
"""`plateau`: progress that ends; `flat`: none throughout; `decline`: progress or none, then
loss; `resumed`: none, then progress."""
REGIME_SHARES = (0.32, 0.28, 0.08, 0.16, 0.16)

# name, median 1RM (kg), smallest step (kg), reps scale k of the rep curve
LIFTS = (
    ("Bench Press", 85.0, 2.5, 13.0),
    ("Back Squat", 115.0, 2.5, 15.0),
    ("Romanian Deadlift", 120.0, 2.5, 15.0),
    ("Barbell Row", 80.0, 2.5, 15.0),
    ("Overhead Press", 52.0, 2.5, 13.0),
    ("Incline Dumbbell Press", 32.0, 2.0, 13.0),
    ("Leg Press", 210.0, 5.0, 20.0),
    ("Leg Curl", 60.0, 2.5, 18.0),
    ("Lat Pulldown", 80.0, 2.5, 16.0),
    ("Cable Row", 75.0, 2.5, 16.0),
    ("Leg Extension", 75.0, 2.5, 18.0),
    ("Lateral Raise", 16.0, 1.0, 18.0),
)
"""Sizes are invented. The reps scale gives about 8.8 reps at 80 % and 14 at 70 % of 1RM for the
bench press, 13 and 20 for the leg press (Nuzzo et al. 2024, Sports Med 54:303-321)."""

REP_RANGES = ((3, 5), (4, 6), (5, 8), (6, 10), (8, 12), (10, 15), (12, 15), (15, 20))
REP_RANGE_SHARES = (0.05, 0.10, 0.18, 0.22, 0.24, 0.10, 0.05, 0.06)

# Spread between people of reps at a given share of 1RM: 2.5 reps of about 9 at 80 % (same source).
CURVE_PERSON_SD = 0.20
CURVE_LIFT_SD = 0.16


@dataclass
class Group:
    """Arrays over lifters (`n`) and over lifts (`lifter` points back to the person)."""

    n: int
    client: list[str]
    training_age_years: np.ndarray
    readiness_sd: np.ndarray
    readiness_ar: np.ndarray
    rir_bias: np.ndarray
    rir_mode: np.ndarray
    habit: np.ndarray
    deloads: np.ndarray
    layoff: np.ndarray
    logs_warm_ups: np.ndarray
    labels_kinds: np.ndarray
    lifter: np.ndarray
    kind: np.ndarray
    one_rm: np.ndarray
    step_kg: np.ndarray
    curve_k: np.ndarray
    curve_p: np.ndarray
    range_low: np.ndarray
    range_high: np.ndarray
    later_low: np.ndarray
    later_high: np.ndarray
    target_rir: np.ndarray
    sets: np.ndarray
    back_off: np.ndarray
    days_between: np.ndarray
    lift_day_sd: np.ndarray
    set_drop: np.ndarray
    switches: np.ndarray
    second_turn_share: float

    @property
    def lifts(self) -> int:
        """Number of lifts over all lifters."""
        return len(self.lifter)


def draw_group(
    rng: np.random.Generator, lifters: int, lifts_each: tuple[int, int], scenario: Scenario
) -> Group:
    """Draw lifters and their lifts; every array's meaning is its name, in the units it bears."""
    n = lifters
    each = rng.integers(lifts_each[0], lifts_each[1] + 1, n)
    lifter = np.repeat(np.arange(n), each)
    count = len(lifter)
    # different lifts within a person: rank of uniform draws
    order = np.argsort(rng.random((n, len(LIFTS))), axis=1)
    within = np.arange(count) - np.repeat(np.cumsum(each) - each, each)
    kind = order[lifter, within]
    medians, steps, scales = (np.array([lift[i] for lift in LIFTS], float) for i in (1, 2, 3))
    person_size = rng.normal(0, 0.25, n)
    person_curve = rng.normal(0, CURVE_PERSON_SD, n)
    chosen = rng.choice(len(REP_RANGES), count, p=REP_RANGE_SHARES)
    low, high = np.array(REP_RANGES)[chosen].T
    later_low, later_high = np.array(REP_RANGES)[_other_range(rng, chosen)].T
    shortest, longest = np.log(scenario.days_between)
    return Group(
        n=n,
        client=[f"L{i + 1:0{len(str(n))}d}" for i in range(n)],
        training_age_years=np.exp(rng.normal(np.log(2.0), 0.9, n)),
        readiness_sd=scenario.noise * 0.012 * np.exp(rng.normal(0, 0.3, n)),
        readiness_ar=rng.uniform(0.2, 0.7, n),
        rir_bias=rng.normal(0.5, 0.6, n),
        rir_mode=rng.choice(len(RIR_MODES), n, p=scenario.rir_modes),
        habit=rng.choice(len(HABITS), n, p=HABIT_SHARES),
        deloads=rng.random(n) < scenario.deload_share,
        layoff=rng.random(n) < scenario.layoff_share,
        logs_warm_ups=rng.random(n) < 0.2,
        labels_kinds=rng.random(n) < 0.6,
        lifter=lifter,
        kind=kind,
        one_rm=medians[kind] * np.exp(person_size[lifter] + rng.normal(0, 0.12, count)),
        step_kg=steps[kind],
        curve_k=scales[kind] * np.exp(person_curve[lifter] + rng.normal(0, CURVE_LIFT_SD, count)),
        curve_p=rng.uniform(0.42, 0.60, count),
        range_low=low,
        range_high=high,
        later_low=later_low,
        later_high=later_high,
        target_rir=rng.choice(4, count, p=(0.2, 0.35, 0.3, 0.15)).astype(float),
        sets=rng.integers(2, 5, count),
        back_off=(rng.random(count) < 0.3) & (high <= 12),
        days_between=np.exp(rng.uniform(shortest, longest, count)),
        lift_day_sd=scenario.noise * 0.009 * np.exp(rng.normal(0, 0.3, count)),
        set_drop=rng.gamma(4.0, 0.005, count),
        switches=rng.random(count) < scenario.switch_share,
        second_turn_share=scenario.second_turn_share,
    )  # fmt: skip


def _other_range(rng: np.random.Generator, now: np.ndarray) -> np.ndarray:
    """Return for each rep range another, two to four places away."""
    jump = rng.integers(2, 5, len(now)) * rng.choice([-1, 1], len(now))
    other = now + jump
    other = np.where((other < 0) | (other >= len(REP_RANGES)), now - jump, other)
    return np.clip(other, 0, len(REP_RANGES) - 1)
