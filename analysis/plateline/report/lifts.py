"""One row per lift: its state now and a month ago, the month's change and best set.

This is the frame behind the table of lifts, the first screen and the index.
"""

from __future__ import annotations

import datetime as dt

import polars as pl

from plateline.report.months import month_end, previous_month
from plateline.report.standing import age_of_state
from plateline.strength import e1rm
from plateline.words import LIFT, Role, State

__all__ = [
    "ATTENTION_CONTEXTS",
    "leading_lifts",
    "lift_rows",
    "month_best",
    "month_changes",
    "new_records",
    "records_that_beat",
]

# Contexts that explain a fall or a standstill without blaming the training.
ATTENTION_CONTEXTS = ("deload", "layoff", "diet phase", "rep-range switch")

# Order of the table: how much a state asks for attention, and how much less an accessory
# lift (judged by volume and effort) and an explained state ask. Only the order hangs on these.
_STATE_WEIGHT = {
    State.DECLINING: 3.0,
    State.PLATEAU: 2.0,
    State.UNCLEAR: 0.6,
    State.PROGRESSING: 0.0,
}
_ACCESSORY_SHARE = 0.3
_EXPLAINED_SHARE = 0.6
_ABSENT_SHARE = 0.05

_HEAVY_SHARE = 0.92
"""Of a day's sets the best is among those of nearly its most load: a lighter, longer set may seem
better by a curve that is not quite this lift's (common practice, no source)."""

_SET = ("load_kg", "reps", "rir", "set_kind", "date", "source_file", "source_line")


def lift_rows(
    status: pl.DataFrame,
    before: pl.DataFrame,
    roles: pl.DataFrame,
    sessions: pl.DataFrame,
    curves: pl.DataFrame,
    records: pl.DataFrame,
    leading: pl.DataFrame,
    evidence: pl.DataFrame,
    month: dt.date,
) -> pl.DataFrame:
    """Return one row per lift, most in need of attention first within each client.

    Parameters
    ----------
    status, before
        LIFT_STATUS_DETAIL at the end of the month and of the month before.
    roles
        The load room's roles: `client, exercise, role`.
    sessions
        LIFT_SESSIONS up to the end of the month.
    curves
        LIFT_CURVES at the end of the month.
    records
        LIFT_RECORDS at the end of the month.
    leading
        From `leading_lifts`.
    evidence
        The strength room's evidence of the month's sets.
    month
        First day of the month.

    Returns
    -------
    pl.DataFrame
        The columns of LIFT_STATUS_DETAIL, then `role` (`progression` for all lifts of a
        client who has no other this month), `state_before, slope_before,
        change_pct, change_low, change_high` (over the month, in per cent), `sessions_month`,
        `best_*` (the month's best set), `records_month, best_ever_date`
        (of a best e1RM of all time in the month), `leads`, `first_date` (of the lift in the
        log), `is_long, may_be_long` (see `standing`), `attention`.
    """
    earlier = before.select(
        *LIFT,
        pl.col("state").alias("state_before"),
        pl.col("slope_pct_week").alias("slope_before"),
    )
    role = roles.unique(LIFT, keep="first").select(*LIFT, "role")
    rows = (
        status.join(role, on=LIFT, how="left")
        .join(earlier, on=LIFT, how="left")
        .join(month_changes(curves, status, month), on=LIFT, how="left")
        .join(month_best(sessions, evidence, month), on=LIFT, how="left")
        .join(new_records(records, month), on=LIFT, how="left")
        .join(leading, on=LIFT, how="left")
        .join(
            sessions.group_by(LIFT).agg(pl.col("date").min().alias("first_date")),
            on=LIFT,
            how="left",
        )
        .with_columns(
            pl.col("role").fill_null(Role.ACCESSORY.value),
            pl.col("sessions_month", "records_month").fill_null(0),
            pl.col("leads").fill_null(value=False),
            **age_of_state(month_end(month)),
        )
        .with_columns(role=_judged_role())
    )
    return rows.with_columns(attention=_attention()).sort(
        "client", "attention", "role", "exercise", descending=[False, True, True, False]
    )


