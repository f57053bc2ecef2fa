"""What a demo client's programme is made of: lifts, rounds, swaps, and the person."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field

from plateline.demo.lifter import Lift

__all__ = [
    "FIRST_DAY",
    "LAST_DAY",
    "Accessory",
    "Client",
    "Main",
    "Path",
    "Rounds",
    "Swap",
    "bent",
    "steady",
]

FIRST_DAY = dt.date(2025, 6, 30)
LAST_DAY = dt.date(2026, 4, 3)

Path = tuple[tuple[dt.date, float], ...]


def steady(pct_week: float) -> Path:
    """Return a path with one slope from the first day."""
    return ((FIRST_DAY, pct_week),)


def bent(pct_week: float, day: dt.date, then: float) -> Path:
    """Return a path that changes its slope on a day."""
    return ((FIRST_DAY, pct_week), (day, then))


@dataclass(frozen=True)
class Main:
    """A progression lift: warm-up, a heavy top set, a lighter back-off set."""

    exercise: str
    strength: float
    path: Path
    top: tuple[int, int] = (8, 10)
    back: tuple[int, int] = (15, 20)
    bend: float = 0.045
    step: float = 2.5
    feel: float = 3.9


@dataclass(frozen=True)
class Accessory:
    """An accessory lift, done for effort a rep shy of failure.

    Where body mass is moved, `strength` is what could be added to it for one repetition;
    `bare` lifts are always done with nothing added.
    """

    exercise: str
    strength: float
    step: float = 2.5
    body_share: float = 0.0
    bend: float = 0.045
    sided: bool = False
    feel: float = 3.8
    bare: bool = False
    path: Path = field(default_factory=lambda: steady(0.22))


@dataclass(frozen=True)
class Rounds:
    """Accessory lifts done in turn for a number of rounds: a superset."""

    lifts: tuple[Accessory, ...]
    reps: tuple[int, int] = (15, 20)
    rounds: int = 3


@dataclass(frozen=True)
class Swap:
    """A lift that now and then takes the place of a planned one (the rack was taken)."""

    exercise: str
    instead: Main
    share: float = 0.12


@dataclass(frozen=True)
class Client:
    """One person of the club: who they are, what they do, and what they write down."""

    id: str
    name: str
    sex: str
    birth_year: int
    unit: str
    phase: str
    goal: str
    training_age_years: float
    load_step_kg: float
    equipment: tuple[str, ...]
    weekdays: tuple[int, ...]
    sessions: dict[str, tuple[Main | Rounds, ...]]
    body_mass: float
    mass_path: Path
    writes_reserve: bool = True
    writes_feel: bool = True
    writes_rest: bool = False
    has_plan: bool = True
    checkin_every_days: int = 7
    writes_intake: bool = False
    writes_session_effort: bool = False
    misses: float = 0.05
    deloads: tuple[dt.date, ...] = ()
    away: tuple[dt.date, dt.date] | None = None
    switch: tuple[dt.date, tuple[int, int]] | None = None
    spellings: dict[str, str] = field(default_factory=dict)
    swaps: tuple[Swap, ...] = ()

    def lift(self, item: Main | Accessory) -> Lift:
        """Return the fresh lift of a programme item."""
        dips = ((self.away[1], 3.0, 21),) if self.away else ()
        if isinstance(item, Main):
            return Lift(item.exercise, item.strength, item.path, item.bend, item.step, dips=dips)
        return Lift(
            item.exercise, item.strength + item.body_share * self.body_mass, item.path,
            item.bend, item.step, item.body_share, item.bare, dips,
        )  # fmt: skip
