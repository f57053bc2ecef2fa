"""Plan against done, as a table of what went another way."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from plateline.report import sentences_work as say
from plateline.report.blocks import Block, paragraphs
from plateline.report.numbers import number
from plateline.report.tables import Column, table
from plateline.words import Role

__all__ = ["plan_table"]

Row = Mapping[str, Any]

_COLUMNS = (
    Column("lift", "Lift"),
    Column("done", "Sets done of planned", numeric=True, minor=True),
    Column("how", "What was different"),
)


def plan_table(rows: Sequence[Row]) -> Block:
    """Return the progression lifts that went another way than planned, and swaps of any.

    What was different about accessory work is said in a sentence below: a set or two of
    twenty does not need a row.
    """
    told = [(row, say.plan_lift(row)) for row in rows]
    own_row = [pair for pair in told if pair[1] and _is_main(pair[0])]
    shown = [
        {
            "lift": row["exercise"],
            "done": f"{number(row['sets_done'], 1)} of {number(row['sets_planned'], 1)}",
            "how": how,
        }
        for row, how in own_row
    ]
    others = [row for row, _ in told if not _is_main(row)]
    listing = table(
        say.PLAN_CAPTION, _COLUMNS, shown, empty=say.ALL_AS_PLANNED, css="pl-compact pl-plan"
    )
    return listing + paragraphs([say.plan_accessories(others)])


def _is_main(row: Row) -> bool:
    return row["role"] == Role.PROGRESSION or bool(row["swapped_for"])
