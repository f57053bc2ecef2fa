"""How the sets of a week spread over rep zones, proximity to failure and share of e1RM."""

from __future__ import annotations

from typing import Any

import polars as pl

from plateline.load.bouts import Bouts, table_of
from plateline.load.counting import from_exact, is_one_sided, is_warm_up, over
from plateline.load.joint import joint_of
from plateline.load.keys import LIFT_WEEK
from plateline.load.periods import NO_BODY_MASS, NO_E1RM, with_reference
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
    return table_of(sets, rep_zones_of, catalogue=catalogue, zones=zones, efforts=())


def rep_zones_of(bouts: Bouts) -> pl.DataFrame:
    """Sum bouts to `rep_zones`."""
    return conform(
        _spread(bouts.lift_weeks, "z", [zone.name for zone in bouts.zones], "zone"), REP_ZONES
    )


def effort(
    sets: Any, *, catalogue: Any = None, bands: tuple[Band, ...] = EFFORT_BANDS
) -> pl.DataFrame:
    """Return how close to failure the sets (without warm-ups) of every lift and week ended.

    Bands are whole reps in reserve, and `not logged`: a set without RIR is shown as such, not
    guessed. Lifters under-predict their reps to failure by about one (0.95, 95 % CI 0.17 to
    1.73; Halperin et al. 2022, Sports Med 52(2):377-390), more in long sets.

    Parameters
    ----------
    sets
        SETS frame (Polars eager or lazy, pandas, Arrow).
    catalogue
        CATALOGUE frame; the one that ships where none is given.
    bands
        Bands of RIR, lowest first, and one for sets without.

    Returns
    -------
    polars.DataFrame
        One row per client, week, exercise and band that holds a set. Columns at the top of
        `plateline.load`.
    """
    return table_of(sets, effort_of, catalogue=catalogue, zones=(), efforts=bands)


def effort_of(bouts: Bouts) -> pl.DataFrame:
    """Sum bouts to `effort`."""
    return conform(
        _spread(bouts.lift_weeks, "e", [band.name for band in bouts.efforts], "effort"), EFFORT
    )


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

    Parameters
    ----------
    sets
        SETS frame (Polars eager or lazy, pandas, Arrow).
    catalogue
        CATALOGUE frame; the one that ships where none is given.
    checkins
        CHECKINS frame; without it the body mass that is moved is unknown.
    bands
        Bands of the share, lowest first, and one for sets whose share is not known.
    """
    return table_of(
        sets, intensity_of, catalogue=catalogue, checkins=checkins, zones=(), efforts=(),
        bands=bands,
    )  # fmt: skip


def intensity_of(bouts: Bouts) -> pl.DataFrame:
    """Sum the sets behind bouts to `intensity`; a share needs the load of every set."""
    day = joint_of(bouts.frame, ["client", "date", "exercise"]).number().alias("_day")
    week = joint_of(bouts.frame, LIFT_WEEK).number().alias("_week")
    lifts = with_reference(bouts.lift_weeks).with_row_index("_lift")
    about = (
        bouts.frame.lazy()
        .select(day, week, "body_ug", "hands")
        .unique("_day")
        .join(lifts.lazy().select(week, "_lift", "reference_e1rm_kg"), on="_week", how="left")
    )
    total = pl.col("hands") * pl.col("load_kg") + from_exact(pl.col("body_ug"))
    # Rounded beyond all meaning, so that 80 % is 80 % whatever its last bit.
    share = (total / pl.col("reference_e1rm_kg")).round(9)
    halves = pl.when(is_one_sided()).then(1).otherwise(2)
    sums = (
        bouts.rows.filter(~is_warm_up())
        .select(day, "load_kg", _halves=halves)
        .join(about, on="_day", how="left")
        .with_columns(_share=share)
        .group_by("_lift")
        .agg(
            no_mass=pl.col("body_ug").is_null().any(),
            **{
                f"i{place}": pl.when(band.holds(pl.col("_share"))).then("_halves").sum()
                for place, band in enumerate(bouts.bands)
            },
        )
        .sort("_lift")
        .collect(engine="streaming")
    )
    counts = pl.concat(
        [lifts.select(*LIFT_WEEK, "is_partial")[sums["_lift"]], sums], how="horizontal"
    )
    unknown = [place for place, band in enumerate(bouts.bands) if band.is_unknown]
    why = pl.when("no_mass").then(pl.lit(NO_BODY_MASS)).otherwise(pl.lit(NO_E1RM))
    table = _spread(counts, "i", [band.name for band in bouts.bands], "band", keep="no_mass")
    return conform(
        table.with_columns(reason=pl.when(pl.col("band_order").is_in(unknown)).then(why)),
        INTENSITY,
    )


def _spread(
    counts: pl.DataFrame, prefix: str, names: list[str], column: str, *, keep: str | None = None
) -> pl.DataFrame:
    """Turn the counted columns `<prefix>0, <prefix>1, ...` into one row per band.

    `counts` holds half sets, one row per lift and week, sorted; so are the rows that come of it.
    """
    bands = [f"{prefix}{place}" for place in range(len(names))]
    kept = [*LIFT_WEEK, "is_partial", *([keep] if keep else [])]
    order = pl.int_range(pl.len()) % len(names)
    return (
        counts.select(*kept, _all=pl.sum_horizontal(bands), sets=pl.concat_arr(bands))
        .explode("sets", empty_as_null=False)
        .with_columns(order.alias(f"{column}_order"))
        .filter(pl.col("sets") > 0)
        .with_columns(
            sets=pl.col("sets") * 0.5,
            share=over(pl.col("sets"), pl.col("_all")),
            **{column: pl.lit(pl.Series(names, dtype=pl.String)).gather(f"{column}_order")},
        )
    )
