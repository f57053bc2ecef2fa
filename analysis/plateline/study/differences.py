"""How much people differ in an effect, and what to expect of one more."""

from __future__ import annotations

import polars as pl

from plateline.study.design import compared_zones
from plateline.study.effects import zone_contrasts
from plateline.study.own import own_contrasts
from plateline.study.pooling import combine

__all__ = ["DIFFERENCES", "differences"]

DIFFERENCES = {
    "contrast": pl.String,
    "n_lifters": pl.Int64,
    "effect_pct_week": pl.Float64,
    "low": pl.Float64,
    "high": pl.Float64,
    "between_lifters_sd": pl.Float64,
    "i2": pl.Float64,
    "predict_low": pl.Float64,
    "predict_high": pl.Float64,
}
"""One row per pair of zones that at least three lifters trained in: the mean of their own
contrasts, the standard deviation of true contrasts between lifters, the share I2 of the scatter
that is not estimation error, and the 95 % prediction interval for a new lifter."""

FEWEST = 3


def differences(blocks: pl.DataFrame) -> pl.DataFrame:
    """Return DIFFERENCES."""
    rows = []
    for longer, shorter in zone_contrasts(compared_zones(blocks)):
        own = own_contrasts(blocks, longer, shorter)
        if own.height < FEWEST:
            continue
        both = combine(own["effect"].to_numpy(), own["se"].to_numpy())
        rows.append(
            (
                f"{longer} against {shorter}", own.height, both.effect, both.low, both.high,
                both.tau, both.i2, both.predict_low, both.predict_high,
            )
        )  # fmt: skip
    return pl.DataFrame(rows, schema=DIFFERENCES, orient="row")
