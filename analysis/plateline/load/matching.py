"""Which logged set fulfils which prescription of the plan."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

import polars as pl

from plateline.load.counting import counted, is_warm_up
from plateline.load.door import lazy_sets, optional_frame
from plateline.load.facts import lift_facts, planned_lifts
from plateline.load.stretches import plan_blocks
from plateline.words import SetKind

__all__ = ["PLACE", "WEEK", "Matched", "matched_sets"]

KIND_ORDER = {
    kind.value: place
    for place, kind in enumerate(
        (SetKind.TOP, SetKind.WORKING, SetKind.BACK_OFF, SetKind.DROP, SetKind.WARM_UP)
    )
}
"""From heaviest to lightest: how sets without a telling kind are handed to prescriptions."""

WEEK = ["client", "block", "week"]
PLACE = [*WEEK, "plan_session"]


@dataclass(frozen=True)
class Matched:
    """What was asked for and what was done, set by set.

    `prescribed` has one row per prescription and due week, `logged` one row per set in a plan
    week with the prescription it was handed to, `due` the plan weeks and which are partial.
    """

    prescribed: pl.DataFrame
    logged: pl.DataFrame
    due: pl.DataFrame


def matched_sets(sets: Any, plan: Any, catalogue: Any, as_of: date | None) -> Matched:
    """Hand every set of the plan's weeks to a prescription.

    Parameters
    ----------
    sets, plan, catalogue, as_of
        As for `adherence`, which says by what rules.
    """
    rows = lazy_sets(sets).filter(~is_warm_up())
    if as_of is not None:
        rows = rows.filter(pl.col("date") <= as_of)
    log = rows.with_columns(sets=counted()).with_row_index("_row").collect()
    written = (
        optional_frame(plan, "plan")
        .drop_nulls(["client", "exercise", "start", "weeks"])
        .filter(~is_warm_up().fill_null(False))
        .with_columns(
            pl.col("block").fill_null("plan"),
            pl.col("session").fill_null("session"),
            pl.col("set_kind").cast(pl.String).fill_null(SetKind.WORKING.value),
            pl.col("sets").fill_null(1),
        )
    )
    due = _due_weeks(written, log, as_of)
    prescribed = (
        written.drop("weeks", "start")
        .join(due, on=["client", "block"])
        .rename({"session": "plan_session"})
    )
    inside = _in_plan_weeks(log, due)
    names = planned_lifts(written, inside, catalogue)
    inside = inside.join(names, on=["client", "exercise"], how="left")
    placed = _swapped(_placed(inside, prescribed), prescribed, catalogue)
    return Matched(prescribed, _with_kind(placed, prescribed), due)


def _due_weeks(plan: pl.DataFrame, log: pl.DataFrame, as_of: date | None) -> pl.DataFrame:
    """Return `client, block, week, is_partial`: plan weeks that have begun by the last day."""
    last = log.group_by("client").agg(last=pl.col("date").max())
    if as_of is not None:
        last = plan.select("client").unique().with_columns(last=pl.lit(as_of))
    return (
        plan_blocks(plan)
        .join(last, on="client")
        .with_columns(week=pl.date_ranges("start", "end", "7d"))
        .explode("week", empty_as_null=False)
        .filter(pl.col("week") <= pl.col("last"))
        .with_columns(
            week_end=pl.min_horizontal(
                pl.col("week") + pl.duration(days=7), pl.col("end") + pl.duration(days=1)
            )
        )
        .select(
            *WEEK,
            "week_end",
            is_partial=(pl.col("week_end") > pl.col("last") + pl.duration(days=1)),
        )
        .sort(WEEK)
    )


def _in_plan_weeks(log: pl.DataFrame, due: pl.DataFrame) -> pl.DataFrame:
    """Return the sets that lie in a week of the plan, with its block and week."""
    return (
        log.sort("date")
        .join_asof(
            due.sort("week"),
            left_on="date",
            right_on="week",
            by="client",
            strategy="backward",
            check_sortedness=False,
        )
        .filter(pl.col("date") < pl.col("week_end"))
        .drop("week_end", "is_partial")
    )


def _placed(inside: pl.DataFrame, prescribed: pl.DataFrame) -> pl.DataFrame:
    """Give every logged set its planned session.

    `day_session` is what the whole logged session is taken for; a lift that is not in it but
    in another planned session of the week goes there.
    """
    day = ["client", "block", "week", "date", "session"]
    planned = prescribed.select(*PLACE, planned="exercise").unique()
    spelt = pl.col("session").str.to_lowercase().str.strip_chars()
    by_name = (
        inside.select(day)
        .unique()
        .with_columns(_key=spelt)
        .join(
            planned.select(*PLACE)
            .unique()
            .with_columns(_key=pl.col("plan_session").str.to_lowercase().str.strip_chars()),
            on=[*WEEK, "_key"],
        )
        .select(*day, day_session="plan_session")
    )
    by_lifts = (
        inside.drop_nulls("planned")
        .select(*day, "planned")
        .unique()
        .join(planned, on=[*WEEK, "planned"])
        .group_by(*day, "plan_session")
        .agg(_common=pl.len())
        .sort(*day, "_common", "plan_session", descending=[False] * 5 + [True, False])
        .unique(day, keep="first", maintain_order=True)
        .select(*day, by_lifts="plan_session")
    )
    home = planned.sort(PLACE).unique([*WEEK, "planned"], keep="first", maintain_order=True)
    here = planned.with_columns(day_session="plan_session", _here=True).drop("plan_session")
    return (
        inside.join(by_name, on=day, how="left", nulls_equal=True)
        .join(by_lifts, on=day, how="left", nulls_equal=True)
        .with_columns(day_session=pl.coalesce("day_session", "by_lifts"))
        .join(here, on=[*WEEK, "planned", "day_session"], how="left")
        .join(home.rename({"plan_session": "_home"}), on=[*WEEK, "planned"], how="left")
        .with_columns(
            plan_session=pl.when(pl.col("_here").is_not_null() | pl.col("_home").is_null())
            .then(pl.col("day_session"))
            .otherwise(pl.col("_home")),
            planned=pl.when(pl.col("_home").is_not_null()).then(pl.col("planned")),
            swapped_for=pl.lit(None, pl.String),
        )
        .drop("by_lifts", "_here", "_home")
    )


def _swapped(placed: pl.DataFrame, prescribed: pl.DataFrame, catalogue: Any) -> pl.DataFrame:
    """Hand unplanned lifts to planned ones of their session that they stand in for."""
    done = placed.drop_nulls("planned").select(*PLACE, "planned").unique()
    open_lifts = (
        prescribed.select(*PLACE, planned="exercise")
        .unique()
        .join(done, on=[*PLACE, "planned"], how="anti")
    )
    extra = (
        placed.filter(pl.col("planned").is_null() & pl.col("plan_session").is_not_null())
        .select(*PLACE, "exercise")
        .unique()
    )
    pairs = open_lifts.join(extra, on=PLACE)
    if pairs.is_empty():
        return placed
    facts = lift_facts(pl.concat([pairs["planned"], pairs["exercise"]]), catalogue)
    ours = facts.select("exercise", "entry", "position", "direct")
    theirs = facts.select(
        planned="exercise", p_position="position", p_direct="direct", p_substitutes="substitutes"
    )
    shared = pl.col("direct").list.set_intersection("p_direct").list.len().fill_null(0)
    named = pl.col("p_substitutes").list.contains(pl.coalesce("entry", "exercise")).fill_null(False)
    alike = named | ((pl.col("position") == pl.col("p_position")).fill_null(False) & (shared > 0))
    chosen = (
        pairs.join(ours, on="exercise")
        .join(theirs, on="planned")
        .with_columns(_shared=shared)
        .filter(alike)
        .sort(
            *PLACE, "_shared", "planned", "exercise", descending=[False] * 4 + [True] + [False] * 2
        )
        .unique([*PLACE, "planned"], keep="first", maintain_order=True)
        .unique([*PLACE, "exercise"], keep="first", maintain_order=True)
        .select(*PLACE, "exercise", _stands_for="planned")
    )
    return (
        placed.join(chosen, on=[*PLACE, "exercise"], how="left")
        .with_columns(
            swapped_for=pl.when(
                pl.col("planned").is_null() & pl.col("_stands_for").is_not_null()
            ).then(pl.col("exercise")),
            planned=pl.coalesce("planned", "_stands_for"),
        )
        .drop("_stands_for")
    )


def _with_kind(placed: pl.DataFrame, prescribed: pl.DataFrame) -> pl.DataFrame:
    """Hand every set to one prescription of its lift: `plan_kind`."""
    lift = [*PLACE, "planned"]
    wanted = (
        prescribed.rename({"exercise": "planned"})
        .group_by(*lift, plan_kind=pl.col("set_kind").cast(pl.String))
        .agg(pl.col("sets").sum().cast(pl.Float64))
        .with_columns(_order=pl.col("plan_kind").replace_strict(KIND_ORDER, return_dtype=pl.Int64))
    )
    rows = placed.with_columns(_kind=pl.col("set_kind").cast(pl.String))
    told = rows.join(
        wanted.select(*lift, "plan_kind"),
        left_on=[*lift, "_kind"],
        right_on=[*lift, "plan_kind"],
        how="semi",
    ).with_columns(plan_kind=pl.col("_kind"))
    rest = rows.join(told.select("_row"), on="_row", how="anti")
    taken = told.select(*lift, "plan_kind").unique()
    left = wanted.join(taken, on=[*lift, "plan_kind"], how="anti")
    # Where every kind is spoken for, sets of another kind go to the lightest prescription.
    full = wanted.join(left, on=lift, how="anti")
    steps = (
        pl.concat([left, full.sort("_order").group_by(lift).last().select(left.columns)])
        .sort(*lift, "_order")
        .with_columns(_from=pl.col("sets").cum_sum().over(lift) - pl.col("sets"))
        .select(*lift, "plan_kind", "_from")
    )
    ranked = rest.sort(
        "load_kg", "set_order", "_row", descending=[True, False, False]
    ).with_columns(_from=pl.col("sets").cum_sum().over(lift) - pl.col("sets"))
    handed = (
        ranked.sort("_from")
        .join_asof(steps.sort("_from"), on="_from", by=lift, check_sortedness=False)
        .drop("_from")
    )
    return pl.concat([told, handed.select(told.columns)]).drop("_kind").sort("_row")
