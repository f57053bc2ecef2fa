"""The tables of an athlete's page."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

import polars as pl
from markupsafe import Markup

from plateline.charts import spark
from plateline.report import trends_words as say
from plateline.report.blocks import Block
from plateline.report.numbers import Units, count, day, number, percent, share
from plateline.report.sentences_tables import where
from plateline.report.tables import Column, lines, mark, quiet, table
from plateline.report.trends_loads import estimate, estimate_interval, set_markup
from plateline.words import P_OF_STATE, State

if TYPE_CHECKING:
    from plateline.report.trends import TrendsPage

__all__ = ["lifts_table", "records_table"]

SPARK_DAYS = 180
"""The small pictures show the last half year of a lift."""


_LIFTS = (
    Column("lift", "Lift"),
    Column("state", "State"),
    Column("trend", "Its last half year", minor=True),
    Column("change", "Change a week", numeric=True),
    Column("now", "Strength now", numeric=True, minor=True),
    Column("last", "Last trained", minor=True),
)


def lifts_table(page: TrendsPage, *, linked: bool = False) -> Block:
    """Return every lift in a row; `linked` names lead to the picture of the lift."""
    units = Units(page.unit)
    curves = page.frames["curves"].filter(kind="session").partition_by("exercise", as_dict=True)
    rows = [
        {
            "lift": _link(place, row["exercise"]) if linked else row["exercise"],
            "state": lines(mark(row["state"]) + _chance(row), quiet(_since(row))),
            "trend": _spark(curves.get((row["exercise"],)), row),
            "change": _change(row),
            "now": _now(row, units),
            "last": day(row["last_date"], year=True),
        }
        for place, row in enumerate(page.frames["status"].iter_rows(named=True))
    ]
    return table(say.LIFTS_CAPTION, _LIFTS, rows, css="pl-compact")


def _link(place: int, name: str) -> Markup:
    return Markup('<a href="#one-lift" data-lift="{}">{}</a>').format(place, name)


def _chance(row: dict[str, Any]) -> Markup:
    column = P_OF_STATE.get(row["state"])
    if column is None or row[column] is None:
        return Markup("")
    return Markup(" ") + quiet(share(row[column]))


def _since(row: dict[str, Any]) -> str:
    if row["state"] in (State.PLATEAU, State.DECLINING):
        return say.since(row)
    if row["state"] == State.UNCLEAR and row["sessions_needed"]:
        return say.would_settle(row["sessions_needed"])
    return ""


def _spark(sessions: pl.DataFrame | None, row: dict[str, Any]) -> Markup | None:
    if sessions is None:
        return None
    recent = sessions.filter(pl.col("date") >= row["last_date"] - dt.timedelta(days=SPARK_DAYS))
    line = "observed_kg" if row["runs_ahead"] else "fitted_kg"
    return Markup(
        spark(
            recent[line].to_list(),
            x=[float(value) for value in recent["date"].cast(pl.Int32).to_list()],
            low=None if row["runs_ahead"] else recent["low_kg"].to_list(),
            high=None if row["runs_ahead"] else recent["high_kg"].to_list(),
            state=row["state"],
        )
    )


def _change(row: dict[str, Any]) -> Markup | None:
    if row["slope_pct_week"] is None or row["is_new"] or row["runs_ahead"]:
        return None
    ends = f"{say.signed(row['slope_low'])} to {say.signed(row['slope_high'])}"
    return lines(percent(row["slope_pct_week"], 2, sign=True), quiet(ends))


def _now(row: dict[str, Any], units: Units) -> Markup:
    if row["strength_kg"] is None or row["runs_ahead"]:
        return quiet(say.no_strength(row))
    words = "e1RM" if row["scale"] == "e1rm" else f"for {number(row['usual_reps'])} reps"
    return lines(
        estimate(row["strength_kg"], units),
        quiet(estimate_interval(row["strength_low"], row["strength_high"], units)),
        quiet(words),
    )


_RECORDS = (
    Column("record", "Record"),
    Column("set", "Set"),
    Column("e1rm", "e1RM", numeric=True, minor=True),
    Column("day", "Day"),
    Column("from", "From", minor=True),
)


def records_table(page: TrendsPage, lift: str) -> Block:
    """Return the records of one lift."""
    units = Units(page.unit)
    one_file = page.frames["sets"]["source_file"].n_unique() == 1
    rows = [
        {
            "record": "Best e1RM"
            if row["record"] == "best e1RM"
            else f"Most for {count(row['reps'], 'rep')}",
            "set": set_markup(row["load_kg"], row["reps"], row["rir"], units),
            "e1rm": None if row["e1rm_kg"] is None else estimate(row["e1rm_kg"], units),
            "day": day(row["date"], year=True),
            "from": f"line {row['source_line']}"
            if one_file and row["source_line"] is not None
            else where(row["source_file"], row["source_line"]),
        }
        for row in page.frames["records"].filter(exercise=lift).iter_rows(named=True)
    ]
    return table(
        say.RECORDS_CAPTION,
        _RECORDS,
        rows,
        empty="No set of this lift is a record yet.",
        css="pl-compact",
    )