def _judged_role() -> pl.Expr:
    """Judge every lift by its strength where the client trains none for load this month.

    A page about accessory work alone would say nothing of how the lifts move.
    """
    main = (pl.col("role") == Role.PROGRESSION) & (pl.col("sessions_month") > 0)
    return pl.when(main.any().over("client")).then("role").otherwise(pl.lit(Role.PROGRESSION.value))


def _attention() -> pl.Expr:
    weight = pl.sum_horizontal(
        pl.when(pl.col("state") == state).then(value).otherwise(0.0)
        for state, value in _STATE_WEIGHT.items()
    )
    sure = pl.max_horizontal("p_declining", "p_plateau").fill_null(0.0)
    explained = pl.col("context").list.eval(pl.element().is_in(ATTENTION_CONTEXTS)).list.any()
    return (
        weight
        * (0.5 + sure)
        * pl.when(pl.col("role") == Role.ACCESSORY).then(_ACCESSORY_SHARE).otherwise(1.0)
        * pl.when(explained.fill_null(value=False)).then(_EXPLAINED_SHARE).otherwise(1.0)
        * pl.when(pl.col("sessions_month") == 0).then(_ABSENT_SHARE).otherwise(1.0)
    )


def month_changes(curves: pl.DataFrame, status: pl.DataFrame, month: dt.date) -> pl.DataFrame:
    """Return each lift's change over the month in per cent, with a 90 % interval.

    From the last session before the month (or the first in it) to the last session in it: the
    slope over that span, with the slope's own interval, so that what a lift did this month and
    what it is called agree. Where the state began inside the span the slope is not that of
    the whole of it; there it is the change of the fitted line, whose interval is then a little
    too narrow.

    Returns
    -------
    pl.DataFrame
        `client, exercise, change_pct, change_low, change_high, change_days`.
    """
    known = curves.filter(
        pl.col("kind") == "session",
        pl.col("fitted_kg").is_not_null(),
        pl.col("date") <= month_end(month),
    ).sort(*LIFT, "date")
    opening = (
        known.filter(pl.col("date") < month)
        .filter(pl.col("date") >= previous_month(month))
        .group_by(LIFT, maintain_order=True)
        .agg(pl.col("date", "fitted_kg").last())
    )
    inside = (
        known.filter(pl.col("date") >= month)
        .group_by(LIFT, maintain_order=True)
        .agg(
            pl.col("date", "fitted_kg").first(),
            pl.col("date").last().alias("last"),
            pl.col("fitted_kg").last().alias("end"),
        )
    )
    joined = inside.join(opening, on=LIFT, how="left", suffix="_before").join(
        status.select(*LIFT, "since", "slope_pct_week", "slope_low", "slope_high"),
        on=LIFT,
        how="left",
    )
    start = pl.coalesce("fitted_kg_before", "fitted_kg")
    first = pl.coalesce("date_before", "date")
    days = (pl.col("last") - first).dt.total_days()
    weeks = days / 7
    turned = (pl.col("since") > first).fill_null(value=False)
    by_line = (pl.col("end") / start - 1) * 100
    by_slope = pl.col("slope_pct_week") * weeks
    return (
        joined.with_columns(
            change_days=days,
            change_pct=pl.when(turned | by_slope.is_null()).then(by_line).otherwise(by_slope),
        )
        .filter(pl.col("change_days") > 0)
        .select(
            *LIFT,
            "change_pct",
            (pl.col("change_pct") - (pl.col("slope_pct_week") - pl.col("slope_low")) * weeks).alias(
                "change_low"
            ),
            (
                pl.col("change_pct") + (pl.col("slope_high") - pl.col("slope_pct_week")) * weeks
            ).alias("change_high"),
            "change_days",
        )
    )


