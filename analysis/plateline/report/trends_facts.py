"""The frames behind an athlete's page."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

import polars as pl

from plateline import advice, fatigue, load, strength, trend
from plateline.fatigue.tables import READINESS
from plateline.report.facts import range_switches, stretches, units_logged
from plateline.report.noted_pain import pain_notes
from plateline.report.reading_facts import doubtful_names, rejected_by_client
from plateline.report.trends_standing import points_alone, with_standing
from plateline.words import LIFT, Role, State

if TYPE_CHECKING:
    from plateline.exercises import Logbook

__all__ = ["recent_weeks", "trend_frames", "usual_unit"]

MUSCLE_WEEKS = 26
"""Weeks of muscle volume that are shown: half a year, still a bar each on a phone."""

CURRENT_DAYS = 120
"""A lift not trained for longer (`is_old`) is listed after all others, whatever its state was."""

STUCK_DAYS = 35
"""A lift not trained for five weeks is not stuck but out of the plan."""

TARGET_REPS = (5, 8, 10, 12, 15, 20, 30)
"""Numbers of reps that people write plans with; each lift is shown those near its own."""

TARGET_RIR = 1.0

PAIN_DAYS = 28
"""Notes of so many days back are looked through for words of pain."""

_ATTENTION = {
    (State.DECLINING, True): 0,
    (State.PLATEAU, True): 1,
    (State.DECLINING, False): 2,
    (State.UNCLEAR, True): 3,
    (State.PLATEAU, False): 4,
    (State.UNCLEAR, False): 5,
    (State.PROGRESSING, True): 6,
    (State.PROGRESSING, False): 7,
}
"""Order of (state, is its load meant to climb): a lift that is worked for volume may stand."""


def trend_frames(logbook: Logbook, client: str) -> dict[str, pl.DataFrame]:
    """Return every frame of the page of one client, by name."""
    sets = logbook.sets.filter(client=client)
    checkins = logbook.checkins.filter(client=client)
    catalogue, clients = logbook.catalogue, logbook.clients.filter(client=client)
    plan = logbook.plan.filter(client=client)
    end: dt.date = sets["date"].max()  # type: ignore[assignment]
    fit = trend.fit_log(sets, end, catalogue=catalogue, checkins=checkins, plan=plan)
    ask: dict[str, Any] = {
        "catalogue": catalogue, "checkins": checkins, "plan": plan, "fit": fit,
    }  # fmt: skip
    curves = trend.lift_curves(sets, end, **ask)
    muscles = load.weekly_muscles(sets, catalogue=catalogue)
    roles = load.roles(sets, plan, catalogue=catalogue)
    judged = trend.lift_status(sets, end, clients=clients, **ask)
    status = with_standing(in_order(judged, roles, end), curves, end)
    wanted = prescriptions(status)
    ready = fatigue.readiness(sets, checkins, clients) if len(checkins) else _NOT_LOGGED
    suggested = advice.levers(
        judged,
        sets=sets,
        muscles=muscles,
        roles=roles,
        as_of=end,
        catalogue=catalogue,
        clients=clients,
        plan=plan,
        performance=fatigue.performance_ratio(sets, curves),
        readiness=ready if len(ready) else None,
    )
    return {
        "sets": sets,
        "status": status,
        "curves": points_alone(curves, status),
        "stretches": stretches(
            sets, ready, range_switches(judged.join(roles.select(*LIFT, "role"), on=LIFT), curves)
        ),
        "sessions": strength.lift_sessions(sets, catalogue=catalogue, checkins=checkins),
        "records": strength.lift_records(sets, catalogue=catalogue, checkins=checkins),
        "weekly": load.weekly_load(sets, catalogue=catalogue, checkins=checkins),
        "muscles": muscles,
        "targets": trend.targets(sets, wanted, as_of=end, **ask),
        "levers": suggested.join(stuck(status, roles, end), on="exercise", how="semi"),
        "pain": pain_notes(sets, checkins, end - dt.timedelta(days=PAIN_DAYS), end),
        "rejected": rejected_of(logbook, client),
        "names": doubtful_names(logbook.names.filter(client=client)),
    }


_NOT_LOGGED = pl.DataFrame(schema=READINESS)


def stuck(status: pl.DataFrame, roles: pl.DataFrame, end: dt.date) -> pl.DataFrame:
    """Return the progression lifts that stand still or fall and were trained lately."""
    climbs = roles.filter(pl.col("role") == Role.PROGRESSION)
    return status.filter(
        pl.col("state").is_in([State.PLATEAU, State.DECLINING]),
        pl.col("last_date") >= end - dt.timedelta(days=STUCK_DAYS),
    ).join(climbs, on="exercise", how="semi")


def in_order(status: pl.DataFrame, roles: pl.DataFrame, end: dt.date) -> pl.DataFrame:
    """Return lifts that are still trained first, those that ask for attention before others.

    Of lifts that ask as much for it, those with the most sessions come first.
    """
    climbs = roles.filter(pl.col("role") == Role.PROGRESSION)["exercise"].to_list()
    order = pl.DataFrame(
        [(str(state), climbing, place) for (state, climbing), place in _ATTENTION.items()],
        schema=["state", "climbs", "place"],
        orient="row",
    )
    return (
        status.with_columns(
            is_old=pl.col("last_date") < end - dt.timedelta(days=CURRENT_DAYS),
            climbs=pl.col("exercise").is_in(climbs),
        )
        .join(order, on=["state", "climbs"], how="left")
        .sort("is_old", "place", "sessions", "exercise", descending=[False, False, True, False])
        .drop("place", "climbs")
    )


def prescriptions(status: pl.DataFrame) -> pl.DataFrame:
    """Return the numbers of reps to give loads for, near those each lift is trained with.

    They lie between two thirds and three halves of the lift's usual reps to failure; where
    none does, the nearest is taken.
    """
    usual = pl.col("usual_reps").fill_null(10.0)
    every = status.select("client", "exercise", usual=usual).join(
        pl.DataFrame({"reps": TARGET_REPS}, schema={"reps": pl.Int32}), how="cross"
    )
    away = ((pl.col("reps") + TARGET_RIR) / pl.col("usual")).log().abs()
    nearest = away == away.min().over("client", "exercise")
    near = every.filter(nearest | (away <= pl.lit(1.5).log()))
    return near.select("client", "exercise", "reps", rir=pl.lit(TARGET_RIR))


def rejected_of(logbook: Logbook, client: str) -> pl.DataFrame:
    """Return the rejected rows that may be shown to this client.

    In a log of several clients a row is shown only to the client it belongs to.
    """
    if logbook.sets["client"].n_unique() == 1:
        return logbook.rejected
    return rejected_by_client(logbook.rejected, logbook.sets).filter(client=client)


def recent_weeks(muscles: pl.DataFrame) -> pl.DataFrame:
    """Return the last half year of weekly muscle rows."""
    if muscles.is_empty():
        return muscles
    last: dt.date = muscles["week"].max()  # type: ignore[assignment]
    return muscles.filter(pl.col("week") > last - dt.timedelta(weeks=MUSCLE_WEEKS))


def usual_unit(sets: pl.DataFrame, clients: pl.DataFrame) -> str:
    """Return the unit of the clients file, or else the one the loads were written in."""
    who = sets["client"][0]
    told = clients.filter(pl.col("client") == who)["unit"].drop_nulls()
    if len(told):
        return str(told[0])
    logged = units_logged(sets)["logged_unit"]
    return str(logged[0]) if len(logged) else "kg"
