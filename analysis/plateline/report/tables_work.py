"""Plan against done, as a table of what went another way."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from plateline.report import sentences_work as say
from plateline.report.blocks import Block
from plateline.report.numbers import number
from plateline.report.tables import Column, table

__all__ = ["plan_table"]

Row = Mapping[str, Any]

_COLUMNS = (
    Column("lift", "Lift"),
    Column("done", "Sets done of planned", numeric=True),
    Column("how", "What was different"),
)


def plan_table(rows: Sequence[Row]) -> Block:
    """Return the lifts that went another way than planned, progression lifts first."""
    told = [(row, say.plan_lift(row)) for row in rows]
    shown = [
        {
            "lift": row["exercise"],
            "done": f"{number(row['sets_done'], 1)} of {number(row['sets_planned'], 1)}",
            "how": how,
        }
        for row, how in sorted(told, key=lambda pair: pair[0]["role"] != "progression")
        if how
    ]
    return table(say.PLAN_CAPTION, _COLUMNS, shown, empty=say.ALL_AS_PLANNED, css="pl-plan")
