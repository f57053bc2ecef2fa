"""The catalogue's names, ready to be looked up."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache

import polars as pl

from plateline.exercises.normal import compounds, normalise, sorted_words
from plateline.exercises.qualifiers import QUALIFIERS

__all__ = ["NameIndex", "index_of"]


@dataclass
class NameIndex:
    """The catalogue's names, ready to be looked up.

    Attributes
    ----------
    exact, sorted, squashed
        Normalised name -> (entry, how): as it is, its words in alphabetical order, without blanks.
    own
        Names that the user's file lists, words sorted.
    equipment
        Of each entry.
    known
        Words that no one can have misspelt: those of names, and those that make variants.
    words
        What a misspelt word may be meant for.
    """

    exact: dict[str, tuple[str, str]] = field(default_factory=dict)
    sorted: dict[str, tuple[str, str]] = field(default_factory=dict)
    squashed: dict[str, tuple[str, str]] = field(default_factory=dict)
    own: frozenset[str] = frozenset()
    equipment: dict[str, str | None] = field(default_factory=dict)
    known: frozenset[str] = frozenset()
    words: tuple[str, ...] = ()

    def find(self, normal: str) -> tuple[str, str] | None:
        """Return (entry, how) of a normalised name, with its words in any order."""
        return (
            self.exact.get(normal)
            or self.sorted.get(sorted_words(normal))
            or self.squashed.get(normal.replace(" ", ""))
        )


_Entry = tuple[str, tuple[str, ...], str | None, tuple[str, ...]]
"""Name, aliases, equipment, and the names that the user's file lists."""


def index_of(catalogue: pl.DataFrame) -> NameIndex:
    """Return the index of a catalogue; that of one with the same names is made once."""
    own = catalogue["own"] if "own" in catalogue.columns else None
    mine = [tuple(n or ()) for n in own.to_list()] if own is not None else [()] * catalogue.height
    aliases = [tuple(a or ()) for a in catalogue["aliases"].to_list()]
    names, kinds = catalogue["exercise"].to_list(), catalogue["equipment"].to_list()
    return _index(tuple(zip(names, aliases, kinds, mine, strict=True)))


@lru_cache(maxsize=8)
def _index(rows: tuple[_Entry, ...]) -> NameIndex:
    index = NameIndex(
        own=frozenset(sorted_words(normalise(n)) for *_, mine in rows for n in mine),
        equipment={name: equipment for name, _, equipment, _ in rows},
    )
    # The user's own rows first, then names, then aliases: the first to claim a name has it.
    ordered = sorted(rows, key=lambda row: not row[3])
    unclear: set[str] = set()
    for how in ("name", "alias"):
        for name, aliases, _, _ in ordered:
            for written in (name,) if how == "name" else aliases:
                normal = normalise(written)
                if normal:
                    index.exact.setdefault(normal, (name, how))
                    key = sorted_words(normal)
                    # "low to high" and "high to low": words that only their order tells apart.
                    if index.sorted.setdefault(key, (name, how))[0] != name:
                        unclear.add(key)
                    index.squashed.setdefault(normal.replace(" ", ""), (name, how))
    for key in unclear - index.exact.keys():
        if key not in index.own:
            del index.sorted[key]
    index.known = frozenset(w for normal in index.exact for w in normal.split()) | QUALIFIERS
    index.words = tuple(sorted(index.known | compounds().keys()))
    return index
