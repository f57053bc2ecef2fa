"""Headers that are more than words for a column: a day with a unit, a place in a superset, a question."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import NamedTuple

__all__ = ["Form", "read_form"]


class Form(NamedTuple):
    """What such a header says.

    Attributes
    ----------
    columns
        What it may be.
    words
        The words in which a unit may stand.
    rest
        The day that it names besides.
    """

    columns: tuple[str, ...]
    words: str = ""
    rest: str = ""


_DATED = re.compile(r"(\d{1,4}[./-]\d{1,2}(?:[./-]\d{2,4}|\.?))[ _:-]+\(?([^\d()]+)\)?")
_PLACE = re.compile(r"[a-d] ?[1-4](?: (.+))?")
_WITHIN = re.compile(r"[(\[]([^()\[\]]+)[)\]]")

_ASKED = {
    "rpe": re.compile(r"\b(?:how hard|wie anstrengend|wie schwer war)\b"),
    "load": re.compile(
        r"\b(?:how heavy|how much weight|wie schwer|wie viel gewicht|quel poids|que peso|quanto peso|"
        r"che peso)\b"
    ),
    "reps": re.compile(r"\bhow many (?:reps|repetitions|times)\b"),
    "client": re.compile(
        r"\b(?:your name|who are you|dein name|wie hei(?:ss|ß)t|ton nom|tu nombre|il tuo nome|seu nome)\b"
    ),
}
"""Questions (without accents) that name their column by what they ask."""

_ASKING = re.compile(
    r"\b(?:what|which|how (?:many|much|long)|how|when|did|do|you|the|was|were|is|are|your|have|in|of|on|with|"
    r"today|use|used|done|train|trained|perform|performed|lift|lifted|please|per|"
    r"welche[rsn]?|wie (?:viele?|lange)|wie|wann|hast|habt|du|ihr|das|die|der|den|dein|deine|"
    r"gemacht|geschafft|trainiert|benutzt|verwendet|heute|war|waren|es|bitte|"
    r"quel(?:le)?s?|combien|comment|quand|as tu|avez vous|le|la|les|de|d|du|ton|votre|est|"
    r"que|cual|cuantas?|cuantos?|cuando|como|el|tu|su|hiciste|"
    r"quale?|quali|quanto|quanti|quante|quando|come|il|hai|fatto|"
    r"qual|quais|quantas|quantos|o|a|voce|fez)\b"
)
"""Words (without accents) that a question has around what it asks for."""


def read_form(text: str, folded: str, table: Mapping[str, tuple[str, ...]]) -> Form | None:
    """Read a header of more than words; None where it is none.

    Parameters
    ----------
    text, folded
        The header as written, and tidied.
    table
        The columns of every known word.
    """
    if dated := _DATED.fullmatch(text.strip()):
        words = dated.group(2).casefold().strip()
        return Form(table[words], words, dated.group(1)) if words in table else None
    if place := _PLACE.fullmatch(folded):
        words = place.group(1) or ""
        return Form(table.get(words, ()) if words else ("exercise",), words)
    return _question(folded, _WITHIN.search(text), table) if "?" in text else None


def _question(
    folded: str, within: re.Match[str] | None, table: Mapping[str, tuple[str, ...]]
) -> Form | None:
    """Read the question of a form: `Which exercise did you do?`, `Wie viele Wiederholungen?`."""
    inside = within.group(1).casefold().strip() if within else ""
    asked = next((c for c, pattern in _ASKED.items() if pattern.search(folded)), None)
    if asked is not None:
        return Form((asked,), inside)
    bare = " ".join(_ASKING.sub(" ", folded).split())
    found = table.get(bare) or table.get(inside)
    return Form(found, inside) if found else None
