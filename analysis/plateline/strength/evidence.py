"""What each set says about strength, on the log scale, and how far it can be trusted.

A set of r repetitions to failure with a total load L says ``ln L + k d(r)``: the logarithm of
a one-repetition maximum on the population's rep curve of that kind of lift. `bend` is
``k d(r)`` itself, the regressor through which a person's own curve enters later.
"""

from __future__ import annotations

from typing import Any

import polars as pl

from plateline.strength.curves import STEEPNESS, curve_class, depth
from plateline.words import SetKind

__all__ = [
    "HARD_SET_RIR",
    "NOMINAL_MASS_KG",
    "RIR_STRETCH",
    "UNLOGGED_RIR",
    "set_evidence",
    "true_rir",
]

HARD_SET_RIR = 4.0
"""A hard set ends within this many repetitions in reserve (the kit's own definition)."""

RIR_STRETCH = 1.25
"""True reserve per repetition of reported reserve.

Lifters stop earlier than they think: pooled under-prediction 0.95 repetitions, 95 % CI 0.17
to 1.73 (Halperin et al. 2022, Sports Med 52(2):377-390), about 0.4 at one and 0.9 at three in
reserve in trained people (Refalo et al. 2024, read second-hand). A quarter of the reported
reserve is 0.25, 0.5 and 0.75 repetitions at 1, 2 and 3: inside both, zero at failure.
"""

UNLOGGED_RIR = 2.0
"""Reserve of a hard set whose lifter never logs any: common practice, no source.

It moves the level of such a lift, never its slope.
"""

NOMINAL_MASS_KG = 75.0
"""Stands in for an unknown body mass so that a trend in repetitions can still be seen."""

_RIR_ERROR_REPS = 0.6
"""Standard deviation of a logged reserve close to failure (Refalo et al. 2024: 0.65 +/- 0.78)."""

_RIR_ERROR_GROWTH = 0.3
"""Its growth per repetition in reserve (Hackett et al. 2017, J Strength Cond Res
31(8):2162-2168: about 1 at 0 to 5 from failure, more than 2 at 7 to 10)."""

_RIR_ERROR_HIGH_REPS = 0.12
"""Its growth per repetition above 12 (Halperin et al. 2022: errors rise steeply there)."""

_UNLOGGED_ERROR_REPS = 1.2
"""Standard deviation of the reserve of a set without one: common practice, no source."""

_BETWEEN_SETS_PCT = 1.5
"""What is left when repetitions and reserve are known, in % of the load."""


def true_rir(rir: Any) -> Any:
    """Return the reserve that is expected behind a reported one (see `RIR_STRETCH`)."""
    return rir * RIR_STRETCH


