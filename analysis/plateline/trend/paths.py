"""What was expected of each week before it was seen, and known after it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from plateline.strength.arrays import Floats
from plateline.trend.hypotheses import LL, Hypotheses, matched

__all__ = ["Path", "Trail"]


@dataclass(frozen=True)
class Path:
    """What was expected of each week (axis -2) before it was seen, and known after it.

    Attributes
    ----------
    mean, cov
        Of level and slope before the week's evidence (axis 0: entry).
    level, level_var
        After it.
    """

    mean: Floats
    cov: Floats
    level: Floats
    level_var: Floats


class Trail:
    """Collects a path while the weeks go by."""

    def __init__(self, weeks: int, lifts: int) -> None:
        self.mean = np.zeros((2, weeks, lifts))
        self.cov = np.zeros((3, weeks, lifts))
        self.level = np.zeros((weeks, lifts))
        self.level_var = np.zeros((weeks, lifts))

    def before(self, week: int, hypotheses: Hypotheses, rows: int) -> None:
        """Keep what the first `rows` hypotheses expect of a week."""
        _, mean, cov = matched(
            hypotheses.weight[:rows, None], hypotheses.mean[:, :rows, None],
            hypotheses.cov[:, :rows, None],
        )  # fmt: skip
        self.mean[:, week], self.cov[:, week] = mean[:, 0], cov[:, 0]

    def after(self, week: int, hypotheses: Hypotheses, rows: int) -> None:
        """Keep what they know of the level when the week has been seen."""
        w, level = hypotheses.weight[:rows], hypotheses.mean[0, :rows]
        self.level[week] = (w * level).sum(0)
        spread = hypotheses.cov[LL, :rows] + (level - self.level[week]) ** 2
        self.level_var[week] = (w * spread).sum(0)

    def path(self, first: Floats, width: int) -> Path:
        """Return the path of the first `width` lifts, whose levels were counted from `first`."""
        self.mean[0] += first
        return Path(
            self.mean[..., :width], self.cov[..., :width],
            (self.level + first)[:, :width], self.level_var[:, :width],
        )  # fmt: skip
