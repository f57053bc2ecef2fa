"""Next month: loads per prescription, levers for stuck lifts, what to leave alone."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from markupsafe import Markup

from plateline.report import sentences_levers as lever_words
from plateline.report import sentences_pain as pain_words
from plateline.report import sentences_targets as say
from plateline.report.blocks import Block, paragraphs
from plateline.report.numbers import Units
from plateline.report.tables import Column, lines, mark, quiet, table
from plateline.report.tables_data import bullet_list
from plateline.words import SetKind

__all__ = ["cautions_block", "levers_block", "pain_block", "swaps_block", "target_table"]

Row = Mapping[str, Any]


_IN_ORDER = (SetKind.TOP, SetKind.BACK_OFF, SetKind.WORKING, SetKind.DROP)


def pain_block(notes: Sequence[Row]) -> Block:
    """Return the notes that speak of pain, as written; nothing where none does."""
    if not notes:
        return paragraphs([])
    told = bullet_list(pain_words.pain_lines(notes))
    html = Markup('<h3>{}</h3>{}<p class="pl-caution">{}</p>').format(
        pain_words.PAIN_LABEL, told.html, pain_words.PAIN_CAUTION
    )
    return Block(html, "\n".join([pain_words.PAIN_LABEL, told.text, pain_words.PAIN_CAUTION]))


def target_table(rows: Sequence[Row], units: Units) -> Block:
    """Return the loads for next month: a row a lift, a column a kind of set."""
    kinds = [kind for kind in _IN_ORDER if any(row["set_kind"] == kind for row in rows)]
    columns = [Column("lift", "Lift")]
    columns += [Column(kind.value, say.kind_words(kind)) for kind in kinds]
    by_lift: dict[str, list[Row]] = {}
    for row in rows:
        by_lift.setdefault(row["exercise"], []).append(row)
    shown = [
        {"lift": exercise} | {row["set_kind"]: _load(row, units) for row in mine}
        for exercise, mine in by_lift.items()
    ]
    return table(say.TARGETS_CAPTION, columns, shown, empty=say.NO_TARGETS, css="pl-targets")


def _load(row: Row, units: Units) -> Markup:
    load = say.no_load(row) if row["load"] is None else say.on_plates(row["load"], units)
    return lines(
        Markup("<strong>{}</strong> {}").format(load, say.prescription(row)),
        quiet(say.plates_interval(row, units)),
        quiet(say.last_done(row, units)),
        quiet(say.later_words(row, units)),
    )


def levers_block(levers: Sequence[Row], *, stuck: bool = False) -> Block:
    """Return the levers of every stuck lift, in order, each with its evidence.

    Without any it is said that nothing is stuck, or, where some lift is (`stuck`), that it was
    trained too seldom.
    """
    pieces, texts = [], []
    for advice in lever_words.grouped(levers):
        items = Markup("").join(
            Markup('<li><strong>{}</strong> <span class="pl-quiet">{}</span></li>').format(do, why)
            for do, why in advice.levers
        )
        names = say.listed(advice.lifts)
        pieces.append(
            Markup('<h3>{} {}</h3><ol class="pl-levers">{}</ol>').format(
                names, mark(advice.state), items
            )
        )
        texts.append("\n".join([names, *(f"{do} {why}" for do, why in advice.levers)]))
    if not pieces:
        return paragraphs([say.SELDOM_STUCK if stuck else say.NO_LEVERS])
    html = Markup('<div class="pl-advice">{}{}</div>').format(
        Markup("<p>{}</p>").format(say.LEVERS_INTRO), Markup("").join(pieces)
    )
    return Block(html, "\n\n".join([say.LEVERS_INTRO, *texts]))


def swaps_block(swaps: Sequence[Row]) -> Block:
    """Return the accessory lifts that another one should stand in for, each with its reason."""
    if not swaps:
        return paragraphs([])
    told = [lever_words.swap(row) for row in swaps]
    items = Markup("").join(Markup("<li>{}</li>").format(text) for text in told)
    html = Markup('<h3>{}</h3><ul class="pl-levers">{}</ul>').format(say.SWAPS_LABEL, items)
    return Block(html, "\n".join([say.SWAPS_LABEL, *told]))


def cautions_block(levers: Sequence[Row], targets: Sequence[Row]) -> Block:
    """Return the cautions that the levers and targets of this page must be shown with."""
    codes = {row["caution"] for row in levers if row["caution"]}
    told = [text for code, text in lever_words.CAUTION_WORDS.items() if code.value in codes]
    jumps = say.jumps(targets)
    kept = [*told, *([jumps] if jumps else [])]
    if not kept:
        return paragraphs([])
    inside = paragraphs(kept)
    return Block(Markup('<div class="pl-caution">{}</div>').format(inside.html), inside.text)
