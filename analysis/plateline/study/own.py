"""Each lifter's own contrast between two zones, and the mean of these."""

from __future__ import annotations

from collections.abc import Iterator

import polars as pl

from plateline.study.design import adjustment_columns, zone_columns
from plateline.study.effects import (
    OWN_CONTRASTS,
    codes,
    counts,
    effect_row,
    with_company,
    zone_contrasts,
)
from plateline.study.pooling import combine, pool

__all__ = ["own_contrasts", "own_rows"]


def own_rows(blocks: pl.DataFrame) -> Iterator[dict]:
    """Mean of each lifter's own difference between zones, with room for people to differ."""
    for longer, shorter in zone_contrasts(blocks["zone"].unique()):
        own = own_contrasts(blocks, longer, shorter)
        if own.height < 3:
            continue
        both = combine(own["effect"].to_numpy(), own["se"].to_numpy())
        some = blocks.join(own.select("client"), on="client", how="semi").filter(
            pl.col("zone").is_in([longer, shorter])
        )
        yield effect_row(
            "rep zone", f"{longer} against {shorter}", (both.effect, both.low, both.high, both.p),
            counts(some), OWN_CONTRASTS,
        )  # fmt: skip


def own_contrasts(blocks: pl.DataFrame, longer: str, shorter: str) -> pl.DataFrame:
    """Return `client, effect, se`: each lifter's difference between two zones, adjusted.

    Only blocks that stayed in the zone they began in count, for a single lifter leaves no room
    for an instrument. What is adjusted for is estimated within lifters first; the scatter of true rates between
    the blocks of a lifter counts as error here.
    """
    kept = blocks.filter(pl.col("zone") == pl.col("start_zone"))
    some = with_company(kept, ["client"])
    if some.is_empty() or not (zones := zone_columns(some)).names:
        return pl.DataFrame(schema={"client": pl.String, "effect": pl.Float64, "se": pl.Float64})
    adjust = adjustment_columns(some, training_age=False)
    design = zones + adjust
    y, se = some["slope_pct_week"].to_numpy(), some["se_pct_week"].to_numpy()
    fit = pool(y, se, design.matrix, codes(some, ["client"]), codes(some, ["client"]))
    rest = y - adjust.matrix @ fit.effect[len(zones.names) :]
    weighed = some.select("client", "zone").with_columns(
        rest=pl.Series(rest), weight=pl.Series(1 / (se**2 + fit.tau**2))
    )
    means = weighed.group_by("client", "zone").agg(
        mean=(pl.col("weight") * pl.col("rest")).sum() / pl.col("weight").sum(),
        var=1 / pl.col("weight").sum(),
    )
    a, b = (means.filter(pl.col("zone") == zone).drop("zone") for zone in (longer, shorter))
    return (
        a.join(b, on="client", suffix="_b")
        .select(
            "client",
            effect=pl.col("mean") - pl.col("mean_b"),
            se=(pl.col("var") + pl.col("var_b")).sqrt(),
        )
        .sort("client")
    )
