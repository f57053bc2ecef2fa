"""What each set says about strength, on the log scale, and how far it can be trusted.

A set of r repetitions to failure with a total load L says ``ln L + k d(r)``: the logarithm of
a one-repetition maximum on the population's rep curve of that kind of lift. `bend` is
``k d(r)`` itself, through which a person's own curve enters later.
"""

from __future__ import annotations

from typing import Any

import polars as pl

from plateline.strength.curves import BEND_REPS, STEEPNESS, depth
from plateline.strength.door import beside_frame, sets_frame
from plateline.strength.equations import LARGEST_REPS
from plateline.strength.hard import tiring
from plateline.strength.reserve import error_reps, expected_rir, with_learned_rir
from plateline.strength.total_load import with_total_load
from plateline.words import CHECKINS, SetKind

__all__ = ["evidence_of", "has_e1rm", "set_evidence"]

ROUNDING_ERROR = 12**-0.5
"""Whole repetitions: a uniform error of one repetition."""
BETWEEN_SETS_PCT = 1.5
"""What is left when repetitions and reserve are known, % of the load; about two thirds of
the 2.1 % by which a measured squat maximum varies between days (Banyard et al. 2017)."""


def set_evidence(
    sets: Any, *, catalogue: pl.DataFrame | None = None, checkins: Any = None
) -> pl.DataFrame:
    """Return a row per set that says anything about strength.

    Warm-ups, drop sets and sets without repetitions say nothing; sets with more than
    `HARD_SET_RIR` in reserve say next to nothing (their variance grows with the reserve).

    Parameters
    ----------
    sets
        SETS, as a Polars, pandas or Arrow frame, in any order.
    catalogue
        CATALOGUE, for the share of body mass that a lift moves and its kind of rep curve;
        left out, the one that ships.
    checkins
        CHECKINS, for the body mass of the day (interpolated between check-ins).

    Returns
    -------
    polars.DataFrame
        The sets' own columns and `total_kg` (load with the body mass that is moved,
        `moved_kg`; of both hands where a pair is held beside it), `hands`, `mass_known`, `kind_of_curve`, `reps_to_failure` (with the reserve that is expected),
        `rir_used`, `rir_logged`, `bend`, `log_strength`, `error_sd` (log scale, one set) and
        `sets_before` (what was done of the lift before on that day, in sets that tire as much as
        one of eight repetitions with two in reserve), sorted by client, exercise, date and order.

    Raises
    ------
    plateline.errors.MissingColumnError
        When a needed column is missing.
    """
    return evidence_of(sets_frame(sets), catalogue, beside_frame(checkins, CHECKINS, "check-ins"))


def evidence_of(
    clean: pl.DataFrame, catalogue: pl.DataFrame | None, checkins: pl.DataFrame
) -> pl.DataFrame:
    """Return what `set_evidence` does, of frames that have come through the door already.

    Parameters
    ----------
    clean
        From `plateline.strength.door.sets_frame`.
    catalogue, checkins
        As for `set_evidence`; check-ins with their full schema.
    """
    usable = (
        (pl.col("set_kind").is_null() | ~pl.col("set_kind").is_in([SetKind.WARM_UP, SetKind.DROP]))
        & (pl.col("reps") >= 1)
        & pl.col("load_kg").is_not_null()
        & pl.col("date").is_not_null()
    )
    frame = with_total_load(clean.filter(usable), catalogue, checkins)
    steepness = pl.col("kind_of_curve").replace_strict(STEEPNESS, return_dtype=pl.Float64)
    per_rep = steepness / (BEND_REPS + pl.col("reps_to_failure"))
    day = ["client", "exercise", "date"]
    frame = frame.with_columns(rir_logged=pl.col("rir").is_not_null(), rir_used=expected_rir())
    return (
        with_learned_rir(frame, steepness)
        .with_columns(reps_to_failure=pl.col("reps") + pl.col("rir_used"))
        .with_columns(bend=steepness * depth(pl.col("reps_to_failure")))
        .with_columns(
            log_strength=pl.col("total_kg").log() + pl.col("bend"),
            error_sd=(
                (error_reps() ** 2 + ROUNDING_ERROR**2) * per_rep**2 + (BETWEEN_SETS_PCT / 100) ** 2
            ).sqrt(),
            sets_before=(tiring().cum_sum() - tiring()).over(day),
        )
    )


def has_e1rm() -> pl.Expr:
    """Say which rows of evidence an equation for the one-repetition maximum holds for."""
    return (pl.col("reps_to_failure") <= LARGEST_REPS) & pl.col("mass_known")
