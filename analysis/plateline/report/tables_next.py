"""Next month: loads per prescription, levers for stuck lifts, what to leave alone."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from markupsafe import Markup

from plateline.report import sentences_levers as lever_words
from plateline.report import sentences_targets as say
from plateline.report.blocks import Block, paragraphs
from plateline.report.numbers import DASH, Units
from plateline.report.tables import Column, lines, mark, quiet, table

__all__ = ["cautions_block", "levers_block", "target_table"]

Row = Mapping[str, Any]

_COLUMNS = (
    Column("lift", "Lift"),
    Column("sets", "Prescription"),
    Column("load", "Load", numeric=True),
    Column("later", "In four weeks", numeric=True),
    Column("last", "Last done"),
)


def target_table(rows: Sequence[Row], units: Units) -> Block:
    """Return the loads for next month, each prescription a row."""
    shown, before = [], None
    for row in rows:
        name = row["exercise"]
        shown.append(
            {
                "lift": lines(name, quiet(say.kind_words(row["set_kind"]))),
                "sets": say.prescription(row),
                "load": _load(row, units),
                "later": say.later_words(row, units),
                "last": say.last_done(row, units),
            }
        )
        before = name
    del before
    return table(say.TARGETS_CAPTION, _COLUMNS, shown, empty=say.NO_TARGETS, css="pl-targets")


def _load(row: Row, units: Units) -> Markup:
    if row["load"] is None:
        return lines(DASH, quiet(say.NO_TARGET))
    return lines(
        Markup("<strong>{}</strong>").format(say.on_plates(row["load"], units)),
        quiet(say.plates_interval(row, units)),
        quiet(say.jump_words(row)),
    )


def levers_block(levers: Sequence[Row], states: Mapping[str, str]) -> Block:
    """Return the levers of every stuck lift, in order, each with its evidence."""
    pieces, texts = [], []
    for exercise, by_lever in lever_words.grouped(levers):
        told = [lever_words.lever_line(points) for points in by_lever]
        items = Markup("").join(
            Markup('<li><strong>{}</strong> <span class="pl-quiet">{}</span></li>').format(do, why)
            for do, why in told
        )
        pieces.append(
            Markup('<h3>{} {}</h3><ol class="pl-levers">{}</ol>').format(
                exercise, mark(states.get(exercise)), items
            )
        )
        texts.append("\n".join([exercise, *(f"{do} {why}" for do, why in told)]))
    if not pieces:
        return paragraphs([say.NO_LEVERS])
    html = Markup('<div class="pl-advice">{}{}</div>').format(
        Markup("<p>{}</p>").format(say.LEVERS_INTRO), Markup("").join(pieces)
    )
    return Block(html, "\n\n".join([say.LEVERS_INTRO, *texts]))


def cautions_block(levers: Sequence[Row], targets: Sequence[Row]) -> Block:
    """Return the cautions that the levers and targets of this page must be shown with."""
    codes = {row["caution"] for row in levers if row["caution"]}
    told = [text for code, text in lever_words.CAUTION_WORDS.items() if code.value in codes]
    jumps = say.jumps(targets)
    return paragraphs([*told, *([jumps] if jumps else [])], "pl-caution")
