"""The demo's lifter: what a body can do on a day, and what its owner then writes down.

This is a model of its own, written to make logs that look like logs; no part of it is
used by, or shares a formula with, the rooms that later read those logs.

A lift has a true one-repetition strength that moves along straight pieces on the log
scale. On a day it is multiplied by the day's form (shared by all lifts), the lift's own
form and the set's. How many repetitions a load allows follows a stretched exponential,

    load / strength = exp(-bend * (repetitions - 1) ** STRETCH)

and the lifter stops a little before that, at a whole number, and remembers the reserve
with an error. Loads climb by double progression: reps first, then the next step.
"""

from __future__ import annotations

import datetime as dt
import math
import random
from dataclasses import dataclass, field
from statistics import NormalDist

__all__ = [
    "DAY_FORM_SD",
    "LIFT_FORM_SD",
    "Chance",
    "Lift",
    "SetDone",
    "reps_possible",
    "share_of_strength",
]

STRETCH = 0.85
"""Bend of the repetition curve: 10 reps near 75 %, 20 near 58 % at the usual `bend`."""

DAY_FORM_SD = 0.011
LIFT_FORM_SD = 0.008
SET_FORM_SD = 0.006
"""Spread of form (log scale). Together about 1.5 %, in the middle of what test-retest
studies of trained people report for repetition tests (common practice, no source)."""

RESERVE_SD = 0.6
RESERVE_SLOPE = 0.8
"""Remembered reserve = true reserve x slope + noise: people think they are nearer to
failure than they are (Halperin et al. 2022, Sports Med 52:377-390)."""


class Chance:
    """Seeded chance that gives the same numbers on every machine and Python.

    Only `random.Random.random` is promised to be stable, so everything is made from it.
    """

    def __init__(self, *key: str | int) -> None:
        self._random = random.Random("/".join(map(str, key))).random
        self._normal = NormalDist().inv_cdf

    def uniform(self) -> float:
        """Return a number in [0, 1)."""
        return self._random()

    def normal(self, sd: float = 1.0) -> float:
        """Return a normal number with mean 0."""
        return sd * self._normal(min(max(self._random(), 1e-9), 1 - 1e-9))

    def happens(self, probability: float) -> bool:
        """Return whether something of this probability happens."""
        return self._random() < probability

    def pick(self, options: tuple[str, ...]) -> str:
        """Return one of the options."""
        return options[int(self._random() * len(options))]


def share_of_strength(reps: float, bend: float) -> float:
    """Return the load, as a share of one-repetition strength, that allows `reps` to failure."""
    return math.exp(-bend * max(reps - 1.0, 0.0) ** STRETCH)


def reps_possible(share: float, bend: float) -> float:
    """Return the reps to failure at `share` of one-repetition strength (0 above 1)."""
    if share >= 1.0:
        return max(0.0, 1.0 - (share - 1.0) * 30.0)
    return 1.0 + (-math.log(max(share, 1e-3)) / bend) ** (1.0 / STRETCH)


@dataclass(frozen=True)
class SetDone:
    """One set as it was done: load on the bar, whole reps, remembered reserve."""

    load: float
    reps: int
    rir: int


@dataclass
class Lift:
    """One exercise of one client: its true strength over time and the loads in use.

    Attributes
    ----------
    strength
        One-repetition strength on the first day, in the client's unit, with whatever
        part of body mass is moved.
    path
        (first day, % a week) pieces; before the first the strength does not move.
    dips
        (first day, % lost, days until it is back) of layoffs.
    bend
        Of the repetition curve; smaller allows more reps (legs and machines).
    step
        The steps in which its load can change, in the client's unit.
    body_share
        The part of body mass that is moved with the load.
    bare
        Whether nothing is ever added to body mass.
    """

    exercise: str
    strength: float
    path: tuple[tuple[dt.date, float], ...]
    bend: float = 0.045
    step: float = 2.5
    body_share: float = 0.0
    bare: bool = False
    dips: tuple[tuple[dt.date, float, int], ...] = ()
    working: dict[tuple[int, int], float] = field(default_factory=dict)
    short: dict[tuple[int, int], int] = field(default_factory=dict)

    def strength_on(self, day: dt.date) -> float:
        """Return the true one-repetition strength on a day."""
        log = 0.0
        ends = [start for start, _ in self.path[1:]] + [dt.date.max]
        for (start, pct_week), end in zip(self.path, ends, strict=True):
            log += max((min(day, end) - start).days, 0) / 7 * pct_week / 100
        for start, pct, days in self.dips:
            gone = (day - start).days
            if 0 <= gone < days:
                log -= pct / 100 * (1 - gone / days)
        return self.strength * math.exp(log)

    def first_load(self, day: dt.date, low: int, high: int, body_mass: float) -> float:
        """Return the load a sensible lifter starts a rep range with."""
        share = share_of_strength((low + high) / 2 + 1.5, self.bend)
        return self.rounded(self.strength_on(day) * share - self.body_share * body_mass)

    def rounded(self, load: float) -> float:
        """Return the load on the client's steps."""
        if self.bare:
            return 0.0
        steps = round(load / self.step)
        return (steps if self.body_share else max(steps, 1)) * self.step

    def do_set(
        self,
        day: dt.date,
        form: float,
        tired: float,
        reps: tuple[int, int],
        reserve: float,
        body_mass: float,
        chance: Chance,
        load: float | None = None,
    ) -> SetDone:
        """Do one set: stop at the top of the range, or `reserve` before failure."""
        if load is None:
            load = self.working.setdefault(reps, self.first_load(day, *reps, body_mass))
        able = self.strength_on(day) * math.exp(form + chance.normal(SET_FORM_SD) - tired)
        possible = reps_possible((load + self.body_share * body_mass) / able, self.bend)
        done = max(1, min(reps[1], math.floor(possible - reserve + chance.uniform() * 0.6)))
        left = max(0.0, possible - done)
        remembered = round(left * RESERVE_SLOPE + chance.normal(RESERVE_SD))
        return SetDone(load, done, min(max(remembered, 0), 5))

    def learn(self, reps: tuple[int, int], first: SetDone) -> None:
        """Move the working load after the first set of a session (double progression)."""
        if self.bare:
            return
        if first.reps >= reps[1] and first.rir >= 1:
            self.working[reps] = first.load + self.step
            self.short[reps] = 0
        elif first.reps < reps[0] - 1:
            self.short[reps] = self.short.get(reps, 0) + 1
            if self.short[reps] >= 2:
                self.working[reps] = first.load - self.step
                self.short[reps] = 0
