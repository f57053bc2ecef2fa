"""Simulated sessions: what a lifter loads, lifts and writes down, day by day.

The loop runs over days only; all lifters and lifts of a day are drawn together.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from plateline.study.latent import Paths, capacity_share, reps_at_share
from plateline.study.lifters import HABITS, RIR_MODES, Group

__all__ = ["SetRows", "train"]

ATTENDANCE = 0.92
REST_DAYS = 2
"""Least number of days between two sessions of a lift."""
FATIGUE_DAYS = 6.0
FATIGUE_PER_SET = 0.0022
REPS_NOISE = 0.035
DELOAD_LOAD = 0.85
BACK_OFF_REPS = (15, 20)

# RIR: people stop with more in reserve than they think. Published: about one rep
# (Halperin et al. 2022, Sports Med 52:377-390, 0.95 [0.17, 1.73]), worse far from failure and above 12 reps;
# split here into a person's own bias near failure and these two slopes.
RIR_SHRINK = 0.15
RIR_LONG_SET = 0.06
RIR_NOISE = 0.55
RIR_NOISE_FAR = 0.12
RIR_NOISE_LONG = 0.07

WORKING, WARM_UP, TOP, BACK_OFF = 0, 1, 2, 3


@dataclass
class SetRows:
    """Columns of the sets drawn so far, as lists of arrays."""

    lift: list[np.ndarray] = field(default_factory=list)
    day: list[np.ndarray] = field(default_factory=list)
    order: list[np.ndarray] = field(default_factory=list)
    kind: list[np.ndarray] = field(default_factory=list)
    load: list[np.ndarray] = field(default_factory=list)
    reps: list[np.ndarray] = field(default_factory=list)
    rir: list[np.ndarray] = field(default_factory=list)
    tired: list[np.ndarray] = field(default_factory=list)
    """Log strength missing at the start of the set: fatigue of past sessions and sets."""
    cap: list[np.ndarray] = field(default_factory=list)
    """Reps at which the lifter would have stopped in any case."""
    target: list[np.ndarray] = field(default_factory=list)
    """RIR the lifter meant to leave."""

    def add(self, keep: np.ndarray, day: int, **columns: np.ndarray) -> None:
        """Append the rows where `keep` holds."""
        self.day.append(np.full(int(keep.sum()), day))
        for name, values in columns.items():
            getattr(self, name).append(np.broadcast_to(values, keep.shape)[keep])

    def arrays(self) -> dict[str, np.ndarray]:
        """Return each column as one array, in the order in which sets were done."""
        return {name: np.concatenate(parts) for name, parts in vars(self).items()}


def train(rng: np.random.Generator, group: Group, paths: Paths) -> dict[str, np.ndarray]:
    """Draw all sessions and sets; return columns lift, day, order, kind, load, reps, rir."""
    days = paths.trend.shape[1]
    attends = _training_days(rng, group, days) & ~paths.away
    state = _Lifter(rng, group, paths)
    rows = SetRows()
    for day in range(days):
        state.fatigue *= np.exp(-1 / FATIGUE_DAYS)
        state.switch_ranges(day)
        due = attends[group.lifter, day] & (day >= state.next_due - 0.5)
        lifts = np.flatnonzero(due)
        if len(lifts):
            state.session(lifts, day, rows)
    return rows.arrays()


def _training_days(rng: np.random.Generator, group: Group, days: int) -> np.ndarray:
    """Lifter x day: the weekdays a person trains, less the ones missed."""
    weekly = rng.integers(3, 6, group.n)
    rank = np.argsort(np.argsort(rng.random((group.n, 7)), axis=1), axis=1)
    template = rank < weekly[:, None]
    return template[:, np.arange(days) % 7] & (rng.random((group.n, days)) < ATTENDANCE)


class _Lifter:
    """What changes from session to session, for all lifts at once."""

    def __init__(self, rng: np.random.Generator, group: Group, paths: Paths) -> None:
        self.rng, self.group, self.paths = rng, group, paths
        count = group.lifts
        self.low, self.high = group.range_low.copy(), group.range_high.copy()
        self.fatigue = np.zeros(count)
        self.next_due = rng.uniform(0, group.days_between)
        self.hits = np.zeros(count, int)
        self.misses = np.zeros(count, int)
        self.load = np.zeros(count)
        self.believed = np.zeros(count)
        self.late_from = rng.integers(0, paths.trend.shape[1], group.n)
        self._first_loads(np.arange(count), day=0, error=0.04)
        ease = capacity_share(np.full(count, 19.0), group.curve_k, group.curve_p)
        hard = capacity_share(
            (self.low + self.high) / 2 + group.target_rir + 1, group.curve_k, group.curve_p
        )
        self.back_off_share = np.minimum(0.92, ease / hard * np.exp(rng.normal(0, 0.03, count)))

    def _first_loads(self, lifts: np.ndarray, day: int, error: float) -> None:
        """Guess a load for the rep range, roughly right, on the plates there are."""
        g, rng = self.group, self.rng
        middle = (self.low[lifts] + self.high[lifts]) / 2
        share = capacity_share(middle + g.target_rir[lifts] + 1, g.curve_k[lifts], g.curve_p[lifts])
        wish = np.exp(self.paths.strength[lifts, day] + rng.normal(0, error, len(lifts))) * share
        self.load[lifts] = self._on_plates(wish, lifts)
        self.believed[lifts] = np.log(self.load[lifts] * (1 + (middle + g.target_rir[lifts]) / 30))

    def _on_plates(self, load: np.ndarray, lifts: np.ndarray) -> np.ndarray:
        step = self.group.step_kg[lifts]
        return np.maximum(np.round(load / step), 1) * step

    def switch_ranges(self, day: int) -> None:
        """Move the lifts whose day it is to another rep range."""
        lifts = np.flatnonzero(self.paths.switch_day == day)
        if not len(lifts):
            return
        self.low[lifts] = self.group.later_low[lifts]
        self.high[lifts] = self.group.later_high[lifts]
        self._first_loads(lifts, day, error=0.05)
        self.hits[lifts] = self.misses[lifts] = 0

    def session(self, lifts: np.ndarray, day: int, rows: SetRows) -> None:
        """Do one session of the lifts and choose the next load."""
        g, rng, n = self.group, self.rng, len(lifts)
        who = g.lifter[lifts]
        light = self.paths.deload[who, day]
        strength = np.exp(
            self.paths.strength[lifts, day]
            + self.paths.readiness[who, day]
            + rng.normal(0, g.lift_day_sd[lifts])
            - self.fatigue[lifts]
        )
        top_load = np.where(
            light, self._on_plates(self.load[lifts] * DELOAD_LOAD, lifts), self.load[lifts]
        )
        back = g.back_off[lifts]
        labels = g.labels_kinds[who]
        before = self.fatigue[lifts].copy()
        self._warm_up(lifts, who, day, top_load, rows)
        planned = np.where(light, 2, g.sets[lifts])
        tired = np.zeros(n)
        first = np.zeros(n, int)
        best_believed = np.full(n, np.nan)
        reached_all = np.ones(n, bool)
        for s in range(int(planned.max())):
            is_back = back & (s > 0)
            load = np.where(
                is_back,
                self._on_plates(top_load * self.back_off_share[lifts], lifts),
                top_load,
            )
            low = np.where(is_back, BACK_OFF_REPS[0], self.low[lifts])
            high = np.where(is_back, BACK_OFF_REPS[1], self.high[lifts])
            cap, target = self._stops(lifts, who, low, high, light)
            reps, felt = self._set(lifts, who, load, strength * np.exp(-tired), cap, target)
            doing = (s < planned) & (reps >= 1)
            kind = np.where(labels & back, np.where(is_back, BACK_OFF, TOP), WORKING)
            rows.add(
                doing, day, lift=lifts, order=np.full(n, s + 2), kind=kind, load=load, reps=reps,
                rir=self._logged(who, felt, day), tired=tired + before, cap=cap, target=target,
            )  # fmt: skip
            closeness = np.exp(-felt / 3)
            tired = np.where(doing, tired + g.set_drop[lifts] * (0.3 + 0.7 * closeness), tired)
            if s == 0:
                first = reps
                best_believed = np.log(load * (1 + (np.maximum(reps, 1) + felt) / 30))
            reached_all &= ~doing | is_back | (reps >= high)
            self.fatigue[lifts] += np.where(doing, FATIGUE_PER_SET * np.where(light, 0.4, 1), 0)
        self._next_load(lifts, first, best_believed, reached_all, light)
        gap = g.days_between[lifts] * rng.uniform(0.85, 1.15, n)
        self.next_due[lifts] = np.maximum(
            np.maximum(self.next_due[lifts], day - 0.5 * gap) + gap, day + REST_DAYS
        )

    def _warm_up(self, lifts, who, day: int, top_load, rows: SetRows) -> None:
        keep = self.group.logs_warm_ups[who]
        rows.add(
            keep, day, lift=lifts, order=np.full(len(lifts), 1), kind=np.full(len(lifts), WARM_UP),
            load=self._on_plates(0.55 * top_load, lifts), reps=np.full(len(lifts), 8),
            rir=np.full(len(lifts), np.nan), tired=self.fatigue[lifts], cap=np.full(len(lifts), 8),
            target=np.full(len(lifts), 10.0),
        )  # fmt: skip

    def _stops(self, lifts, who, low, high, light):
        """Reps that end a set in any case, and the RIR aimed at.

        The top of the range ends a set, except for those who choose loads by feel; a light
        week asks for the bottom of the range and two reps more in reserve.
        """
        by_feel = self.group.habit[who] == HABITS.index("autoregulated")
        cap = np.where(light, low, np.where(by_feel, high + 2, high))
        return cap, self.group.target_rir[lifts] + 2.0 * light

    def _set(self, lifts, who, load, strength, cap, target):
        """Reps done and the RIR the lifter believes was left."""
        g, rng, n = self.group, self.rng, len(lifts)
        able = reps_at_share(load / strength, g.curve_k[lifts], g.curve_p[lifts])
        able = able * np.exp(rng.normal(0, REPS_NOISE, n))
        long_set = np.maximum(0, able - 12)
        error = rng.standard_normal(n) * (
            RIR_NOISE + RIR_NOISE_FAR * target + RIR_NOISE_LONG * long_set
        )
        offset = g.rir_bias[who] + RIR_LONG_SET * long_set + error
        stop = np.maximum(0, (target + offset) / (1 - RIR_SHRINK))
        reps = np.minimum(np.floor(able - stop), cap)
        reps = np.clip(reps, np.minimum(1, np.floor(able)), np.floor(able))
        felt = np.maximum(0, (able - reps) * (1 - RIR_SHRINK) - offset)
        return np.maximum(reps, 0).astype(int), np.round(felt)

    def _logged(self, who: np.ndarray, felt: np.ndarray, day: int) -> np.ndarray:
        """RIR as written down: a whole number, or nothing."""
        mode = np.array(RIR_MODES)[self.group.rir_mode[who]]
        writes = (
            (mode == "always")
            | ((mode == "sometimes") & (self.rng.random(len(who)) < 0.4))
            | ((mode == "hard sets") & (felt <= 2))
            | ((mode == "late") & (day >= self.late_from[who]))
        )
        return np.where(writes, felt, np.nan)

    def _next_load(self, lifts, first, believed_now, reached_all, light) -> None:
        """Choose the load for the next session, by habit.

        `double progression`: one step up when every set reached the top of the range, one
        down after two sessions below its bottom. `autoregulated`: from a running belief about
        one's own strength. `stubborn`: a step up every third session, and a cut of 8 % when it
        no longer goes. `keeps the load`: a step up after three full sessions, never down.
        """
        g, rng = self.group, self.rng
        normal = ~light
        habit = g.habit[g.lifter[lifts]]
        load, step = self.load[lifts], g.step_kg[lifts]
        self.hits[lifts] = np.where(reached_all & normal, self.hits[lifts] + 1, 0)
        short = (first < self.low[lifts]) & normal
        self.misses[lifts] = np.where(short, self.misses[lifts] + 1, 0)
        believed = 0.65 * self.believed[lifts] + 0.35 * believed_now
        self.believed[lifts] = np.where(normal, believed, self.believed[lifts])
        middle = (self.low[lifts] + self.high[lifts]) / 2
        by_feel = self._on_plates(
            np.exp(self.believed[lifts]) / (1 + (middle + g.target_rir[lifts]) / 30), lifts
        )
        up_double = self.hits[lifts] >= 1
        down_double = self.misses[lifts] >= 2
        up_stubborn = rng.random(len(lifts)) < 1 / 3
        fails = first < np.maximum(2, self.low[lifts] - 1)
        up_keeper = self.hits[lifts] >= 3
        new = np.select(
            [habit == 0, habit == 1, habit == 2, habit == 3],
            [
                load + step * up_double - step * (down_double & ~up_double),
                by_feel,
                np.where(fails, self._on_plates(0.92 * load, lifts), load + step * up_stubborn),
                load + step * up_keeper,
            ],
        )
        changed = new != load
        reset = changed & normal
        self.hits[lifts] = np.where(reset, 0, self.hits[lifts])
        self.misses[lifts] = np.where(reset, 0, self.misses[lifts])
        self.load[lifts] = np.where(normal, np.maximum(new, step), load)
