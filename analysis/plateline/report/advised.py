"""What the page suggests: the levers of stuck lifts, and accessory lifts worth a swap."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import TYPE_CHECKING

import polars as pl

from plateline import advice, fatigue, load
from plateline.advice import Evidence, Lever
from plateline.words import LIFT, Role, State

if TYPE_CHECKING:
    from plateline.exercises import Logbook

__all__ = ["MOST_LEVERS", "advised_levers", "first_swap"]

MOST_LEVERS = 3
"""Levers named for one lift: more is no help to somebody who is to pull one of them."""


def advised_levers(
    logbook: Logbook,
    sets: pl.DataFrame,
    status: pl.DataFrame,
    lifts: pl.DataFrame,
    roles: pl.DataFrame,
    felt: Mapping[str, pl.DataFrame],
    end: dt.date,
) -> pl.DataFrame:
    """Return LEVERS of the stuck progression lifts, and swaps of accessory lifts felt little.

    Parameters
    ----------
    logbook
        For the catalogue, the clients and the plan.
    sets, status, roles
        SETS and LIFT_STATUS_DETAIL up to `end`, and the load room's roles.
    lifts
        The frame of lifts: the role a lift is judged by, and whether it was trained.
    felt
        The frames of load, fatigue and readiness: `balance`, `readiness`, `back_off`.
    end
        Last day of the month.
    """
    trained = lifts.filter(pl.col("sessions_month") > 0)
    stuck = trained.filter(
        pl.col("role") == Role.PROGRESSION,
        pl.col("state").is_in([State.PLATEAU, State.DECLINING]),
    )
    accessory = trained.filter(pl.col("role") == Role.ACCESSORY)
    everything = advice.levers(
        status,
        sets=sets,
        catalogue=logbook.catalogue,
        clients=logbook.clients,
        plan=logbook.plan,
        muscles=load.weekly_muscles(sets, catalogue=logbook.catalogue),
        roles=roles,
        performance=_some(felt["balance"]),
        readiness=_some(felt["readiness"]),
        drop_off=fatigue.drop_off(sets.join(stuck, on=LIFT, how="semi")),
        back_off=felt["back_off"],
        as_of=end,
    )
    of_stuck = everything.join(stuck, on=LIFT, how="semi").filter(
        (pl.col("rank") <= MOST_LEVERS) | (pl.col("lever") == Lever.LOG_BETTER)
    )
    swaps = everything.join(accessory, on=LIFT, how="semi").filter(
        pl.col("lever") == Lever.VARIANT, pl.col("evidence") == Evidence.FELT_LITTLE
    )
    return pl.concat([of_stuck, swaps]).sort("client", "exercise", "rank", "point")


def first_swap(levers: pl.DataFrame, lifts: pl.DataFrame) -> pl.DataFrame:
    """Return the accessory lift of each client that was felt least, and what could replace it.

    Returns
    -------
    pl.DataFrame
        `client, swap_from, swap_to, swap_felt, swap_to_felt`.
    """
    accessory = lifts.filter(pl.col("role") == Role.ACCESSORY).select(LIFT)
    return (
        levers.filter(pl.col("lever") == Lever.VARIANT)
        .join(accessory, on=LIFT, how="semi")
        .sort("client", "value", "exercise")
        .unique("client", keep="first", maintain_order=True)
        .select(
            "client",
            swap_from="exercise",
            swap_to="substitute",
            swap_felt="value",
            swap_to_felt="substitute_feel",
        )
    )


def _some(frame: pl.DataFrame) -> pl.DataFrame | None:
    return frame if len(frame) else None
