"""The closest entry of a name that is not known: told to people, and not acted upon."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from plateline.exercises.match_index import NameIndex
from plateline.exercises.normal import normalise

__all__ = ["MOST_SUGGESTIONS", "suggestions"]

SUGGESTION_SCORE = 65.0
"""Least likeness of whole names (0-100, words in any order) that is worth a suggestion."""

MOST_SUGGESTIONS = 2000
"""A log with more unknown names than this is no log of exercises; the rest get none."""

_AT_ONCE = 256
"""Names compared with all entries at once, which bounds the memory."""


def suggestions(names: Sequence[str], index: NameIndex) -> list[dict[str, Any]]:
    """Return `suggestion` and `score` of each unknown name that has an entry close enough."""
    if not names:
        return []
    from rapidfuzz import fuzz, process

    keys = list(index.exact)
    found: list[dict[str, Any]] = []
    for start in range(0, len(names), _AT_ONCE):
        written = [normalise(name) for name in names[start : start + _AT_ONCE]]
        # Words in any order, and words left out: each alone is misled where the other is not.
        whole = process.cdist(written, keys, scorer=fuzz.token_sort_ratio)
        shared = process.cdist(written, keys, scorer=fuzz.token_set_ratio)
        likeness = (whole + shared) / 2
        for row, best in zip(likeness, likeness.argmax(axis=1), strict=True):
            score = float(row[best])
            near = score >= SUGGESTION_SCORE
            entry = index.exact[keys[best]][0]
            found.append({"suggestion": entry, "score": score} if near else {})
    return found