def set_evidence(
    sets: pl.DataFrame,
    *,
    catalogue: pl.DataFrame | None = None,
    checkins: pl.DataFrame | None = None,
) -> pl.DataFrame:
    """Return a row per set that says anything about strength.

    Warm-ups, drop sets and sets without load or repetitions say nothing; sets with more than
    `HARD_SET_RIR` in reserve say little (their variance grows with the reserve).

    Parameters
    ----------
    sets
        SETS.
    catalogue
        CATALOGUE; without it every lift is taken as a free-weight lift without body mass.
    checkins
        CHECKINS, for the body mass of the day (interpolated between check-ins).

    Returns
    -------
    polars.DataFrame
        The sets' own columns and `total_kg`, `mass_known`, `kind_of_curve`, `reps_to_failure`
        (with the reserve that is expected), `rir_used`, `rir_logged`, `bend`, `log_strength`,
        `error_sd` (log scale, one set), `set_index` (0 for the first working set of the lift
        that day), sorted by client, exercise, date and order.
    """
    usable = (
        (pl.col("set_kind").is_null() | ~pl.col("set_kind").is_in([SetKind.WARM_UP, SetKind.DROP]))
        & (pl.col("reps") >= 1)
        & pl.col("load_kg").is_not_null()
        & pl.col("date").is_not_null()
    )
    frame = _with_total_load(sets.filter(usable), catalogue, checkins).filter(
        pl.col("total_kg") > 0
    )
    lift, client = ["client", "exercise"], ["client"]
    logged = pl.when(pl.col("rir") <= HARD_SET_RIR).then(pl.col("rir"))
    frame = frame.with_columns(
        rir_logged=pl.col("rir").is_not_null(),
        rir_used=true_rir(
            pl.coalesce(
                pl.col("rir"),
                logged.median().over(lift),
                logged.median().over(client),
                pl.lit(UNLOGGED_RIR),
            )
        ),
    ).with_columns(reps_to_failure=pl.col("reps") + pl.col("rir_used"))
    steepness = pl.col("kind_of_curve").replace_strict(STEEPNESS, return_dtype=pl.Float64)
    error_reps = (
        pl.when("rir_logged").then(_RIR_ERROR_REPS).otherwise(_UNLOGGED_ERROR_REPS)
        + _RIR_ERROR_GROWTH * (pl.col("rir_used") - true_rir(2.0)).clip(lower_bound=0.0)
        + _RIR_ERROR_HIGH_REPS * (pl.col("reps_to_failure") - 12.0).clip(lower_bound=0.0)
    )
    rounding = 1 / 12**0.5  # repetitions are whole numbers
    return (
        frame.sort([*lift, "date", "set_order"], maintain_order=True, nulls_last=True)
        .with_columns(bend=steepness * depth(pl.col("reps_to_failure")))
        .with_columns(
            log_strength=pl.col("total_kg").log() + pl.col("bend"),
            error_sd=(
                (error_reps**2 + rounding**2)
                * (steepness / (30.0 + pl.col("reps_to_failure"))) ** 2
                + (_BETWEEN_SETS_PCT / 100) ** 2
            ).sqrt(),
            set_index=pl.int_range(pl.len(), dtype=pl.Int32).over([*lift, "date"]),
        )
    )


def _with_total_load(
    sets: pl.DataFrame, catalogue: pl.DataFrame | None, checkins: pl.DataFrame | None
) -> pl.DataFrame:
    """Add `total_kg` (external load and the share of body mass), `mass_known`, `kind_of_curve`."""
    about = _about_exercises(sets, catalogue)
    frame = sets.join(about, on="exercise", how="left", maintain_order="left").with_columns(
        pl.col("body_mass_share").fill_null(0.0)
    )
    mass = _mass_of_the_day(frame, checkins)
    return (
        frame.join(mass, on=["client", "date"], how="left", maintain_order="left")
        .with_columns(
            mass_known=pl.col("body_mass_kg").is_not_null() | (pl.col("body_mass_share") == 0),
            total_kg=pl.col("load_kg")
            + pl.col("body_mass_share") * pl.col("body_mass_kg").fill_null(NOMINAL_MASS_KG),
        )
        .drop("body_mass_share", "body_mass_kg")
    )


def _about_exercises(sets: pl.DataFrame, catalogue: pl.DataFrame | None) -> pl.DataFrame:
    """Return `exercise, body_mass_share, kind_of_curve` for the exercises of the sets."""
    names = sets.select(pl.col("exercise").unique().sort())
    if catalogue is None:
        return names.with_columns(
            body_mass_share=pl.lit(0.0), kind_of_curve=pl.lit("free", dtype=pl.String)
        )
    from plateline.exercises import annotate

    about = annotate(names["exercise"], catalogue)
    return about.select(
        "exercise", "body_mass_share", kind_of_curve=curve_class(pl.col("equipment"))
    ).unique("exercise", keep="first", maintain_order=True)


def _mass_of_the_day(frame: pl.DataFrame, checkins: pl.DataFrame | None) -> pl.DataFrame:
    """Return `client, date, body_mass_kg` for the days on which body mass is part of the load."""
    days = frame.filter(pl.col("body_mass_share") > 0).select("client", "date").unique()
    if checkins is None or checkins.is_empty() or days.is_empty():
        return days.with_columns(body_mass_kg=pl.lit(None, dtype=pl.Float64))
    known = (
        checkins.filter(pl.col("body_mass_kg").is_not_null())
        .group_by("client", "date")
        .agg(pl.col("body_mass_kg").mean())
    )
    both = days.join(known, on=["client", "date"], how="full", coalesce=True)
    return (
        both.sort("client", "date")
        .with_columns(
            pl.col("body_mass_kg")
            .interpolate_by("date")
            .forward_fill()
            .backward_fill()
            .over("client")
        )
        .join(days, on=["client", "date"], how="semi")
    )
