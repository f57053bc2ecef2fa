"""Next month's prescriptions of every progression lift, and the loads for them."""

from __future__ import annotations

import datetime as dt

import polars as pl

from plateline.advice import Lever
from plateline.report.months import month_end
from plateline.words import LIFT, Role, SetKind, State

__all__ = ["BIG_JUMP_PCT", "lever_prescriptions", "next_prescriptions", "target_rows"]

# A block of a single week is a deload, a test or a holiday; what comes next month is the
# latest block that is longer, where there is one.
_SHORTEST_BLOCK_WEEKS = 2

# What is assumed where neither the plan nor the log says how far from failure a set ends.
_USUAL_RESERVE = 1.0

# A rise of more than this over the heaviest load of the month for a similar set is named as
# a big jump; 2-10 % is the step that the ACSM 2009 position stand advises (Med Sci Sports
# Exerc 41:687-708).
BIG_JUMP_PCT = 10.0


def next_prescriptions(
    plan: pl.DataFrame, lifts: pl.DataFrame, sets: pl.DataFrame, month: dt.date
) -> pl.DataFrame:
    """Return what each progression lift is prescribed next month.

    The plan says it: the latest block that has begun by the end of next month and lasts at
    least two weeks. Lifts that no plan names keep the repetitions they were done for this
    month, by kind of set.

    Returns
    -------
    pl.DataFrame
        `client, exercise, set_kind, sets, reps_low, reps_high, reps` (what the load is for: the
        middle of the range; of several sets the first is to reach its top, since repetitions
        fall from set to set), `rir`, `how` (`plan` or `log`).
    """
    wanted = lifts.filter(pl.col("role") == Role.PROGRESSION, pl.col("sessions_month") > 0).select(
        "client", "exercise"
    )
    planned = _from_plan(plan, month).join(wanted, on=LIFT, how="semi")
    logged = _from_log(sets, month).join(wanted, on=LIFT, how="semi")
    unplanned = logged.join(planned, on=LIFT, how="anti")
    return (
        pl.concat([planned, unplanned])
        .with_columns(
            pl.col("rir").fill_null(_USUAL_RESERVE),
            reps=pl.when(pl.col("sets").fill_null(1) > 1)
            .then("reps_high")
            .otherwise(((pl.col("reps_low") + pl.col("reps_high")) / 2).ceil())
            .cast(pl.Int32),
        )
        .sort("client", "exercise", "reps", "set_kind")
    )


def _from_plan(plan: pl.DataFrame, month: dt.date) -> pl.DataFrame:
    until = month_end(month_end(month) + dt.timedelta(days=1))
    usable = plan.filter(
        pl.col("start").is_null() | (pl.col("start") <= until),
        pl.col("reps_low").is_not_null() | pl.col("reps_high").is_not_null(),
        pl.col("set_kind").is_null() | (pl.col("set_kind") != SetKind.WARM_UP.value),
    ).with_columns(
        long=pl.col("weeks").is_null() | (pl.col("weeks") >= _SHORTEST_BLOCK_WEEKS),
        start=pl.col("start").fill_null(dt.date.min),
        set_kind=pl.col("set_kind").fill_null(SetKind.WORKING.value),
    )
    latest = (
        usable.select("client", "block", "start", "long")
        .unique()
        .sort("client", "long", "start", "block", descending=[False, True, True, False])
        .unique("client", keep="first", maintain_order=True)
        .select("client", "block", "start")
    )
    return (
        usable.join(latest, on=["client", "block", "start"], how="semi", nulls_equal=True)
        .group_by("client", "exercise", "set_kind", maintain_order=True)
        .agg(
            pl.col("sets").max().cast(pl.Int32),
            pl.coalesce("reps_low", "reps_high").min().cast(pl.Int32).alias("reps_low"),
            pl.coalesce("reps_high", "reps_low").max().cast(pl.Int32).alias("reps_high"),
            pl.col("rir").min(),
            pl.lit("plan").alias("how"),
        )
    )


def _from_log(sets: pl.DataFrame, month: dt.date) -> pl.DataFrame:
    kept = sets.filter(
        pl.col("date").is_between(month, month_end(month)),
        pl.col("set_kind").is_in(
            [SetKind.TOP.value, SetKind.BACK_OFF.value, SetKind.WORKING.value]
        ),
    )
    days = kept.group_by("client", "exercise").agg(pl.col("date").n_unique().alias("days"))
    return (
        kept.group_by("client", "exercise", "set_kind", maintain_order=True)
        .agg(
            pl.len().alias("n"),
            pl.col("reps").quantile(0.25, "nearest").cast(pl.Int32).alias("reps_low"),
            pl.col("reps").quantile(0.75, "nearest").cast(pl.Int32).alias("reps_high"),
            pl.col("rir").median().round(0),
        )
        .join(days, on=LIFT, how="left")
        .select(
            "client",
            "exercise",
            "set_kind",
            (pl.col("n") / pl.col("days"))
            .round(0)
            .clip(lower_bound=1)
            .cast(pl.Int32)
            .alias("sets"),
            "reps_low",
            "reps_high",
            "rir",
            pl.lit("log").alias("how"),
        )
    )


