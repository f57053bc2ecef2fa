"""Everything that is known of the lifts of a log at a date, and what it says of loads."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace

import numpy as np

from plateline.strength.arrays import Flags, Floats, Whole
from plateline.trend.assumptions import (
    CURVE_SHAPE_SD,
    SYSTEMATIC_RIR_REPS,
    SYSTEMATIC_UNLOGGED_REPS,
)
from plateline.trend.measure import Days, Lifts
from plateline.trend.pooled import Common, Pooled
from plateline.trend.regimes import Posterior
from plateline.trend.weeks import Weeks, day_number
from plateline.trend.weighing import Weighed

__all__ = ["Fit"]

END_OF_WEEK = 0.5
"""The as-of day, in weeks from the middle of the last week."""


@dataclass(frozen=True)
class Fit:
    """Everything that is known of the lifts of a log at a date."""

    as_of: dt.date
    lifts: Lifts
    days: Days
    weighed: Weighed
    weeks: Weeks
    common: Common
    posterior: Posterior

    @property
    def as_of_day(self) -> int:
        """The day as a number, as days are numbered in the arrays."""
        return day_number(self.as_of)

    @property
    def pooled(self) -> Pooled:
        """How regimes change, and how fast strength moves in each."""
        return self.common.pooled

    @property
    def has_evidence(self) -> Flags:
        """Which lifts have at least one session that counts."""
        return np.asarray((self.weeks.precision > 0).any(axis=0))

    def take(self, lift: Whole) -> Fit:
        """Return a fit whose entries are these lifts, in this order (sessions stay as they are)."""
        known, found = self.lifts, self.posterior
        return replace(
            self,
            lifts=replace(
                known, frame=known.frame[lift], client=known.client[lift],
                usual_bend=known.usual_bend[lift], steepness=known.steepness[lift],
                curve_mean=known.curve_mean[lift], curve_var=known.curve_var[lift],
            ),
            posterior=replace(
                found, weight=found.weight[:, lift], mean=found.mean[..., lift],
                cov=found.cov[..., lift],
            ),
        )  # fmt: skip

    def systematic_sd(self) -> Floats:
        """Return the error of level (%) that a lifter's own way of judging reserve leaves."""
        logged = self.lifts.frame["rir_share"].to_numpy()
        reps = SYSTEMATIC_RIR_REPS * logged + SYSTEMATIC_UNLOGGED_REPS * (1 - logged)
        usual = self.lifts.frame["usual_reps"].to_numpy()
        return 100 * reps * self.lifts.steepness / (30 + usual)

    def log_load(self, bend: Floats, ahead_weeks: float = 0.0) -> tuple[Floats, Floats]:
        """Return mean and variance of 100 ln load at a bend (%), by class (axis 0) and lift.

        Parameters
        ----------
        bend
            Population log distance from a single repetition, one a lift; 0 asks for a
            one-repetition maximum.
        ahead_weeks
            How long the regime of the as-of day goes on before.
        """
        mean, cov = self.posterior.mean, self.posterior.cov
        time = END_OF_WEEK + ahead_weeks
        own = self.lifts.usual_bend - bend
        value = mean[0] + time * mean[1] + own * self.lifts.steeper - bend
        variance = (
            cov[0]
            + 2 * time * cov[1]
            + time**2 * cov[2]
            + own**2 * (self.lifts.curve_var + CURVE_SHAPE_SD**2)
        )
        return value, variance

    def load_at(self, bend: Floats) -> tuple[Floats, Floats]:
        """Return mean and standard deviation of 100 ln load at a bend, over all classes."""
        return self.over_classes(*self.log_load(bend))

    def over_classes(self, value: Floats, variance: Floats) -> tuple[Floats, Floats]:
        """Mix the classes; the systematic error is added to the standard deviation."""
        weight = self.posterior.weight
        mean = (weight * value).sum(0)
        total = (weight * (variance + (value - mean) ** 2)).sum(0)
        return mean, np.sqrt(total + self.systematic_sd() ** 2)
