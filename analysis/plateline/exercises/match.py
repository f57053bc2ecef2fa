"""Names of exercises as people write them, matched to the catalogue.

In this order: the catalogue's own name; an alias; the same after misspelt words are put
right; a variant (the name says more than the catalogue's, in words that qualify a lift:
bands, chains, grip, machine, deficit, paused, one arm, tempo). What is left is unknown:
kept as itself, with the closest entry as a suggestion that is not acted upon.

Misspellings are judged word by word. A word that the catalogue knows is never taken for a
misspelling of another one, so "front squat" cannot become "back squat", however alike.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from itertools import combinations, islice, product
from typing import Any

import polars as pl

from plateline.exercises.match_index import NameIndex, index_of
from plateline.exercises.normal import compounds, normalise, sorted_words
from plateline.exercises.qualifiers import EQUIPMENT_WORDS, PHRASES, QUALIFIERS, is_number_word
from plateline.exercises.suggest import MOST_SUGGESTIONS, suggestions

__all__ = ["match_names"]

WORD_SIMILARITY = 0.75
"""Least likeness (1 - edits / length, transpositions one edit) at which a word that nobody
knows is read as one that the catalogue knows. Justified on labelled pairs in the tests."""

_SHORTEST_MISSPELT, _MOST_EDITS = 4, 2
"""Shorter words are like too many others, and more slips make another word."""

_LONGEST_NAME = 200
_MOST_QUALIFIERS = 8
_MOST_READINGS = 8
"""Characters, qualifying words and readings of a name, which bound the time that it takes."""

MATCHES: dict[str, Any] = {
    "name": pl.String,
    "catalogue": pl.String,
    "how": pl.String,
    "score": pl.Float64,
    "suggestion": pl.String,
    "variant": pl.String,
}
"""One row per distinct name. `how` is `own` (the user's exercises file lists it), `name`,
`alias`, `spelling` (words put right), `variant` or `unknown`; `score` is 100 for a name or
alias, else the likeness of what was written; `variant` holds the qualifying words."""

_BRACKETS = re.compile(r"[(\[{]([^)\]}]*)[)\]}]")


def match_names(names: Iterable[str], catalogue: pl.DataFrame) -> pl.DataFrame:
    """Read names of exercises as entries of the catalogue.

    Parameters
    ----------
    names
        Names as written; each distinct one is looked at once.
    catalogue
        From `load_catalogue`.

    Returns
    -------
    polars.DataFrame
        MATCHES: `name, catalogue, how, score, suggestion, variant`, one row per distinct
        name in the order of first sight; `catalogue` is null where `how` is `unknown`.

    Notes
    -----
    A match says that two names mean the same movement and gives the entry's muscles; a
    variant has those muscles too but stays a lift of its own.
    """
    index = index_of(catalogue)
    distinct = list(dict.fromkeys(n for n in names if n is not None))
    rows = [_match(name, index) for name in distinct]
    unknown = [
        i
        for i, row in enumerate(rows)
        if row["how"] == "unknown" and len(row["name"]) <= _LONGEST_NAME
    ][:MOST_SUGGESTIONS]
    for i, suggestion in zip(
        unknown, suggestions([distinct[i] for i in unknown], index), strict=True
    ):
        rows[i] |= suggestion
    return pl.DataFrame(rows, schema=MATCHES, orient="row")


def _row(
    name: str, entry: str | None, how: str, score: float | None, variant: str = ""
) -> dict[str, Any]:
    return {
        "name": name, "catalogue": entry, "how": how, "score": score, "suggestion": None,
        "variant": variant or None,
    }  # fmt: skip


def _match(name: str, index: NameIndex) -> dict[str, Any]:
    normal = normalise(name) if len(name) <= _LONGEST_NAME else ""
    if not normal:
        return _row(name, None, "unknown", None)
    found = index.find(normal)
    if found:
        is_own = sorted_words(normal) in index.own
        return _row(name, found[0], "own" if is_own else found[1], 100.0)
    if found := _said_twice(normal, index):
        return _row(name, found, "alias", 100.0)
    from rapidfuzz import fuzz  # only now: a log of known names does without its import

    readings = _respelt(normal, index)
    hits = {found[0]: r for r in readings if (found := index.find(r))}
    if len(hits) == 1:
        entry, reading = hits.popitem()
        return _row(name, entry, "spelling", fuzz.ratio(normal, reading))
    varied = {v: r for r in readings if (v := _varied(name, r, index))}
    if not hits and len(varied) == 1:
        (entry, variant), reading = varied.popitem()
        return _row(name, entry, "variant", fuzz.ratio(normal, reading), variant)
    return _row(name, None, "unknown", None)


def _said_twice(normal: str, index: NameIndex) -> str | None:
    """Find the entry of a name that also says what the entry is done with anyway."""
    words = normal.split()
    for i, word in enumerate(words):
        kind = EQUIPMENT_WORDS.get(word)
        found = index.find(" ".join(words[:i] + words[i + 1 :])) if kind and words[1:] else None
        if found and index.equipment.get(found[0]) == kind:
            return found[0]
    return None


def _respelt(normal: str, index: NameIndex) -> list[str]:
    """Put right each word that nobody knows; return every reading that is equally likely.

    A name whose words are all known has one reading, itself.
    """
    from rapidfuzz import process
    from rapidfuzz.distance import OSA

    options: list[list[str]] = []
    for word in normal.split():
        if word in index.known or len(word) < _SHORTEST_MISSPELT or is_number_word(word):
            options.append([word])
            continue
        close = process.extract(
            word, index.words, scorer=OSA.normalized_similarity,
            score_cutoff=WORD_SIMILARITY, limit=_MOST_READINGS,
        )  # fmt: skip
        best = [
            w
            for w, score, _ in close
            if score == close[0][1] and OSA.distance(word, w) <= _MOST_EDITS
        ]
        options.append([compounds().get(w, w) for w in best] or [word])
    return [" ".join(words) for words in islice(product(*options), _MOST_READINGS)]


def _varied(name: str, normal: str, index: NameIndex) -> tuple[str, str] | None:
    """Find the entry that is left when the fewest qualifying words are taken away."""
    for phrase, token in PHRASES:
        normal = re.sub(rf"\b{phrase}\b", token, normal)
    asides = {
        w for aside in _BRACKETS.findall(name) for w in normalise(aside).split()
    }  # What stands in brackets qualifies, whatever it says.
    words = normal.split()
    removable = [
        i for i, w in enumerate(words) if w in QUALIFIERS or w in asides or is_number_word(w)
    ]
    if len(removable) > _MOST_QUALIFIERS:
        return None
    for count in range(1, len(removable) + 1):
        hits = []
        for gone in combinations(removable, count):
            rest = " ".join(w for i, w in enumerate(words) if i not in gone)
            found = index.find(rest) if rest else None
            if found:
                hits.append((found[0], " ".join(sorted(words[i] for i in gone))))
        if hits:
            return min(hits)
    return None
