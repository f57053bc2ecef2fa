"""What could not be read, how to mend the export, and what was taken for granted."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import polars as pl
from markupsafe import Markup

from plateline.report import trends_words_data as say
from plateline.report.blocks import Block, paragraphs
from plateline.report.numbers import count
from plateline.report.sentences_data import name_lines, rows_line
from plateline.report.tables import Column, table

if TYPE_CHECKING:
    from plateline.report.trends import TrendsPage

__all__ = ["data_notes"]

_REJECTED = (
    Column("where", "Where"),
    Column("column", "Column"),
    Column("value", "Value"),
    Column("reason", "Why, and what would be accepted"),
)


def data_notes(page: TrendsPage) -> Block:
    """Return the account of the rows, the rejected ones, and the assumptions."""
    rejected = page.frames["rejected"]
    counted = "rows" in page.account
    line = say.account_line(page.account) if counted else rows_line(len(rejected), None)
    block = paragraphs([line])
    if len(rejected):
        block += _rejected_table(rejected) + _listed("To mend the export", say.fix_lines(rejected))
    assumptions = page.account.get("assumptions")
    told = list(assumptions) if isinstance(assumptions, Sequence) else []
    told += name_lines(page.frames["names"].to_dicts()) + say.body_mass_lines(page.frames["status"])
    return block + _listed("What was taken for granted", [str(line) for line in told])


def _rejected_table(rejected: pl.DataFrame) -> Block:
    shown = rejected.head(say.SHOWN_REJECTED)
    rows = [
        {
            "where": f"{row['source_file']} line {row['source_line']}",
            "column": row["column"],
            "value": row["value"],
            "reason": row["reason"],
        }
        for row in shown.iter_rows(named=True)
    ]
    block = table(say.REJECTED_CAPTION, _REJECTED, rows)
    left = len(rejected) - len(shown)
    if left:
        block += paragraphs([f"{count(left, 'more row')}; plateline intake writes them all."])
    return block


def _listed(heading: str, lines: Sequence[str]) -> Block:
    if not lines:
        return paragraphs([])
    items = Markup("").join(Markup("<li>{}</li>").format(line) for line in lines)
    html = Markup('<h3 class="pl-head">{}</h3><ul>{}</ul>').format(heading, items)
    return Block(html, "\n".join([heading, *(f"- {line}" for line in lines)]))
