"""More numbers about the progression lifts, for who wants them: relative, in balance, modelled."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import polars as pl

from plateline import fatigue
from plateline.fatigue.relative import TOTAL
from plateline.words import LIFT, Role, State

if TYPE_CHECKING:
    from plateline.exercises import Logbook

__all__ = ["closer_rows", "fitness_and_fatigue"]


def closer_rows(
    lifts: pl.DataFrame,
    relative: pl.DataFrame,
    balance: pl.DataFrame,
    back_off: pl.DataFrame,
    month: dt.date,
) -> pl.DataFrame:
    """Return what a progression lift shows beyond its trend, in the order of attention.

    Parameters
    ----------
    lifts
        The frame of lifts.
    relative
        `fatigue.relative_strength` of the month's sessions.
    balance
        From `condition.balance_rows`.
    back_off
        `fatigue.back_off_ratio` of the month.
    month
        First day of the month.

    Returns
    -------
    pl.DataFrame
        `client, exercise, e1rm_kg, date` (of that best e1RM), `body_mass_kg, per_body_mass,
        points, event` (what the points are of), `performance_ratio, back_off_ratio`; the sum
        of squat, bench press and deadlift is a row of its own where a client does all three.
    """
    known = relative.select(
        *LIFT, "e1rm_kg", "date", "body_mass_kg", "per_body_mass", "points", "event"
    )
    held = (
        back_off.filter(pl.col("date") >= month, pl.col("back_off_ratio") > 0)
        .group_by(LIFT)
        .agg(pl.col("back_off_ratio").log().mean().exp())
    )
    rows = (
        lifts.filter(pl.col("role") == Role.PROGRESSION, pl.col("sessions_month") > 0)
        .select(LIFT)
        .join(known, on=LIFT, how="left", maintain_order="left")
        .join(
            balance.select(*LIFT, "performance_ratio"),
            on=LIFT,
            how="left",
            maintain_order="left",
        )
        .join(held, on=LIFT, how="left", maintain_order="left")
    )
    totals = known.filter(pl.col("exercise") == TOTAL, pl.col("per_body_mass").is_not_null())
    # A total stands below the lifts of its client.
    return (
        pl.concat([rows, totals], how="diagonal_relaxed")
        .with_row_index("_place")
        .sort("client", "_place")
        .drop("_place")
    )


def fitness_and_fatigue(
    logbook: Logbook,
    sets: pl.DataFrame,
    curves: pl.DataFrame,
    lifts: pl.DataFrame,
    roles: pl.DataFrame,
) -> pl.DataFrame:
    """Fit the fitness-fatigue model to the stuck lift of each client that is most in need.

    One lift a client, since every fit costs as much as a page's table, and most logs cannot tell
    the model's constants apart; the verdict says whether this one can.

    Returns
    -------
    pl.DataFrame
        IMPULSE_RESPONSE of the fatigue room.
    """
    stuck = (
        lifts.filter(
            pl.col("role") == Role.PROGRESSION,
            pl.col("state").is_in([State.PLATEAU, State.DECLINING]),
            pl.col("sessions_month") > 0,
        )
        .unique("client", keep="first", maintain_order=True)
        .select(LIFT)
    )
    constants, _ = fatigue.impulse_response(
        sets.join(stuck, on="client", how="semi"),
        curves.join(stuck, on=LIFT, how="semi"),
        logbook.plan,
        catalogue=logbook.catalogue,
        roles=roles,
    )
    return constants