def month_best(sessions: pl.DataFrame, evidence: pl.DataFrame, month: dt.date) -> pl.DataFrame:
    """Return the best set of each lift in the month, and the number of sessions.

    The best is the one with the highest estimate (Epley, from repetitions and reserve as logged,
    as in the records; here only for the order, so however many repetitions it had), of sets of
    nearly the most load of their day; of equal ones that of more repetitions, then the first.

    Returns
    -------
    pl.DataFrame
        `client, exercise, sessions_month` and `best_load_kg, best_reps, best_rir,
        best_set_kind, best_date, best_source_file, best_source_line`.
    """
    inside = pl.col("date").is_between(month, month_end(month))
    trained = (
        sessions.filter(inside)
        .group_by(LIFT, maintain_order=True)
        .agg(pl.len().cast(pl.Int32).alias("sessions_month"))
    )
    heaviest = pl.col("total_kg").max().over(*LIFT, "date")
    best = (
        evidence.filter(inside, pl.col("total_kg") >= _HEAVY_SHARE * heaviest)
        .with_columns(
            doubted=pl.col("flag").is_not_null(),
            says=e1rm(pl.col("total_kg"), pl.col("reps"), pl.col("rir").fill_null(0.0)).round(6),
        )
        .sort(
            *LIFT, "doubted", "says", "reps", "date", "source_file", "source_line",
            descending=[False, False, False, True, True, False, False, False],
        )
        .group_by(LIFT, maintain_order=True)
        .agg(pl.col(_SET).first().name.prefix("best_"))
    )  # fmt: skip
    return trained.join(best, on=LIFT, how="left", maintain_order="left")


def new_records(records: pl.DataFrame, month: dt.date) -> pl.DataFrame:
    """Count the records that were set in the month.

    Returns
    -------
    pl.DataFrame
        `client, exercise, records_month, best_ever_date` (of the month's last best e1RM of all
        time; null where there is none).
    """
    return (
        records.filter(pl.col("date").is_between(month, month_end(month)))
        .group_by("client", "exercise", maintain_order=True)
        .agg(
            pl.len().cast(pl.Int32).alias("records_month"),
            pl.col("date").filter(pl.col("record") == "best e1RM").max().alias("best_ever_date"),
        )
    )


def records_that_beat(records: pl.DataFrame, sets: pl.DataFrame) -> pl.DataFrame:
    """Leave out what was done on the first day of a lift: it was the best because it was the only.

    Parameters
    ----------
    records
        LIFT_RECORDS.
    sets
        SETS up to the end of the month.
    """
    first = sets.group_by(LIFT).agg(pl.col("date").min().alias("first_day"))
    return (
        records.join(first, on=LIFT, how="left", maintain_order="left")
        .filter(pl.col("date") > pl.col("first_day"))
        .drop("first_day")
    )


def leading_lifts(sets: pl.DataFrame, roles: pl.DataFrame, month: dt.date) -> pl.DataFrame:
    """Tell which progression lifts sessions begin with: `client, exercise, leads`.

    Accessory lifts done before them do not count: what is done first of the lifts that are
    loaded to progress is what the session is about.

    Parameters
    ----------
    sets
        SETS up to the end of the month, in the order done.
    roles
        The load room's roles.
    month
        First day of the month.
    """
    session = ["client", "date", "session"]
    main = roles.filter(pl.col("role") == Role.PROGRESSION).select("client", "exercise").unique()
    return (
        sets.filter(pl.col("date").is_between(month, month_end(month)))
        .with_row_index("place")
        .join(main, on=LIFT, how="semi")
        .group_by(*session, "exercise")
        .agg(pl.col("place").min())
        .with_columns(first=pl.col("place") == pl.col("place").min().over(session))
        .group_by("client", "exercise")
        .agg(leads=pl.col("first").mean() >= LEADING_SHARE)
    )


LEADING_SHARE = 0.5
