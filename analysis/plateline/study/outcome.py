"""The outcome: rate of progress of a block, % a week, on a scale of the cohort's own.

An estimated one-repetition maximum turns reps into kilograms by a published equation. If that
equation gives too much (or too little) for a rep in long sets, progress made in reps looks larger
(or smaller) there, and a comparison of rep ranges measures the equation. So the exchange rate is
learnt from the cohort's own sets, separately by rep zone and kind of lift: within blocks and
beside their time trends, how many reps are lost when the load goes up by one percent. Load is
chosen before the set and carries no error, so reps are regressed on load, not load on reps.
The slope of a block is then

    slope(log load) + exchange x slope(depth)       (depth: see `strength.curves`)
"""

from __future__ import annotations

import polars as pl

from plateline.strength.curves import STEEPNESS
from plateline.study.zones import ZONES

__all__ = ["BLOCKS", "exchange_rates", "with_rates"]

PRIOR_WEIGHT = 0.02
"""Weight of the population's curve, as a sum of squares of log load: about that of twenty blocks
of ten weeks with two load steps each. A small cohort leans on the published points."""

BLOCKS = ("slope_pct_week", "se_pct_week")

SCALES = ("own", "epley", "brzycki", "population")


def exchange_rates(moments: pl.DataFrame) -> pl.DataFrame:
    """Return `kind_of_curve, zone, exchange, blocks`: log load per unit of depth.

    Pooled regression of depth on log load within blocks, time trend removed, shrunk towards
    the population curve of that kind of lift.
    """
    pooled = (
        moments.group_by("kind_of_curve", "zone")
        .agg(load=pl.col("rest_load").sum(), both=pl.col("rest_load_depth").sum(), blocks=pl.len())
        .sort("kind_of_curve", pl.col("zone").replace_strict(ZONES, range(len(ZONES))))
    )
    prior = pl.col("kind_of_curve").replace_strict(STEEPNESS, return_dtype=pl.Float64)
    slope = (pl.col("both") - PRIOR_WEIGHT / prior) / (pl.col("load") + PRIOR_WEIGHT)
    # an exchange beyond a factor of two from the published points would be an artefact
    exchange = (-1 / slope).clip(0.5 * prior, 2 * prior)
    return pooled.select("kind_of_curve", "zone", "blocks", exchange=exchange)


def with_rates(moments: pl.DataFrame, scale: str = "own") -> pl.DataFrame:
    """Return the blocks with `slope_pct_week` and `se_pct_week`, and without the sums.

    Parameters
    ----------
    scale
        `own` (the cohort's exchange rates), `population` (published points), or `epley` or
        `brzycki` (for comparison).
    """
    population = pl.col("kind_of_curve").replace_strict(STEEPNESS, return_dtype=pl.Float64)
    if scale == "own":
        frame = moments.join(
            exchange_rates(moments).drop("blocks"),
            on=["kind_of_curve", "zone"], how="left", maintain_order="left",
        )  # fmt: skip
    else:
        frame = moments.with_columns(exchange=population)
    reps = (
        pl.col("exchange") * pl.col("slope_depth")
        if scale in ("own", "population")
        else pl.col(f"slope_{scale}")
    )
    rest = (
        pl.col("rest_load")
        + 2 * pl.col("exchange") * pl.col("rest_load_depth")
        + pl.col("exchange") ** 2 * pl.col("rest_depth")
    ).clip(lower_bound=1e-6)
    lag, own = (float(moments[name].to_numpy().sum()) for name in ("rest_lag", "rest_own"))
    serial = min(max(lag / max(own, 1e-9), 0.0), 0.6)
    inflation = ((1 + serial) / (1 - serial)) ** 0.5
    pooled = rest.sum() / (pl.col("sessions") - 2).sum()
    # a block's own noise leans on the cohort's: eight sessions' worth of it
    noise = (rest + 8 * pooled) / (pl.col("sessions") - 2 + 8)
    return frame.with_columns(
        slope_pct_week=100 * (pl.col("slope_load") + reps),
        se_pct_week=100 * noise.sqrt() / pl.col("spread_weeks") * inflation,
    ).drop("exchange")
