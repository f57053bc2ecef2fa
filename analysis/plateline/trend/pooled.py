"""What lifts have in common: how often regimes change, and how fast strength moves in each."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from plateline.strength.arrays import Floats

__all__ = ["DECLINING", "FLAT", "PRIOR", "PROGRESSING", "Common", "Pooled"]


DECLINING, FLAT, PROGRESSING = 0, 1, 2
"""The classes of regimes, in the order of every class axis."""


@dataclass(frozen=True)
class Pooled:
    """What lifts have in common; class axes in the order declining, flat, progressing.

    Attributes
    ----------
    start
        Share of each class among regimes that are under way when a log begins.
    hazard
        Probability that a regime of a class ends, a week.
    change
        From a class (row) to a class (column), when it ends.
    slope_mean, slope_sd
        Of the slopes of a class, % a week.
    """

    start: Floats
    hazard: Floats
    change: Floats
    slope_mean: Floats
    slope_sd: Floats


@dataclass(frozen=True)
class Common:
    """Everything that lifts learn from each other; the rest of a fit is a lift's or client's own.

    Given to the functions of this room, it lets the clients of a log be worked on apart, in
    parts of any size, with the results of the whole log.

    Attributes
    ----------
    noise
        The log's noise variance, as a multiple of the ordinary one.
    day_covariance
        Of two lifts of a client on one day, squared %.
    pooled
        How regimes change, and how fast strength moves in each.
    first_day
        The log's first day, in days from 1 January 1970: how far back every lift is looked at.
    """

    noise: float
    day_covariance: float
    pooled: Pooled
    first_day: int


PRIOR = Pooled(
    start=np.array([0.12, 0.35, 0.53]),
    hazard=np.array([0.040, 0.031, 0.040]),
    change=np.array([[0.05, 0.60, 0.35], [0.30, 0.00, 0.70], [0.25, 0.65, 0.10]]),
    slope_mean=np.array([-0.45, 0.0, 0.55]),
    slope_sd=np.array([0.25, 0.03, 0.30]),
)
"""Where a log is silent. A regime lasts 25 (moving) or 32 weeks (flat) on average; progress of
0.55 % a week is 15 % in half a year, between the 20 % and 10 % that trained and advanced
people gain in studies of four weeks to two years (ACSM 2009, Med Sci Sports Exerc 41:687-708).
Of the hazard only the level is learned, not how it differs from class to class. A third more
or less moves the Brier score by 0.003."""
