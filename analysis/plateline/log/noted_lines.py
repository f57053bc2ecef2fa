"""Read one line of a note: sets, or exercises with their sets."""

from __future__ import annotations

import re
from functools import lru_cache

from plateline.log.kinds import is_kind_word, kind_label
from plateline.log.notation import parse_sets
from plateline.log.values import BODY, SetsRefused, Unreadable

__all__ = [
    "LONGEST_LINE",
    "is_body_mass",
    "lifts_of",
    "own_sets",
    "reads_as_sets",
    "without_number",
]

_SET_NUMBER = re.compile(
    r"^(?:set|satz|série|serie|s|st)\.?\s*#?\d{1,2}\s*[:.)\-–]?\s+|^\d{1,2}\s*[.):]\s+",
    re.IGNORECASE,
)
_SET_RANGE = re.compile(
    r"(?:(?:sets?|sätze|satz|séries?|series?|serie)\s*)?(\d{1,2})\s*-\s*(\d{1,2})\s*[:.)]\s*"
    r"(\d[\d.,]*\s*(?:kg|lbs?)?\s*[x×]\s*\d+)",
    re.IGNORECASE,
)
"""Sets in a row that were equal: `Set 1-3: 100x5`."""
_STARTS_SETS = re.compile(
    r"[+-]?\d|\((?=\d)|#\s*\d|@\s*\d|x\s*\d|bw(?![a-wyz])|body|w(?:u|arm-?up)?[ :]|top[ :]|bo[ :]|"
    rf"{BODY}(?![a-zà-ÿ])",
    re.IGNORECASE,
)
_BODY_KG = re.compile(r"KG(?![A-WYZa-wyz])")
"""German for body mass (Körpergewicht), where no number stands before it."""
_JOINING = r"(?:then|tempo|drop|top|back|warm|bo|wu|w|d|ts|ds|bw|and|und|rpe|rir|body|kg|lb|lbs|reps?|sets?|x|f|fail)"
_BETWEEN_LIFTS = re.compile(
    rf"\s*[;|\n]\s*|\s*,\s*(?=(?!{_JOINING}\b)[^\W\d_]{{3,}})", re.IGNORECASE
)
_BETWEEN_PAIRS = re.compile(
    rf"\s*[;|\n]\s*|(?:\s*,\s*|(?<=[\d)%gbFf])\s+[+&/]\s+)(?=(?!{_JOINING}\b)[^\W\d_]{{3,}})",
    re.IGNORECASE,
)
"""Marks between lifts that names hold too (`Clean & press`): only behind sets do they part."""
_HOLDS_SETS = re.compile(
    r"\d\s*[x×@*]\s*(?:\d|$)|\d\s*(?:kg|lbs?|sets?|sätze?|satz|séries?|series?|serie|reps?|wdh)\b"
    r"|\b(?:kilos?|pounds?|kgs|lbs)\b|\d,?\s+\d",
    re.IGNORECASE,
)
"""What no name of an exercise holds: where it does, sets would be lost in the name."""
_LIST_NUMBER = re.compile(r"^\d{1,2}\s*[.)]\s+(?=[^\W\d_])")
"""The number of an exercise in a list: `2. Bench press`."""
_POINTS_ELSEWHERE = re.compile(
    r"\b(?:sets?|satz|sätze|série|serie|since|after|until|seit|nach|bis|depuis|après|desde|después de|"
    r"dopo|após|about|around|circa|ca|level|score|pain|schmerz\w*|douleur|dolor|dolore|dor)\.?$",
    re.IGNORECASE,
)
"""Ends of remarks (`knee hurts since set 2`), whose number counts no load."""
_REMARK = re.compile(r"^(?P<sets>.*[\d)%gb])[\s,;.–-]+(?P<words>[^\d]{2,80})$")


_TEMPO = re.compile(r"(?:[\dx]-[\dx]-[\dx](?:-[\dx])?|[0-6]{4})\s+(?=\d|bw)", re.IGNORECASE)
"""A tempo before sets: `3-0-3 80x6`, `3110 16kg x 10`."""

LONGEST_ITEM = 600
"""Characters beyond which a text is no exercise with its sets."""

