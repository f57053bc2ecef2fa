"""Data notes: rows that were not counted, doubts, assumptions, how often we were right."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from markupsafe import Markup

from plateline.report import sentences_data as say
from plateline.report.blocks import Block
from plateline.report.tables import Column, table

__all__ = ["bullet_list", "rejected_table"]

Row = Mapping[str, Any]

_COLUMNS = (
    Column("where", "Where"),
    Column("value", "Value"),
    Column("reason", "Why it could not be read"),
)

REJECTED_SHOWN = 10


def rejected_table(rows: Sequence[Row]) -> Block:
    """Return the rows that were rejected, with file, line, column, value and reason."""
    shown = [
        {
            "where": f"{row['source_file']}, line {row['source_line']}, column {row['column']}",
            "value": row["value"],
            "reason": row["reason"],
        }
        for row in rows[:REJECTED_SHOWN]
    ]
    return table(say.REJECTED_CAPTION, _COLUMNS, shown, css="pl-rejected")


def bullet_list(lines: Sequence[str]) -> Block:
    """Return sentences as a list."""
    kept = [line for line in lines if line]
    if not kept:
        return Block(Markup(""), "")
    items = Markup("").join(Markup("<li>{}</li>").format(line) for line in kept)
    return Block(Markup('<ul class="pl-list">{}</ul>').format(items), "\n".join(kept))
