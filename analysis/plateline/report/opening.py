"""The first screen: whose month, the coach's note, three sentences, and the decision."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Mapping, Sequence
from typing import Any

from markupsafe import Markup

from plateline.report import sentences as say
from plateline.report.blocks import Block
from plateline.report.months import month_name
from plateline.report.numbers import Units
from plateline.report.sentences_stuck import stuck

__all__ = ["display_name", "note_block", "opening_block"]

Row = Mapping[str, Any]


def display_name(facts: Row) -> str:
    """Return the name a person goes by: the clients file's, else the id."""
    return facts.get("name") or facts["client"]


def note_block(note: str) -> Block:
    """Return the coach's own words as plain paragraphs; nothing in them is read as markup.

    Blank lines part paragraphs, and lines that start with `-` or `*` become a list: that
    much of Markdown people write without thinking of it.
    """
    pieces, texts = [], []
    for chunk in re.split(r"\n\s*\n", note.strip()):
        kept = [line.strip() for line in chunk.splitlines() if line.strip()]
        if not kept:
            continue
        if all(re.match(r"[-*]\s+", line) for line in kept):
            items = Markup("").join(
                Markup("<li>{}</li>").format(re.sub(r"^[-*]\s+", "", line)) for line in kept
            )
            pieces.append(Markup("<ul>{}</ul>").format(items))
        else:
            pieces.append(Markup("<p>{}</p>").format(" ".join(kept)))
        texts.append("\n".join(kept))
    if not pieces:
        return Block(Markup(""), "")
    html = Markup('<aside class="pl-note" aria-label="{}">{}</aside>').format(
        say.NOTE_LABEL, Markup("").join(pieces)
    )
    return Block(html, "\n\n".join(texts))


def opening_block(
    facts: Row,
    lifts: Sequence[Row],
    month: dt.date,
    units: Units,
    *,
    note: str,
    in_the_way: str,
    decision: str,
    urgency: str,
    figures: Sequence[tuple[str, str]],
) -> Block:
    """Return the first screen of a client's page.

    Parameters
    ----------
    facts
        The client's row of the `clients` frame.
    lifts
        The client's rows of the `lifts` frame, most in need of attention first.
    month
        First day of the month.
    units
        The client's unit.
    note
        The coach's own words; may be empty.
    in_the_way, decision
        The third sentence, and what to decide.
    urgency
        `decide`, `watch` or `carry on`: the class of the decision line.
    figures
        The month in a few figures: what each is, and the figure.
    """
    heading = f"{display_name(facts)}, {month_name(month)}"
    told = [say.moved(lifts, month, units), stuck(lifts), in_the_way]
    told = [sentence for sentence in told if sentence]
    words = note_block(note)
    html = Markup(
        '<header class="pl-opening"><h1>{}</h1><p class="pl-meta">{}</p>{}'
        '<div><div class="pl-lead">{}</div>'
        '<p class="pl-decision pl-decision-{}"><strong>{}</strong> {}</p></div>'
        '<dl class="pl-facts">{}</dl></header>'
    ).format(
        heading,
        say.subtitle(facts, month, units),
        words.html,
        Markup("").join(Markup("<p>{}</p>").format(sentence) for sentence in told),
        urgency.replace(" ", "-"),
        say.DECISION_LABEL,
        decision,
        Markup("").join(
            Markup("<div><dt>{}</dt><dd>{}</dd></div>").format(*pair) for pair in figures
        ),
    )
    text = [heading, say.subtitle(facts, month, units), words.text, *told]
    return Block(html, "\n\n".join([*filter(None, text), f"{say.DECISION_LABEL} {decision}"]))
