"""The frames behind the reports of a month, made once for all clients of a logbook."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

import polars as pl

from plateline import fatigue, load, strength, trend
from plateline.errors import NoResultError
from plateline.exercises import annotate
from plateline.report import condition, facts, reading_facts, work
from plateline.report.accessories import accessory_rows
from plateline.report.advised import advised_levers, first_swap
from plateline.report.closer import closer_rows, fitness_and_fatigue
from plateline.report.decisions import client_decisions
from plateline.report.kinds import with_kinds
from plateline.report.lifts import leading_lifts, lift_rows, records_that_beat
from plateline.report.months import month_end
from plateline.report.noted_pain import pain_facts, pain_notes
from plateline.report.prescriptions import (
    lever_prescriptions,
    next_prescriptions,
    target_rows,
)
from plateline.report.shared import Shared
from plateline.report.steps import lift_steps, rounded_levers, rounded_loads

if TYPE_CHECKING:
    from plateline.exercises import Logbook

__all__ = ["compute_frames"]

BACK_DAYS = 100
"""How far back tables look that only show this month and the one before: a quarter and a week,
so that a client's own rep curve has sessions to learn from."""


def compute_frames(logbook: Logbook, month: dt.date, shared: Shared) -> dict[str, pl.DataFrame]:
    """Return every frame of the reports of a month, by name, each with a `client` column.

    Parameters
    ----------
    logbook
        What `read_logbook` returned; what comes after the month is not looked at, except for
        the days that end the month's last week.
    month
        First day of the month.
    shared
        What `learn_shared` learned of the logbook that this one is, or is a part of.

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
    known: dict[str, Any] = {"catalogue": logbook.catalogue, "checkins": checkins}
    beside: dict[str, Any] = known | {"clients": logbook.clients, "plan": logbook.plan}

    fit = trend.fit_log(sets, end, plan=logbook.plan, common=shared.now, **known)
    status = trend.lift_status(sets, end, common=shared.now, fit=fit, **beside)
    before = trend.lift_status(sets, month - dt.timedelta(days=1), common=shared.before, **beside)
    curves = trend.lift_curves(sets, end, common=shared.now, fit=fit, **beside)
    sessions = strength.lift_sessions(sets, **known)
    records = records_that_beat(strength.lift_records(sets, **known), sets)
    inside = sets.filter(pl.col("date") >= month)
    recent = sets.filter(pl.col("date") >= month - dt.timedelta(days=BACK_DAYS))
    roles = load.roles(sets, logbook.plan, catalogue=logbook.catalogue)
    leading = leading_lifts(sets, roles, month)
    evidence = strength.set_evidence(inside, **known)
    lifts = lift_rows(status, before, roles, sessions, curves, records, leading, evidence, month)

    inside = with_kinds(inside)
    wanted = next_prescriptions(logbook.plan, lifts, inside, month)
    ask: dict[str, Any] = {"plan": logbook.plan, "common": shared.now, "fit": fit, **known}
    targets = trend.targets(sets, wanted, as_of=end, **ask)
    steps = lift_steps(
        sets, _who(logbook, sets), annotate(sets["exercise"].unique(), logbook.catalogue)
    )
    rejected = _mine(shared.rejected, logbook.sets)
    pain = pain_notes(sets, checkins, month, end)
    said = shared.assumptions if shared.assumptions is not None else shared.of(logbook).assumptions
    done = _work(logbook, lifts, month, shared.last_day)
    felt = _condition(logbook, sets, checkins, curves, sessions, lifts, month)
    balance = condition.balance_rows(felt["balance"], lifts, month)
    levers = advised_levers(logbook, sets, status, lifts, roles, felt, end)
    tried = lever_prescriptions(levers, wanted)
    asked = tried.select("client", exercise="tried", reps="reps", rir="rir").unique(
        maintain_order=True
    )
    loads = trend.targets(sets, asked, as_of=end, **ask)
    clients = _clients(logbook, sets, lifts, curves, rejected, done | felt, month)
    for more in (first_swap(levers, lifts), pain_facts(pain)):
        clients = clients.join(more, on="client", how="left", maintain_order="left")
    return {
        "clients": clients,
        "lifts": lifts,
        "curves": curves,
        "decisions": client_decisions(lifts, clients, month),
        "accessories": accessory_rows(
            lifts, load.monthly_load(recent, **known), load.supersets(inside), inside, month
        ),
        "records": records.filter(pl.col("date") >= month).sort(
            "client", "date", "exercise", "record", "reps", "source_file", "source_line",
            descending=[False, True, False, False, False, False, False],
        ),
        "targets": rounded_loads(target_rows(wanted, targets, lifts, inside, month), steps),
        "levers": rounded_levers(levers, tried, loads, steps),
        "flags": reading_facts.flags(sets, month),
        "names": reading_facts.doubtful_names(logbook.names),
        "assumptions": _mine(said, sets),
        "backtest": trend.backtest(sets, end, **ask),
        "rejected": rejected,
        "pain": pain,
        **done,
        **felt,
        "balance": balance,
        "closer": closer_rows(lifts, felt["relative"], balance, felt["back_off"], month),
        "fitness_fatigue": fitness_and_fatigue(logbook, sets, curves, lifts, roles),
    }  # fmt: skip


def _work(
    logbook: Logbook, lifts: pl.DataFrame, month: dt.date, last_day: dt.date
) -> dict[str, pl.DataFrame]:
    """Return the frames of where the work landed and of plan against done, by whole weeks."""
    last = work.last_day_of_weeks(month)
    sets = logbook.sets.filter(pl.col("date") <= last)
    weekly = load.weekly_tables(sets, catalogue=logbook.catalogue, checkins=logbook.checkins)
    as_of = min(last, last_day)
    shown = sets.filter(pl.col("date") >= month - dt.timedelta(days=BACK_DAYS))
    planned = load.adherence(shown, logbook.plan, catalogue=logbook.catalogue, as_of=as_of)
    weeks = load.adherence_weeks(shown, logbook.plan, catalogue=logbook.catalogue, as_of=as_of)
    return work.work_frames(weekly, lifts, month, last_day) | {
        "muscles": work.muscle_rows(
            weekly["weekly_muscles"],
            weekly["weekly_positions"],
            planned,
            logbook.catalogue,
            month,
            last_day,
        ),
        "plan": work.plan_rows(planned, month),
        "plan_weeks": weeks.filter(work.in_month("week", month)),
    }


def _mine(frame: pl.DataFrame | None, sets: pl.DataFrame) -> pl.DataFrame:
    """Keep the rows of the clients of a part."""
    if frame is None:
        raise ValueError("what a part takes for granted was not worked out")
    return frame.join(sets.select("client").unique(), on="client", how="semi")


def _who(logbook: Logbook, sets: pl.DataFrame) -> pl.DataFrame:
    """Return CLIENTS for everybody in the log; the unit is that of the loads where none is told."""
    return (
        sets.select("client")
        .unique()
        .join(logbook.clients.unique("client", keep="last"), on="client", how="left")
        .join(facts.units_logged(sets), on="client", how="left")
        .with_columns(pl.coalesce("unit", "logged_unit", pl.lit("kg")).alias("unit"))
        .drop("logged_unit")
        .sort("client")
    )


def _condition(
    logbook: Logbook,
    sets: pl.DataFrame,
    checkins: pl.DataFrame,
    curves: pl.DataFrame,
    sessions: pl.DataFrame,
    lifts: pl.DataFrame,
    month: dt.date,
) -> dict[str, pl.DataFrame]:
    """Return the frames of load, fatigue, readiness and body mass."""
    readiness = fatigue.readiness(sets, checkins, logbook.clients)
    known: dict[str, Any] = {"catalogue": logbook.catalogue, "checkins": checkins}
    return {
        "load_ratios": condition.whole_weeks(fatigue.load_ratios(sets, checkins)),
        "stretches": facts.stretches(sets, readiness, facts.range_switches(lifts, curves)),
        "wellness": fatigue.hooper(checkins),
        "readiness": readiness,
        "body_mass": fatigue.body_mass_trend(checkins, logbook.clients),
        "associations": condition.associations(
            fatigue.explain_month(curves, readiness, month), lifts
        ),
        "balance": fatigue.performance_ratio(sets, curves),
        "back_off": fatigue.back_off_ratio(
            sets.filter(pl.col("date") >= month - dt.timedelta(days=BACK_DAYS)), **known
        ).filter(pl.col("date") >= month),
        "relative": fatigue.relative_strength(
            sessions.filter(pl.col("date") >= month),
            checkins,
            logbook.clients,
            catalogue=logbook.catalogue,
        ),
    }


def _clients(
    logbook: Logbook,
    sets: pl.DataFrame,
    lifts: pl.DataFrame,
    curves: pl.DataFrame,
    rejected: pl.DataFrame,
    done: dict[str, pl.DataFrame],
    month: dt.date,
) -> pl.DataFrame:
    """Return one row per client: who it is, and the facts of the month."""
    logged = sets.group_by("client").agg(
        pl.col("date").min().alias("first_date"),
        pl.col("date").max().alias("last_date"),
        pl.col("date").n_unique().cast(pl.Int32).alias("sessions_ever"),
    )
    rows = logged.join(_who(logbook, sets), on="client", how="left")
    for found in (
        facts.logged_in_month(sets, month),
        facts.breaks(sets, month),
        facts.reserve_logged(sets, month),
        facts.named_stretches(lifts, curves, logbook.plan, month),
        facts.range_switches(lifts, curves),
        reading_facts.rejected_counts(rejected),
        reading_facts.duplicate_counts(logbook.duplicates),
        condition.adherence_facts(done["plan_weeks"], month),
        condition.mass_facts(done["body_mass"], month),
        condition.readiness_facts(done["readiness"], month),
        condition.load_facts(done["load_ratios"], month),
        condition.session_facts(done["back_off"]),
    ):
        rows = rows.join(found, on="client", how="left")
    counted = ["rejected"] if logbook.duplicates is None else ["rejected", "duplicates"]
    return rows.with_columns(pl.col(counted).fill_null(0)).sort("client")
