"""How many lifters and weeks are needed to see a difference, by simulation.

Blocks are drawn as this cohort's are: lifters with their own mean, true rates that scatter
between blocks, and estimation error that falls with the length of the log to the power 3/2
(the error of a slope). Each simulated lifter has one block in either zone, so the figures are
for lifters who tell something; a cohort in which one in four trains in both zones needs four
times as many people.
"""

from __future__ import annotations

import numpy as np
import polars as pl

from plateline.study.effects import codes
from plateline.study.pooling import pool

__all__ = ["POWER", "power_table"]

POWER = {
    "lifters": pl.Int64,
    "weeks": pl.Int64,
    "difference_pct_week": pl.Float64,
    "power": pl.Float64,
}
"""One row per design: the share of simulated studies whose 95 % interval leaves out zero.
`weeks` is the length of each of a lifter's two blocks."""

LIFTERS = (10, 20, 40, 80, 160, 320, 640)
WEEKS = (8, 12, 26)
DIFFERENCE = 0.1
REPLICATES = 1000
SEED = 81


def power_table(
    blocks: pl.DataFrame, difference: float = DIFFERENCE, replicates: int = REPLICATES
) -> pl.DataFrame:
    """Return POWER for a difference in rate, % a week, with this cohort's scatter."""
    rng = np.random.default_rng(SEED)
    y, se = blocks["slope_pct_week"].to_numpy(), blocks["se_pct_week"].to_numpy()
    scatter = pool(y, se, np.ones((len(y), 1)), codes(blocks, ["client"])).tau
    # each block's error, had it lasted one week
    unit = se * np.maximum(blocks["weeks"].to_numpy(), 1.0) ** 1.5
    rows = []
    for lifters in LIFTERS:
        # the same draws for every length of block, so that longer ones differ by nothing else
        of_a_week = rng.choice(unit, (replicates, lifters, 2))
        chance = rng.standard_normal(of_a_week.shape)
        for weeks in WEEKS:
            var = (of_a_week / weeks**1.5) ** 2 + scatter**2
            noise = chance * np.sqrt(var)
            found = difference + noise[..., 0] - noise[..., 1]
            share = _share_seen(found, 1 / var.sum(axis=2))
            rows.append((lifters, weeks, difference, share))
    rows.sort(key=lambda row: (row[1], row[0]))
    return pl.DataFrame(rows, schema=POWER, orient="row")


def _share_seen(found: np.ndarray, weight: np.ndarray) -> float:
    """Share of studies (rows) whose weighted mean of lifters' contrasts differs from zero."""
    from scipy.stats import t as student

    n = found.shape[1]
    total = weight.sum(axis=1)
    mean = (weight * found).sum(axis=1) / total
    scores = weight**2 * (found - mean[:, None]) ** 2
    error = np.sqrt(scores.sum(axis=1) * n / (n - 1)) / total
    return float((np.abs(mean) / error > student.ppf(0.975, n - 1)).mean())
