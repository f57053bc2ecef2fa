"""The folded table of more numbers, below load, readiness and body mass."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from markupsafe import Markup

from plateline.report import sentences_closer as say
from plateline.report.blocks import Block, paragraphs
from plateline.report.numbers import fixed
from plateline.report.tables import Column, table

__all__ = ["closer_block"]

Row = Mapping[str, Any]

_COLUMNS = (
    Column("lift", "Lift"),
    Column("relative", "Estimated 1RM", numeric=True),
    Column("points", "Points", numeric=True),
    Column("balance", "Load against results", numeric=True),
    Column("held", "Back-off reps", numeric=True),
)


def closer_block(rows: Sequence[Row], fits: Sequence[Row], sex: str | None) -> Block:
    """Return a folded part of the page: a table of lifts and a few sentences.

    Parameters
    ----------
    rows
        From `closer.closer_rows`.
    fits
        From `closer.fitness_and_fatigue`.
    sex
        `f`, `m` or something else: which formula the points were worked out with.
    """
    shown = [_cells(row) for row in rows]
    columns = [
        column
        for column in _COLUMNS
        if column.key == "lift" or any(cells[column.key] is not None for cells in shown)
    ]
    if len(columns) == 1:
        return paragraphs(say.modelled(fits))
    inside = (
        table(say.CAPTION, columns, shown, css="pl-compact pl-closer")
        + paragraphs(say.how(rows, sex), "pl-quiet")
        + paragraphs(say.modelled(fits), "pl-quiet")
    )
    html = Markup('<details class="pl-more"><summary>{}</summary>{}</details>').format(
        say.SUMMARY, inside.html
    )
    return Block(html, f"{say.SUMMARY}\n\n{inside.text}")


def _cells(row: Row) -> dict[str, str | None]:
    relative = row["per_body_mass"]
    return {
        "lift": row["exercise"],
        "relative": None if relative is None else f"{fixed(relative)} × body mass",
        "points": None if row["points"] is None else fixed(row["points"], 1),
        "balance": None if row["performance_ratio"] is None else fixed(row["performance_ratio"]),
        "held": None if row["back_off_ratio"] is None else fixed(row["back_off_ratio"]),
    }
