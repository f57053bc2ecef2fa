"""The frames behind the reports of a month, made once for all clients of a logbook."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import polars as pl

from plateline import load, strength, trend
from plateline.errors import NoResultError
from plateline.report.accessories import accessory_rows
from plateline.report.facts import breaks, logged_in_month, rejected_by_client, reserve_logged
from plateline.report.lifts import lift_rows
from plateline.report.months import month_end

if TYPE_CHECKING:
    from plateline.exercises.logbook import Logbook

__all__ = ["compute_frames"]


def compute_frames(logbook: Logbook, month: dt.date) -> dict[str, pl.DataFrame]:
    """Return every frame of the reports of a month, by name, each with a `client` column.

    Parameters
    ----------
    logbook
        What `read_logbook` returned; it may go on after the month, which is not looked at.
    month
        First day of the month.

    Raises
    ------
    NoResultError
        When the log has no set up to the end of that month.
    """
    end = month_end(month)
    sets = logbook.sets.filter(pl.col("date") <= end)
    if sets.is_empty():
        raise NoResultError(f"The log has no set up to {end.day} {end:%B %Y}.")
    checkins = logbook.checkins.filter(pl.col("date") <= end)
    known = {"catalogue": logbook.catalogue, "checkins": checkins}
    beside = known | {"clients": logbook.clients, "plan": logbook.plan}
    status = trend.lift_status(sets, end, **beside)
    before = trend.lift_status(sets, month - dt.timedelta(days=1), **beside)
    curves = trend.lift_curves(sets, end, **beside)
    sessions = strength.lift_sessions(sets, **known)
    records = strength.lift_records(sets, **known)
    roles = _roles(sets, logbook.plan)
    lifts = lift_rows(status, before, roles, sessions, curves, records, month)
    return {
        "clients": _clients(logbook, sets, month),
        "lifts": lifts,
        "curves": curves,
        "accessories": accessory_rows(
            lifts, load.monthly_load(sets, **known), _supersets(sets), sets, month
        ),
        "records": records.filter(pl.col("date") >= month).sort(
            "client", "date", "exercise", descending=[False, True, False]
        ),
        "rejected": rejected_by_client(logbook.rejected, logbook.sets),
    }


def _clients(logbook: Logbook, sets: pl.DataFrame, month: dt.date) -> pl.DataFrame:
    """Return one row per client: who it is, and the facts of the month."""
    logged = sets.group_by("client").agg(
        pl.col("date").min().alias("first_date"),
        pl.col("date").max().alias("last_date"),
        pl.col("date").n_unique().cast(pl.Int32).alias("sessions_ever"),
    )
    rows = logged.join(logbook.clients.unique("client", keep="last"), on="client", how="left")
    for facts in (
        logged_in_month(sets, month),
        breaks(sets, month),
        reserve_logged(sets, month),
    ):
        rows = rows.join(facts, on="client", how="left")
    return rows.sort("client")


def _roles(sets: pl.DataFrame, plan: pl.DataFrame) -> pl.DataFrame:
    if hasattr(load, "roles"):
        return load.roles(sets, plan=plan)
    return plan.group_by("client", "exercise").agg(pl.col("role").first())


def _supersets(sets: pl.DataFrame) -> pl.DataFrame:
    if hasattr(load, "supersets"):
        return load.supersets(sets)
    from plateline.load.tables import SUPERSETS

    return pl.DataFrame(schema=SUPERSETS)
