"""The load for N repetitions with R in reserve, with an 80 % interval."""

from __future__ import annotations

import datetime as dt
from typing import Any

import numpy as np
import polars as pl

from plateline.errors import UsageError
from plateline.strength.curves import depth
from plateline.strength.door import need_columns, polars_frame, sets_frame
from plateline.trend.beside import Beside
from plateline.trend.fit import Fit
from plateline.trend.fitting import fit_lifts
from plateline.trend.normal import Z80
from plateline.trend.pooled import Common
from plateline.words import TARGETS_DETAIL, conform

__all__ = ["targets"]

WANTED = ("client", "exercise", "reps", "rir")


def targets(
    sets: Any,
    prescriptions: Any = None,
    *,
    reps: int | None = None,
    rir: float | None = None,
    as_of: dt.date | None = None,
    catalogue: pl.DataFrame | None = None,
    checkins: Any = None,
    plan: Any = None,
    common: Common | None = None,
    fit: Fit | None = None,
) -> pl.DataFrame:
    """Say what load each lift can take for so many repetitions with so many in reserve.

    Parameters
    ----------
    sets
        SETS, in any order.
    prescriptions
        A frame of `client, exercise, reps, rir`, answered row by row in its order; or
    reps, rir
        the same for every lift.
    as_of, catalogue, checkins, plan, common, fit
        As for `lift_status`.

    Returns
    -------
    polars.DataFrame
        TARGETS_DETAIL. `load_kg` is the external load, per hand for dumbbells, not rounded to plates:
        of a lift that moves body mass, what is to be added to `body_kg`, or taken off where it
        is negative. `load_low` to `load_high` holds the true load with 80 %. Null where the
        lift is not in the log, and where body mass is part of the load and not known.

    Raises
    ------
    plateline.errors.UsageError
        When neither prescriptions nor both of `reps` and `rir` are given.
    plateline.errors.MissingColumnError
        When the prescriptions lack a column.

    Notes
    -----
    The reserve is meant as it truly is, so `reps` plus `rir` can be done on an ordinary day,
    fresh. What a lifter reports is corrected for the usual misjudgement when strength is
    estimated (`plateline.strength.reserve`); the interval allows for a lifter who misjudges
    more or less than most. The load describes what the log supports; it is not advice.
    """
    clean = sets_frame(sets)
    fit = fit or fit_lifts(clean, as_of, Beside.of(catalogue, checkins, plan), common=common)
    wanted = _wanted(clean, prescriptions, reps, rir, as_of)
    if fit is None:
        empty = (
            pl.lit(None, dtype=pl.Float64).alias(n)
            for n in TARGETS_DETAIL
            if n not in wanted.columns
        )
        return conform(wanted.with_columns(*empty), TARGETS_DETAIL)
    known = ("client", "exercise", "mass_known", "moved_kg", "hands")
    lifts = fit.lifts.frame.select(known).with_row_index("lift")
    asked = wanted.join(lifts, on=["client", "exercise"], how="left", maintain_order="left")
    return conform(_loads(fit, asked), TARGETS_DETAIL)


def _wanted(
    sets: pl.DataFrame, prescriptions: Any, reps: int | None, rir: float | None,
    as_of: dt.date | None,
) -> pl.DataFrame:  # fmt: skip
    """Return what is asked for, a row per answer."""
    if prescriptions is not None:
        frame = polars_frame(prescriptions, "prescriptions")
        need_columns(frame.columns, WANTED, "prescriptions")
        return frame
    if reps is None or rir is None:
        raise UsageError("Targets need either prescriptions, or both reps and rir.")
    if as_of is not None:
        sets = sets.filter(pl.col("date") <= as_of)
    lifts = sets.select("client", "exercise").unique().sort("client", "exercise")
    return lifts.with_columns(reps=pl.lit(reps), rir=pl.lit(rir))


def _loads(fit: Fit, asked: pl.DataFrame) -> pl.DataFrame:
    """Add the loads to the rows that are asked for."""
    known = asked["lift"].is_not_null().to_numpy() & asked["reps"].is_not_null().to_numpy()
    lift = asked["lift"].fill_null(0).to_numpy().astype(np.int64)
    known &= fit.has_evidence[lift]
    to_failure = (
        asked["reps"].cast(pl.Float64).fill_null(1.0) + asked["rir"].cast(pl.Float64).fill_null(0.0)
    ).to_numpy()
    bend = 100 * fit.lifts.steepness[lift] * depth(to_failure)
    mean, sd = fit.take(lift).load_at(bend)
    moved = asked["moved_kg"].fill_null(0.0).to_numpy()
    hands = asked["hands"].fill_null(1).to_numpy()
    known &= asked["mass_known"].fill_null(value=False).to_numpy() | (moved == 0)
    names = {"load_kg": 0.0, "load_low": -Z80, "load_high": Z80}
    return asked.with_columns(
        *(
            pl.Series(
                name, np.where(known, (np.exp((mean + z * sd) / 100) - moved) / hands, np.nan)
            )
            for name, z in names.items()
        ),
        body_kg=pl.Series(np.where(known & (moved > 0), moved, np.nan)).fill_nan(None),
    ).with_columns(pl.col(*names).fill_nan(None))
