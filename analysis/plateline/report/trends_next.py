"""What to do next, for an athlete: one change for all stuck lifts, one for each, and loads."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import polars as pl
from markupsafe import Markup

from plateline.advice.tables import Caution, Lever
from plateline.report import trends_words as say
from plateline.report.blocks import Block, paragraphs
from plateline.report.numbers import Units
from plateline.report.sentences_levers import action, because
from plateline.report.tables import Column, table
from plateline.report.tables_next import cautions_block, levers_block, pain_block
from plateline.report.trends_loads import estimate, estimate_interval, set_markup

if TYPE_CHECKING:
    from plateline.report.trends import TrendsPage

__all__ = ["next_steps", "shared_by_most", "targets_table"]

Row = dict[str, Any]

COMMON_LIFTS = 3
"""From so many stuck lifts on, the same first change of at least half of them is told once."""

TOLD_LIFTS = 5
"""So many stuck lifts are told what to change; nobody changes more at a time."""

ALWAYS = (Caution.PAIN, Caution.LOAD_JUMP)
"""Cautions that stand beside every load, whether or not a lift is stuck."""


def next_steps(page: TrendsPage) -> Block:
    """Return what to do next: what all stuck lifts share, each one's levers, then loads."""
    levers = _in_order(page)
    cautions = [*levers, *({"caution": caution.value} for caution in ALWAYS)]
    return (
        pain_block(page.frames["pain"].to_dicts())
        + _changes(page, levers)
        + paragraphs(say.logging_lines(page.frames["status"], page.frames["sets"]))
        + _all_targets(page)
        + cautions_block(cautions, [])
    )


def _changes(page: TrendsPage, levers: list[Row]) -> Block:
    if not levers:
        return paragraphs([say.nothing_stuck(page.frames["status"])])
    lifts = list(dict.fromkeys(row["exercise"] for row in levers))
    shared = shared_by_most(levers, lifts)
    block = paragraphs([])
    if shared:
        names = [row["exercise"] for row in shared]
        told = Markup("<p>{} <strong>{}</strong> {}</p>").format(
            *say.shared_change(names, len(lifts), action(shared[0]), because(shared[:1]))
        )
        block += Block(told, told.striptags())
    first = lifts[:TOLD_LIFTS]
    rest = [
        row
        for row in levers
        if row["exercise"] in first and not (shared and row["lever"] == shared[0]["lever"])
    ]
    if rest:
        block += levers_block(rest)
    left = lifts[TOLD_LIFTS:]
    return block + paragraphs([say.also_stuck(left)] if left else [])


def _in_order(page: TrendsPage) -> list[Row]:
    """Return the levers, lifts in the order of the page."""
    place = {name: place for place, name in enumerate(page.lift_names)}
    return sorted(page.frames["levers"].to_dicts(), key=lambda row: place[row["exercise"]])


def shared_by_most(levers: Sequence[Row], lifts: Sequence[str]) -> list[Row]:
    """Return the rows of a back-off that comes first for most of several stuck lifts."""
    firsts = {row["exercise"]: row for row in reversed(levers) if row["rank"] == 1}
    shared = [
        firsts[lift] for lift in lifts if lift in firsts and firsts[lift]["lever"] == Lever.BACK_OFF
    ]
    enough = len(lifts) >= COMMON_LIFTS and 2 * len(shared) >= len(lifts)
    return shared if enough else []


_TARGETS = (
    Column("reps", "Reps", numeric=False),
    Column("load", "Load", numeric=True),
    Column("range", "Likely between", numeric=True),
)


def targets_table(page: TrendsPage, lift: str) -> Block:
    """Return loads for a next session of one lift."""
    units = Units(page.unit)
    row = page.frames["status"].row(by_predicate=pl.col("exercise") == lift, named=True)
    if row["runs_ahead"]:
        return _go_on(row, units)
    known = page.frames["targets"].filter(pl.col("exercise") == lift, pl.col("load_kg") > 0)
    rows = [
        {
            "reps": str(target["reps"]),
            "load": estimate(target["load_kg"], units),
            "range": estimate_interval(target["load_low"], target["load_high"], units),
        }
        for target in known.iter_rows(named=True)
    ]
    return table(say.TARGETS_CAPTION, _TARGETS, rows, css="pl-compact", empty=say.no_target(row))


def _go_on(row: Row, units: Units) -> Block:
    told = Markup("<p>{} {}.</p>").format(say.RUNS_AHEAD, _last_set(row, units))
    return Block(told, told.striptags())


_NEXT = (
    Column("lift", "Lift"),
    Column("loads", "Load × reps"),
    Column("last", "Best set last time"),
)


def _all_targets(page: TrendsPage) -> Block:
    units = Units(page.unit)
    targets = page.frames["targets"].filter(pl.col("load_kg") > 0)
    by_lift = targets.partition_by("exercise", as_dict=True)
    rows = [
        {
            "lift": row["exercise"],
            "loads": _loads(by_lift[(row["exercise"],)], units)
            if not row["runs_ahead"]
            else "Go on from the last set",
            "last": _last_set(row, units),
        }
        for row in page.frames["status"].iter_rows(named=True)
        if (row["exercise"],) in by_lift and not row["is_old"]
    ]
    return table(say.TARGETS_CAPTION, _NEXT, rows, empty=say.NO_TARGETS, css="pl-compact")


def _loads(targets: pl.DataFrame, units: Units) -> Markup:
    return Markup(" · ").join(
        Markup('<span class="pl-rep-load">{} × {}</span>').format(
            estimate(target["load_kg"], units), target["reps"]
        )
        for target in targets.iter_rows(named=True)
    )


def _last_set(row: Row, units: Units) -> Markup:
    if row["last_load_kg"] is None:
        return Markup("")
    return set_markup(row["last_load_kg"], row["last_reps"], row["last_rir"], units)
