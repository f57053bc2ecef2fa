"""The tables of lifts: progression lifts by strength, accessory lifts by work done."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping, Sequence
from typing import Any

import polars as pl
from markupsafe import Markup

from plateline.charts import spark
from plateline.report import sentences_tables as say
from plateline.report.blocks import Block
from plateline.report.numbers import DASH, Units, day, fixed, interval, number, percent, share
from plateline.report.tables import Column, lines, mark, quiet, table
from plateline.words import P_OF_STATE

__all__ = ["accessory_table", "lift_table", "records_table", "spark_of"]

Row = Mapping[str, Any]

# A word-sized picture shows the recent past: longer, and a month is a few pixels.
SPARK_DAYS = 120


_LIFT_COLUMNS = (
    Column("lift", "Lift"),
    Column("state", "State"),
    Column("trend", "Last four months"),
    Column("change", "This month", numeric=True),
    Column("now", "Strength now", numeric=True),
    Column("best", "Best set of the month"),
)


def spark_of(row: Row, curves: pl.DataFrame, last: dt.date) -> Markup:
    """Return the small trend picture of a lift, from its rows of LIFT_CURVES."""
    shown = curves.filter(
        pl.col("kind") == "session", pl.col("date") >= last - dt.timedelta(days=SPARK_DAYS)
    )
    drawn = spark(
        shown["fitted_kg"].to_list(),
        x=[float(value) for value in shown["date"].cast(pl.Int32).to_list()],
        low=shown["low_kg"].to_list(),
        high=shown["high_kg"].to_list(),
        state=row["state"],
        label=say.spark_label(row),
    )
    return Markup(drawn)


def lift_table(lifts: Sequence[Row], curves: pl.DataFrame, units: Units, last: dt.date) -> Block:
    """Return the table of progression lifts, most in need of attention first."""
    by_lift = curves.partition_by("exercise", as_dict=True)
    rows = [
        {
            "lift": lines(row["exercise"], quiet(say.records_words(row["records_month"]))),
            "state": lines(mark(row["state"]) + _probability(row), quiet(say.state_reason(row))),
            "trend": spark_of(row, by_lift[(row["exercise"],)], last)
            if (row["exercise"],) in by_lift
            else None,
            "change": _change(row, units),
            "now": _now(row, units),
            "best": _best(row, units),
        }
        for row in lifts
    ]
    return table(
        say.LIFTS_CAPTION, _LIFT_COLUMNS, rows, empty=say.NO_PROGRESSION_LIFT, css="pl-lifts"
    )


def _probability(row: Row) -> Markup:
    column = P_OF_STATE.get(row["state"])
    if column is None or row[column] is None:
        return Markup("")
    return Markup(' <span class="pl-quiet">{}</span>').format(share(row[column]))


def _change(row: Row, units: Units) -> Markup:
    if row["change_pct"] is None:
        return Markup(DASH)
    return lines(
        percent(row["change_pct"], sign=True),
        quiet(interval(row["change_low"], row["change_high"], 1, "%")),
        quiet(say.change_in_unit(row, units)),
    )


def _now(row: Row, units: Units) -> Markup:
    if row["strength_kg"] is None:
        return lines(DASH, quiet(row["reason"]))
    return lines(
        units.estimate(row["strength_kg"]),
        quiet(units.estimate_interval(row["strength_low"], row["strength_high"])),
        quiet(say.scale_words(row)),
    )


def _best(row: Row, units: Units) -> Markup:
    if row["best_date"] is None:
        return quiet(say.not_trained(row))
    return lines(
        say.set_words(units, row["best_load_kg"], row["best_reps"], row["best_rir"]),
        quiet(
            f"{day(row['best_date'])}, {say.where(row['best_source_file'], row['best_source_line'])}"
        ),
    )


_ACCESSORY_COLUMNS = (
    Column("lift", "Lift"),
    Column("sets", "Hard sets", numeric=True),
    Column("reps", "Reps a set", numeric=True),
    Column("work", "Volume-load", numeric=True),
    Column("held", "Reps held over rounds", numeric=True, minor=True),
    Column("feel", "Felt (1 to 5)", numeric=True, minor=True),
)


def accessory_table(rows: Sequence[Row], units: Units) -> Block:
    """Return the table of accessory lifts: work this month against last month."""
    shown = [
        {
            "lift": row["exercise"],
            "sets": _against(row["hard_sets"], row["hard_sets_before"], number),
            "reps": _against(row["reps_a_set"], row["reps_a_set_before"], fixed),
            "work": lines(
                units.work(row["volume_load_kg"]) if row["volume_load_kg"] else DASH,
                quiet(say.against(row["volume_load_kg"], row["volume_load_before"])),
            ),
            "held": None if row["reps_held"] is None else share(row["reps_held"]),
            "feel": None if row["feel"] is None else fixed(row["feel"], 1),
        }
        for row in rows
    ]
    columns = [
        column
        for column in _ACCESSORY_COLUMNS
        if not column.minor or any(row[column.key] is not None for row in shown)
    ]
    held = any(column.key == "held" for column in columns)
    return table(
        say.ACCESSORY_CAPTION + (say.HELD_HOW if held else ""),
        columns,
        shown,
        empty=say.NO_ACCESSORY_LIFT,
        css="pl-compact pl-accessory",
    )


def _against(
    value: float | None, before: float | None, told: Callable[[float | None, int], str]
) -> Markup:
    if value is None:
        return Markup(DASH)
    return lines(told(value, 1), quiet("" if before is None else f"{told(before, 1)} before"))


_RECORD_COLUMNS = (
    Column("lift", "Lift"),
    Column("set", "Set"),
    Column("record", "Record"),
    Column("where", "In the log", minor=True),
)


def records_table(records: Sequence[Row], lifts: Sequence[Row], units: Units) -> Block:
    """Return the month's records, a row a lift: the set that tells most, and how many more.

    The set of the best estimated one-repetition maximum tells most; else the newest does.
    """
    by_lift: dict[str, list[Row]] = {}
    for record in records:
        by_lift.setdefault(record["exercise"], []).append(record)
    rows = []
    for lift in lifts:
        mine = by_lift.get(lift["exercise"])
        if not mine:
            continue
        top = next((row for row in mine if row["record"] == "best e1RM"), mine[0])
        same = [row for row in mine if _place(row) == _place(top)]
        rows.append(
            {
                "lift": lift["exercise"],
                "set": lines(
                    say.set_words(units, top["load_kg"], top["reps"], top["rir"]),
                    quiet(say.more_records(len(mine) - len(same))),
                ),
                "record": say.listed([say.record_words(row, units) for row in same]),
                "where": f"{day(top['date'])}, {say.where(*_place(top))}",
            }
        )
    return table(
        say.RECORDS_CAPTION,
        _RECORD_COLUMNS,
        rows,
        empty=say.NO_RECORDS,
        css="pl-compact pl-records",
    )


def _place(row: Row) -> tuple[str, int]:
    return row["source_file"], row["source_line"]
