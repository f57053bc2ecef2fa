"""How the sets of a week spread over rep zones, proximity to failure and share of e1RM."""

from __future__ import annotations

from typing import Any

import polars as pl

from plateline.load.bouts import LIFT_WEEK, Bouts, bouts_of
from plateline.load.counting import counted, from_exact, is_warm_up
from plateline.load.periods import NO_BODY_MASS, NO_E1RM, weekly_load_of
from plateline.load.tables import EFFORT, INTENSITY, REP_ZONES
from plateline.load.zones import EFFORT_BANDS, LOAD_BANDS, REP_RANGES, Band, RepZone
from plateline.words import conform

__all__ = ["effort", "effort_of", "intensity", "intensity_of", "rep_zones", "rep_zones_of"]


def rep_zones(
    sets: Any, *, catalogue: Any = None, zones: tuple[RepZone, ...] = REP_RANGES
) -> pl.DataFrame:
    """Return how many sets (without warm-ups) of every lift and week fall into each rep zone.

    Parameters
    ----------
    sets
        SETS frame (Polars eager or lazy, pandas, Arrow).
    zones
        Rep zones, lowest first; the default and its source: `plateline.load.REP_RANGES`. Sets
        in no zone (none by default) are left out.

    Returns
    -------
    polars.DataFrame
        One row per client, week, exercise and zone that holds a set; `share` is of the lift's
        sets in that week. Columns at the top of `plateline.load`.
    """
    return bouts_of(sets, catalogue=catalogue, zones=zones).table(rep_zones_of)


def rep_zones_of(bouts: Bouts) -> pl.DataFrame:
    """Sum bouts to `rep_zones`."""
    return conform(_spread(bouts, "z", [zone.name for zone in bouts.zones], "zone"), REP_ZONES)


def effort(
    sets: Any, *, catalogue: Any = None, bands: tuple[Band, ...] = EFFORT_BANDS
) -> pl.DataFrame:
    """Return how close to failure the sets (without warm-ups) of every lift and week ended.

    Bands are whole reps in reserve, and `not logged`: a set without RIR is shown as such, not
    guessed. Lifters under-predict their reps to failure by about one (0.95, 95 % CI 0.17 to
    1.73; Halperin et al. 2022, Sports Med 52(2):377-390), more in long sets.

    Returns
    -------
    polars.DataFrame
        One row per client, week, exercise and band that holds a set. Columns at the top of
        `plateline.load`.
    """
    return bouts_of(sets, catalogue=catalogue, efforts=bands).table(effort_of)


def effort_of(bouts: Bouts) -> pl.DataFrame:
    """Sum bouts to `effort`."""
    return conform(_spread(bouts, "e", [band.name for band in bouts.efforts], "effort"), EFFORT)


def intensity(
    sets: Any,
    *,
    catalogue: Any = None,
    checkins: Any = None,
    bands: tuple[Band, ...] = LOAD_BANDS,
) -> pl.DataFrame:
    """Return how the sets (without warm-ups) of every lift and week spread over load bands.

    A band is a share of the lift's reference e1RM of that week (`weekly_load`), load with the
    body mass that is moved. Sets whose share cannot be told stand in the band `not known`,
    with a reason.
    """
    return bouts_of(sets, catalogue=catalogue, checkins=checkins, bands=bands).table(intensity_of)


def intensity_of(bouts: Bouts) -> pl.DataFrame:
    """Sum the sets behind bouts to `intensity`; a share needs the load of every set."""
    day = ["client", "date", "exercise"]
    reference = weekly_load_of(bouts).select(
        pl.col("client").cast(bouts.frame.schema["client"]),
        "week",
        pl.col("exercise").cast(bouts.frame.schema["exercise"]),
        "reference_e1rm_kg",
    )
    body = bouts.frame.select(*day, "week", "body_ug", "hands").unique(day)
    loads = (
        bouts.rows.filter(~is_warm_up())
        .select(*day, "load_kg", sets=counted())
        .group_by(*day, "load_kg")
        .agg(pl.col("sets").sum())
        .collect(engine=bouts.engine)
    )
    total = pl.col("hands") * pl.col("load_kg") + from_exact(pl.col("body_ug"))
    # Rounded beyond all meaning, so that 80 % is 80 % whatever its last bit.
    share = (total / pl.col("reference_e1rm_kg")).round(9)
    order = pl.coalesce(
        pl.when(band.holds(pl.col("_share"))).then(place) for place, band in enumerate(bouts.bands)
    )
    names = {place: band.name for place, band in enumerate(bouts.bands)}
    table = (
        loads.join(body, on=day, how="left")
        .join(reference, on=LIFT_WEEK, how="left")
        .with_columns(_share=share)
        .with_columns(
            band_order=order.cast(pl.Int64),
            reason=pl.when(pl.col("_share").is_null()).then(
                pl.when(pl.col("body_ug").is_null())
                .then(pl.lit(NO_BODY_MASS))
                .otherwise(pl.lit(NO_E1RM))
            ),
        )
        .drop_nulls("band_order")
        .group_by(*LIFT_WEEK, "band_order")
        .agg(pl.col("sets").sum(), pl.col("reason").drop_nulls().first())
        .with_columns(
            band=pl.col("band_order").replace_strict(names, return_dtype=pl.String),
            share=pl.col("sets") / pl.col("sets").sum().over(LIFT_WEEK),
        )
        .join(bouts.weeks, on=["client", "week"], how="left")
        .sort(*LIFT_WEEK, "band_order")
    )
    return conform(table, INTENSITY)


def _spread(bouts: Bouts, prefix: str, names: list[str], column: str) -> pl.DataFrame:
    """Turn the counted columns `<prefix>0, <prefix>1, ...` into one row per band."""
    counts = [f"{prefix}{place}" for place in range(len(names))]
    places = dict(zip(counts, range(len(names)), strict=True))
    return (
        bouts.lift_weeks.select(*LIFT_WEEK, *counts)
        .unpivot(counts, index=LIFT_WEEK, variable_name="_band", value_name="sets")
        .filter(pl.col("sets") > 0)
        .with_columns(pl.col("sets") * 0.5)
        .with_columns(
            pl.col("_band").replace_strict(places, return_dtype=pl.Int64).alias(f"{column}_order"),
            pl.col("_band")
            .replace_strict(dict(zip(counts, names, strict=True)), return_dtype=pl.String)
            .alias(column),
            share=pl.col("sets") / pl.col("sets").sum().over(LIFT_WEEK),
        )
        .join(bouts.weeks, on=["client", "week"], how="left")
        .sort(*LIFT_WEEK, f"{column}_order")
    )
