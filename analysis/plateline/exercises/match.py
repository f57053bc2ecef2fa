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
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import combinations, islice, product
from typing import Any

import polars as pl

from plateline.exercises.normal import compounds, normalise, sorted_words
from plateline.exercises.qualifiers import (
    EQUIPMENT_WORDS,
    ONE_SIDE_WORDS,
    PHRASES,
    QUALIFIERS,
    is_number_word,
)
from plateline.words import CATALOGUE

__all__ = ["MATCHES", "SUGGESTION_SCORE", "WORD_SIMILARITY", "annotate", "match_names"]

WORD_SIMILARITY = 0.75
"""Least likeness (1 - edits / length, transpositions one edit) at which a word that nobody
knows is read as one that the catalogue knows. Justified on labelled pairs in the tests."""

SUGGESTION_SCORE = 65.0
"""Least likeness of whole names (0-100, words in any order) that is worth a suggestion."""

_SHORTEST_MISSPELT = 4
_MOST_EDITS = 2
_LONGEST_NAME = 200
_MOST_QUALIFIERS = 8
_MOST_READINGS = 8
_SUGGESTED_AT_ONCE = 256
_MOST_SUGGESTIONS = 2000
"""A log with more unknown names than this is no log of exercises; the rest get none."""

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


@dataclass
class _Index:
    """The catalogue's names, ready to be looked up."""

    exact: dict[str, tuple[str, str]] = field(default_factory=dict)
    sorted: dict[str, tuple[str, str]] = field(default_factory=dict)
    squashed: dict[str, tuple[str, str]] = field(default_factory=dict)
    own: frozenset[str] = frozenset()  # names that the user's file lists, words sorted
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


@lru_cache(maxsize=8)
def _index(
    rows: tuple[tuple[str, tuple[str, ...], str | None, tuple[str, ...]], ...],
) -> _Index:
    index = _Index(
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


def _index_of(catalogue: pl.DataFrame) -> _Index:
    own = catalogue["own"] if "own" in catalogue.columns else None
    mine = [tuple(n or ()) for n in own.to_list()] if own is not None else [()] * catalogue.height
    aliases = [tuple(a or ()) for a in catalogue["aliases"].to_list()]
    names, kinds = catalogue["exercise"].to_list(), catalogue["equipment"].to_list()
    return _index(tuple(zip(names, aliases, kinds, mine, strict=True)))


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
    index = _index_of(catalogue)
    distinct = list(dict.fromkeys(n for n in names if n is not None))
    rows = [_match(name, index) for name in distinct]
    unknown = [
        i
        for i, row in enumerate(rows)
        if row["how"] == "unknown" and len(row["name"]) <= _LONGEST_NAME
    ][:_MOST_SUGGESTIONS]
    for i, suggestion in zip(unknown, _suggest([distinct[i] for i in unknown], index), strict=True):
        rows[i] |= suggestion
    return pl.DataFrame(rows, schema=MATCHES, orient="row")


def _row(
    name: str, entry: str | None, how: str, score: float | None, variant: str = ""
) -> dict[str, Any]:
    return {
        "name": name, "catalogue": entry, "how": how, "score": score, "suggestion": None,
        "variant": variant or None,
    }  # fmt: skip


def _match(name: str, index: _Index) -> dict[str, Any]:
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


def _said_twice(normal: str, index: _Index) -> str | None:
    """Find the entry of a name that also says what the entry is done with anyway."""
    words = normal.split()
    for i, word in enumerate(words):
        kind = EQUIPMENT_WORDS.get(word)
        found = index.find(" ".join(words[:i] + words[i + 1 :])) if kind and words[1:] else None
        if found and index.equipment.get(found[0]) == kind:
            return found[0]
    return None


def _respelt(normal: str, index: _Index) -> list[str]:
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


def _varied(name: str, normal: str, index: _Index) -> tuple[str, str] | None:
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


def _suggest(names: list[str], index: _Index) -> list[dict[str, Any]]:
    """Return the closest entry of each unknown name, where one is close enough."""
    if not names:
        return []
    from rapidfuzz import fuzz, process

    keys = list(index.exact)
    suggestions: list[dict[str, Any]] = []
    for start in range(0, len(names), _SUGGESTED_AT_ONCE):
        written = [normalise(name) for name in names[start : start + _SUGGESTED_AT_ONCE]]
        # Words in any order, and words left out: each alone is misled where the other is not.
        whole = process.cdist(written, keys, scorer=fuzz.token_sort_ratio)
        shared = process.cdist(written, keys, scorer=fuzz.token_set_ratio)
        likeness = (whole + shared) / 2
        for row, best in zip(likeness, likeness.argmax(axis=1), strict=True):
            score = float(row[best])
            near = score >= SUGGESTION_SCORE
            entry = index.exact[keys[best]][0]
            suggestions.append({"suggestion": entry, "score": score} if near else {})
    return suggestions


def annotate(exercises: Any, catalogue: pl.DataFrame) -> pl.DataFrame:
    """Say what the catalogue knows of each exercise label.

    Parameters
    ----------
    exercises
        Labels: a Series, or anything that can be iterated.
    catalogue
        From `load_catalogue`.

    Returns
    -------
    polars.DataFrame
        One row per distinct label: `exercise` (the label), `catalogue`, `how`, `score`,
        `suggestion`, `variant` (see MATCHES), then the columns of CATALOGUE after
        `aliases`. All are null where the label is unknown. A variant has the muscles of
        its entry; a variant's own words win for `equipment` ("machine", "cable", ...) and
        `laterality` ("one-arm", "single-leg").
    """
    labels = exercises.to_list() if isinstance(exercises, pl.Series) else list(exercises)
    found = match_names(labels, catalogue).rename({"name": "exercise"})
    facts = [c for c in CATALOGUE if c not in ("exercise", "aliases")]
    joined = found.join(
        catalogue.select(pl.col("exercise").alias("catalogue"), *facts),
        on="catalogue",
        how="left",
        maintain_order="left",
    )
    words = pl.col("variant").str.split(" ")
    said = pl.coalesce(
        pl.when(words.list.contains(word)).then(pl.lit(kind))
        for word, kind in EQUIPMENT_WORDS.items()
    )
    one_side = pl.any_horizontal(words.list.contains(w) for w in ONE_SIDE_WORDS).fill_null(False)
    equipment = pl.coalesce(said, "equipment")
    return joined.with_columns(
        equipment=equipment,
        laterality=pl.when(one_side & (equipment == "dumbbell"))
        .then(pl.lit("unilateral one-hand"))
        .when(one_side)
        .then(pl.lit("unilateral"))
        .otherwise("laterality"),
    )
