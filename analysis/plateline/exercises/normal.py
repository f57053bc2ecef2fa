"""One spelling for names that differ only in the way they are written.

Case, accents, punctuation, the trade's abbreviations ("db", "bb", "sl"), plurals and
filler words are taken away; the order of words is kept here and ignored by the matcher.
"""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

__all__ = ["COMPOUNDS", "normalise", "sorted_words"]

_LETTERS = str.maketrans({"ß": "ss", "ø": "o", "ł": "l", "æ": "ae", "œ": "oe", "’": "'"})
# German spells ü as ue where the keyboard lacks it; both must come out the same.
_UMLAUTS = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue"})

_WORDS = {
    "db": "dumbbell", "dbs": "dumbbell", "dumbell": "dumbbell", "dumbells": "dumbbell",
    "dumbel": "dumbbell", "dumbbel": "dumbbell",
    "bb": "barbell", "barbel": "barbell", "kb": "kettlebell", "bw": "bodyweight",
    "sm": "smith machine", "smith": "smith machine", "mc": "machine",
    "rdl": "romanian deadlift", "rdls": "romanian deadlift", "sldl": "stiff leg deadlift",
    "dl": "deadlift", "ohp": "overhead press", "bp": "bench press",
    "tri": "triceps", "tris": "triceps", "tricep": "triceps", "bi": "biceps", "bicep": "biceps",
    "ext": "extension", "exts": "extension", "inc": "incline",
    "decl": "decline", "incl": "incline", "ham": "hamstring", "hams": "hamstring",
    "hammy": "hamstring", "abs": "ab",
    "legged": "leg", "armed": "arm", "handed": "hand", "gripped": "grip",
    "flye": "fly", "flyes": "fly", "flies": "fly", "flys": "fly",
    "uni": "single", "unilateral": "single", "one": "single", "1": "single",
    "mach": "machine",
    "w": "with", "ups": "up", "pres": "press", "inclined": "incline", "declined": "decline",
    "splitsquat": "split squat", "splitsquats": "split squat", "facepull": "face pull",
    "facepulls": "face pull", "alt": "alternating", "pushups": "push up", "pullups": "pull up",
    "pushup": "push up", "pullup": "pull up", "chinup": "chin up", "chinups": "chin up",
    "situp": "sit up", "situps": "sit up", "stepup": "step up", "stepups": "step up",
    "pulldown": "pull down", "pulldowns": "pull down", "pushdown": "push down",
    "pushdowns": "push down", "pressdown": "press down", "pressdowns": "press down",
    "benchpress": "bench press", "deadlifts": "deadlift", "legpress": "leg press",
    "legcurl": "leg curl", "legcurls": "leg curl", "skullcrusher": "skull crusher",
    "skullcrushers": "skull crusher", "calfraise": "calf raise", "hipthrust": "hip thrust",
    "hipthrusts": "hip thrust", "backsquat": "back squat", "frontsquat": "front squat",
}  # fmt: skip
"""The trade's abbreviations and the usual misspellings, each as whole words."""

COMPOUNDS = {word: full for word, full in _WORDS.items() if " " in full and len(word) > 5}
"""Words that people write as one, and the words that they are."""

_FILLERS = frozenset({"the", "a", "an", "with", "on", "at", "of", "und", "mit", "am", "der"})
_KEEP_S = frozenset(
    {
        "press",
        "biceps",
        "triceps",
        "quadriceps",
        "abs",
        "cross",
        "glutes",
        "bus",
        "presse",
    }
)
"""Words whose final s is no plural."""

_BREAKS = re.compile(r"[^\w+.]+|_+")
_APOSTROPHE = re.compile(r"(?<=[a-z])'s\b")


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
    text = unicodedata.normalize("NFKC", name).casefold().translate(_LETTERS)
    text = unicodedata.normalize("NFC", text).translate(_UMLAUTS)
    text = "".join(c for c in unicodedata.normalize("NFKD", text) if not unicodedata.combining(c))
    text = _APOSTROPHE.sub("", text)
    words: list[str] = []
    for raw in _BREAKS.split(text):
        word = raw.strip(".+")
        words.extend(_WORDS.get(word, word).split())
    words = [w for i, w in enumerate(words) if i == 0 or w != words[i - 1]]
    singular = [_singular(w) for w in words]
    kept = [w for w in singular if w not in _FILLERS]
    return " ".join(kept or singular)


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
