"""A person's own rep curve, learned from days and weeks with different loads.

A session says ``y = level - curve x + error``, where x is how much lighter the load was than
the lift's usual share of strength. A local line takes the level out of both, over windows wide enough to
see a switch of rep range from both sides; what is left is a regression through the origin,
added to what the sets within single days have taught (`plateline.trend.measure`).
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from plateline.strength.arrays import Flags, Floats, Whole
from plateline.trend.measure import Lifts
from plateline.trend.neighbours import RIDGE_WEEKS2, Windows

__all__ = ["learn_curves"]


KEPT = 0.85
"""Share of the information that the local lines leave (two of up to twenty-one sessions go
into the line; the ridge gives some back)."""


LARGEST = 0.5
"""Nobody's curve is taken for twice as steep as the population's."""


def learn_curves(
    lifts: Lifts, lift: Whole, near: Windows, day: Floats, y: Floats, x: Floats, var: Floats,
    usable: Flags,
) -> Lifts:  # fmt: skip
    """Return the lifts with what their sessions teach about their own curves.

    Parameters
    ----------
    lifts
        With what the sets within single days have taught.
    lift, day, y, x, var
        One entry a session.
    near
        Wide windows of sessions.
    usable
        Sessions that count.
    """
    left_y, left_x = _without_level(near, day, [y, x], np.where(usable, 1 / var, 0.0))
    weight = np.where(usable, 1 / var, 0.0)
    count = lifts.count
    squares = np.bincount(lift, weights=weight * left_x**2, minlength=count)
    products = np.bincount(lift, weights=-weight * left_x * left_y, minlength=count)
    before = 1 / lifts.curve_var
    precision = before + KEPT * squares
    mean = (lifts.curve_mean * before + KEPT * products) / precision
    return replace(lifts, curve_mean=np.clip(mean, -LARGEST, LARGEST), curve_var=1 / precision)


def _without_level(
    near: Windows, day: Floats, series: list[Floats], weight: Floats
) -> list[Floats]:
    """Return each series less its local weighted line."""
    index = near.index
    w = np.where(near.inside, weight[index], 0.0)
    t = (day[index] - day[:, None]) / 7
    s0, s1 = w.sum(1) + 1e-12, (w * t).sum(1)
    s2 = (w * t * t).sum(1) + RIDGE_WEEKS2 * s0
    det = s0 * s2 - s1 * s1
    left = []
    for values in series:
        inner = values[index]
        line = (s2 * (w * inner).sum(1) - s1 * (w * t * inner).sum(1)) / det
        left.append(values - line)
    return left
