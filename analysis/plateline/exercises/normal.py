"""One spelling for names that differ only in the way they are written.

Case, accents, punctuation, the trade's abbreviations ("db", "bb"), plurals and filler words
are taken away, and words for equipment, grip and posture in German, French, Spanish, Italian
and Portuguese become English ones (`words.csv`, which people can edit). The order of words is
kept here and ignored by the matcher.
"""

from __future__ import annotations

import csv
import re
import unicodedata
from functools import cache, lru_cache
from pathlib import Path

__all__ = ["compounds", "normalise", "sorted_words"]

_LETTERS = str.maketrans({"ß": "ss", "ø": "o", "ł": "l", "æ": "ae", "œ": "oe", "’": "'"})
# German spells ü as ue where the keyboard lacks it; both must come out the same.
_UMLAUTS = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue"})
# Degrees and ordinal marks: NFKC would make a letter of them.
_MARKS = str.maketrans({"°": " ", "º": " ", "ª": " "})

_FILLERS = frozenset(
    {
        *("the", "a", "an", "with", "on", "at", "of"),
        *("und", "mit", "am", "der", "die", "das", "im"),
        *("avec", "de", "du", "la", "le", "les", "au", "aux", "en"),
        *("con", "del", "el", "al", "per", "su", "ai", "alla", "della"),
        *("com", "do", "da", "na", "em"),
    }
)
_KEEP_S = frozenset({"press", "biceps", "triceps", "quadriceps", "cross", "glutes", "halteres"})
"""Words whose final s is no plural."""

_BREAKS = re.compile(r"[^\w+.]+|_+")
_APOSTROPHE = re.compile(r"(?<=[a-z])'s\b")


@cache
def _words() -> dict[str, str]:
    """Return the words that are read as other words."""
    with Path(__file__).with_name("words.csv").open(encoding="utf-8", newline="") as file:
        return {row["written"]: row["read_as"] for row in csv.DictReader(file)}


@cache
def compounds() -> dict[str, str]:
    """Return words that people write as one, and the words that they are."""
    return {word: full for word, full in _words().items() if " " in full and len(word) > 5}


@lru_cache(maxsize=65_536)
def normalise(name: str) -> str:
    """Return the name in lower case, without accents, punctuation, plurals and fillers.

    Parameters
    ----------
    name
        A name of an exercise as somebody wrote it.

    Returns
    -------
    str
        Words separated by single blanks; empty where nothing is left.

    Examples
    --------
    >>> normalise("  DB-Rows (1-arm) ")
    'dumbbell row single arm'
    >>> normalise("Rumänisches Kreuzheben") == normalise("rumaenisches  kreuzheben")
    True
    """
    text = name.lower() if name.isascii() else _plain_letters(name)
    text = _APOSTROPHE.sub("", text)
    known = _words()
    words: list[str] = []
    for raw in _BREAKS.split(text):
        word = raw.strip(".+")
        single = _singular(word)
        words.extend(known.get(word, known.get(single, single)).split())
    words = [w for i, w in enumerate(words) if i == 0 or w != words[i - 1]]
    kept = [w for w in words if w not in _FILLERS]
    return " ".join(kept or words)


def _plain_letters(name: str) -> str:
    """Return a name in lower case without accents and other marks on letters."""
    text = unicodedata.normalize("NFKC", name.translate(_MARKS)).casefold().translate(_LETTERS)
    text = unicodedata.normalize("NFC", text).translate(_UMLAUTS)
    return "".join(c for c in unicodedata.normalize("NFKD", text) if not unicodedata.combining(c))


def _singular(word: str) -> str:
    if word in _KEEP_S or len(word) < 4 or word.endswith("ss"):
        return word
    if word.endswith("ches"):
        return word[:-2]
    if word.endswith("s") and not word.endswith(("us", "is")):
        return word[:-1]
    return word


def sorted_words(normal: str) -> str:
    """Return the words of a normalised name in alphabetical order."""
    return " ".join(sorted(normal.split()))
