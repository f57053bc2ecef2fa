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
from plateline.report.tables_next import cautions_block, levers_block
from plateline.report.trends_loads import estimate, estimate_interval, set_markup
from plateline.words import State

if TYPE_CHECKING:
    from plateline.report.trends import TrendsPage

__all__ = ["lifts_table", "next_steps", "records_table", "targets_table"]

SPARK_DAYS = 180
"""The small pictures show the last half year of a lift."""

_STATE_P = {
    State.PROGRESSING: "p_progressing",
    State.PLATEAU: "p_plateau",
    State.DECLINING: "p_declining",
}

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
    column = _STATE_P.get(row["state"])
    if column is None or row[column] is None:
        return Markup("")
    return Markup(" ") + quiet(share(row[column]))


def _since(row: dict[str, Any]) -> str:
    if row["state"] in (State.PLATEAU, State.DECLINING) and row["since"]:
        return f"since about {day(row['since'], year=True)}"
    if row["state"] == State.UNCLEAR and row["sessions_needed"]:
        return f"about {row['sessions_needed']} more sessions would settle it"
    return ""


def _spark(sessions: pl.DataFrame | None, row: dict[str, Any]) -> Markup | None:
    if sessions is None:
        return None
    recent = sessions.filter(pl.col("date") >= row["last_date"] - dt.timedelta(days=SPARK_DAYS))
    return Markup(
        spark(
            recent["fitted_kg"].to_list(),
            x=[float(value) for value in recent["date"].cast(pl.Int32).to_list()],
            low=recent["low_kg"].to_list(),
            high=recent["high_kg"].to_list(),
            state=row["state"],
        )
    )


def _change(row: dict[str, Any]) -> Markup | None:
    if row["slope_pct_week"] is None:
        return None
    ends = f"{number(row['slope_low'], 2, sign=True)} to {number(row['slope_high'], 2, sign=True)}"
    return lines(percent(row["slope_pct_week"], 2, sign=True), quiet(ends))


def _now(row: dict[str, Any], units: Units) -> Markup | None:
    if row["strength_kg"] is None:
        return None
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
    rows = [
        {
            "record": "Best e1RM"
            if row["record"] == "best e1RM"
            else f"Most for {count(row['reps'], 'rep')}",
            "set": set_markup(row["load_kg"], row["reps"], row["rir"], units),
            "e1rm": None if row["e1rm_kg"] is None else estimate(row["e1rm_kg"], units),
            "day": day(row["date"], year=True),
            "from": where(row["source_file"], row["source_line"]),
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


_TARGETS = (
    Column("reps", "Reps", numeric=False),
    Column("load", "Load", numeric=True),
    Column("range", "Likely between", numeric=True),
)


def targets_table(page: TrendsPage, lift: str) -> Block:
    """Return loads for a next session of one lift."""
    units = Units(page.unit)
    known = page.frames["targets"].filter(pl.col("exercise") == lift, pl.col("load_kg") > 0)
    rows = [
        {
            "reps": str(row["reps"]),
            "load": estimate(row["load_kg"], units),
            "range": estimate_interval(row["load_low"], row["load_high"], units),
        }
        for row in known.iter_rows(named=True)
    ]
    return table(
        say.TARGETS_CAPTION,
        _TARGETS,
        rows,
        css="pl-compact",
        empty="The log does not yet say enough for a load.",
    )


_NEXT = (
    Column("lift", "Lift"),
    Column("loads", "Load × reps"),
)


def next_steps(page: TrendsPage) -> Block:
    """Return what to do next: levers of stuck lifts, then loads of every lift."""
    levers = page.frames["levers"].to_dicts()
    return levers_block(levers) + _all_targets(page) + cautions_block(levers, [])


def _all_targets(page: TrendsPage) -> Block:
    units = Units(page.unit)
    targets = page.frames["targets"].filter(pl.col("load_kg") > 0)
    by_lift = targets.partition_by("exercise", as_dict=True)
    rows = [
        {
            "lift": row["exercise"],
            "loads": Markup(" · ").join(
                Markup('<span class="pl-rep-load">{} × {}</span>').format(
                    estimate(target["load_kg"], units), target["reps"]
                )
                for target in by_lift[(row["exercise"],)].iter_rows(named=True)
            ),
        }
        for row in page.frames["status"].iter_rows(named=True)
        if (row["exercise"],) in by_lift
    ]
    return table(
        say.TARGETS_CAPTION,
        _NEXT,
        rows,
        empty="There is no lift to give a load for yet.",
        css="pl-compact",
    )