def lever_prescriptions(levers: pl.DataFrame, prescriptions: pl.DataFrame) -> pl.DataFrame:
    """Return what a lift would be done for, were a lever pulled that changes reps or the lift.

    Another rep range asks for the middle of that range; a substitute for what the lift itself
    is prescribed as its heaviest set.

    Returns
    -------
    pl.DataFrame
        `client, exercise, lever` of the levers, and `tried, reps, rir`: the lift that would be
        done, for how many repetitions.
    """
    heaviest = (
        prescriptions.sort("client", "exercise", "reps")
        .unique(LIFT, keep="first", maintain_order=True)
        .select("client", "exercise", own_reps="reps", own_rir="rir")
    )
    middle = ((pl.col("proposed_low") + pl.col("proposed_high")) / 2).ceil().cast(pl.Int32)
    is_range = pl.col("lever") == Lever.REP_RANGE
    return (
        levers.filter(is_range | (pl.col("lever") == Lever.VARIANT))
        .unique(["client", "exercise", "lever"], keep="first", maintain_order=True)
        .join(heaviest, on=LIFT, how="left", maintain_order="left")
        .select(
            "client",
            "exercise",
            "lever",
            tried=pl.when(is_range).then("exercise").otherwise("substitute"),
            reps=pl.when(is_range).then(middle).otherwise("own_reps"),
            rir=pl.col("own_rir").fill_null(_USUAL_RESERVE),
        )
        .drop_nulls(["tried", "reps"])
    )


def target_rows(
    prescriptions: pl.DataFrame,
    targets: pl.DataFrame,
    lifts: pl.DataFrame,
    sets: pl.DataFrame,
    month: dt.date,
) -> pl.DataFrame:
    """Put the loads beside the prescriptions, and what was last done for the same set.

    Parameters
    ----------
    prescriptions
        From `next_prescriptions`.
    targets
        TARGETS for them, not rounded.
    lifts
        The frame of lifts: state and four-week forecast.
    sets
        SETS up to the end of the month.
    month
        First day of the month.

    Returns
    -------
    pl.DataFrame
        The prescriptions with `load_kg, load_low, load_high` (80 % interval), `later_kg`
        (four weeks on, if the trend holds), `last_load_kg, last_reps, last_rir, last_date,
        last_source_file, last_source_line` (the last set of that kind), `held` (it ended within the range with the reserve in hand, and the
        lift is not falling: no reason to go below it), `jump_pct`, `state`, `lacks_mass` (the
        load has an unknown body mass in it).
    """
    last = (
        sets.filter(pl.col("date") >= month, pl.col("set_kind") != SetKind.WARM_UP.value)
        .sort("client", "date", "load_kg", "reps", maintain_order=True)
        .group_by(*LIFT, "set_kind", maintain_order=True)
        .agg(
            pl.col("load_kg").last().alias("last_load_kg"),
            pl.col("reps").last().alias("last_reps"),
            pl.col("rir").last().alias("last_rir"),
            pl.col("date").last().alias("last_date"),
            pl.col("source_file").last().alias("last_source_file"),
            pl.col("source_line").last().alias("last_source_line"),
        )
    )
    ahead = lifts.select(
        *LIFT,
        "state",
        growth=(pl.col("forecast_kg") / pl.col("strength_kg")).fill_null(1.0),
        lacks_mass=(
            pl.col("strength_kg").is_null() & pl.col("reason").str.contains("body mass")
        ).fill_null(value=False),
    )
    loads = targets.unique([*LIFT, "reps", "rir"], keep="first")
    return (
        prescriptions.join(loads, on=[*LIFT, "reps", "rir"], how="left", maintain_order="left")
        .join(ahead, on=LIFT, how="left", maintain_order="left")
        .join(last, on=[*LIFT, "set_kind"], how="left", maintain_order="left")
        .with_columns(
            held=_held(),
            later_kg=pl.col("load_kg") * pl.col("growth"),
            jump_pct=pl.when(pl.col("last_load_kg") > 0).then(
                (pl.col("load_kg") / pl.col("last_load_kg") - 1) * 100
            ),
        )
        .drop("growth")
    )


def _held() -> pl.Expr:
    """Tell whether the last set of its kind was done as prescribed by a lift that does not fall."""
    in_hand = pl.col("last_reps") + pl.col("last_rir").fill_null(pl.col("rir"))
    return (
        (pl.col("state") != State.DECLINING)
        & (pl.col("last_reps") >= pl.col("reps_low"))
        & (in_hand >= pl.col("reps_low") + pl.col("rir"))
    ).fill_null(value=False)