LONGEST_LINE = 4000
"""Characters beyond which a text is no session."""


@lru_cache(maxsize=50_000)
def reads_as_sets(text: str) -> bool:
    """Say whether a text is sets in short form, even such as are refused for being a plan."""
    try:
        parse_sets(text, load_first=True)
    except SetsRefused:
        return True
    except Unreadable:
        return False
    return True


def _split_exercise(text: str) -> tuple[str, str, str] | None:
    """Split `Squat 100x5, 100x5 heavy` into exercise, sets and remark; None where it is not so."""
    text = text.strip()
    if len(text) > LONGEST_ITEM:
        return None
    for found in re.finditer(r"\s*[:=–]\s*|\s+-\s+|\s+|(?<=[^\W\d_])(?=\d)", text):
        name, sets = text[: found.start()].strip(" :-–,@"), text[found.end() :].strip()
        name = _LIST_NUMBER.sub("", name)
        if not re.search(r"[^\W\d_]{2}", name) or not (
            _STARTS_SETS.match(sets) or _BODY_KG.match(sets)
        ):
            continue
        if _TEMPO.match(sets):
            continue  # it belongs to the name, as a variant does
        if is_kind_word(name) or _HOLDS_SETS.search(name) or _POINTS_ELSEWHERE.search(name):
            return None
        if re.fullmatch(r"\d{1,2} ?/ ?10", sets):
            return None  # a rating, `knee 3/10`
        if re.fullmatch(r"\d+", sets) or re.search(r"(?:^|[\s:,])[x×]$", name):
            continue
        if reads_as_sets(sets):
            return name, sets, ""
        with_words = _REMARK.match(sets)
        if with_words and reads_as_sets(with_words.group("sets")):
            return name, with_words.group("sets"), with_words.group("words").strip()
    return None


def without_number(text: str) -> str:
    """Return a line of sets without the number of the set before it: `Set 2: 110x3`, `1) 110x3`."""
    return _SET_NUMBER.sub("", text)


def is_body_mass(text: str) -> bool:
    """Say whether a line can be somebody's body mass as well as a set with it: `BW 82`."""
    found = re.fullmatch(
        r"(?:bw|body ?-?weight|weight|kgw?|körpergewicht|gewicht|pdc|poids|peso)\s*[:=]?\s*"
        r"(\d{2,3})(?:[.,]\d{1,2})?\s*(?:kg|lbs?)?",
        text.strip(" .()"),
        re.IGNORECASE,
    )
    return bool(found) and int(found.group(1)) >= LEAST_BODY_MASS


LEAST_BODY_MASS = 40
"""A number from which on `BW 82` can be a weighing, in kg or lb: few sets have as many reps."""


def own_sets(text: str) -> tuple[str, str, str] | None:
    """Return (sets, remark, kind) where a line is nothing but sets; None where it is not."""
    if len(text) > LONGEST_ITEM:
        return None
    labelled = kind_label(text)
    if labelled:
        found = own_sets(labelled[1])
        return (*found[:2], found[2] or labelled[0]) if found else None
    if several := _SET_RANGE.fullmatch(text):
        first, last, one = several.groups()
        count = int(last) - int(first) + 1
        return (f"{one} x {count} sets", "", "") if count > 1 else None
    bare = without_number(text)
    tried = (bare,) if bare != text and reads_as_sets(bare) else (text, bare)
    for sets in tried:
        if reads_as_sets(sets):
            return sets, "", ""
        words = _REMARK.match(sets)
        if words and reads_as_sets(words.group("sets")):
            return words.group("sets"), words.group("words").strip(), ""
    return None


@lru_cache(maxsize=50_000)
def lifts_of(text: str) -> list[tuple[str, str, str]] | None:
    """Return (exercise, sets, remark) of every exercise of a line; None where it names none."""
    if len(text) > LONGEST_LINE:
        return None
    for parts in (_BETWEEN_LIFTS.split(text), _BETWEEN_PAIRS.split(text), [text]):
        found = [_split_exercise(p) for p in parts if p.strip()]
        if found and all(f is not None for f in found):
            return [f for f in found if f is not None]
    return None
