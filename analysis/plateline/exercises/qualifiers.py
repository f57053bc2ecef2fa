"""The words that make a variant of a lift: how it is held, stood, loaded, timed.

A variant is another lift than its entry (loads are not comparable) for the same muscles.
Words that make another exercise (incline, front, leg, curl, ...) must not stand here.
"""

from __future__ import annotations

import re

from plateline.exercises.normal import normalise

__all__ = ["EQUIPMENT_WORDS", "ONE_SIDE_WORDS", "PHRASES", "QUALIFIERS", "is_number_word"]

_HELD = (
    "grip close narrow wide medium neutral underhand overhand supinated pronated reverse mixed "
    "hook false hammer parallel rope handle v bar ez straight strap attachment d-handle mag "
    "axle fat thick football swiss safety hex cambered log"
)
_STOOD = (
    "seated sitting standing lying prone supine kneeling tall supported chest-supported leaning "
    "lean away high low flat sumo stance wide-stance staggered b elevated foot heel toe "
    "feet up down forward toe-out bent over block deficit offset floor bench preacher cross-body"
)
_TIMED = (
    "paused pause pausing tempo slow negative eccentric isometric explosive speed plyometric "
    "plyo dead stop deadstop touch go cluster myo rest rep reps partial lengthened stretch full "
    "half top bottom range rom second sec constant tension strict cheat controlled pin"
)
_LOADED = (
    "banded band bands chain chained weighted added assisted plate loaded belt light heavy "
    "bodyweight body weight vest machine smith cable dumbbell barbell kettlebell pulley stack "
    "selectorised iso lateral-arm guided free landmine"
)
_SIDED = (
    "single arm alternating alternate hand side each per left right unilateral bilateral double"
)
_OTHER = "variation variant new old gym home easy technique warm competition comp style version"

_WORDS = f"{_HELD} {_STOOD} {_TIMED} {_LOADED} {_SIDED} {_OTHER}"

PHRASES: tuple[tuple[str, str], ...] = (
    ("front foot elevated", "ffe"),
    ("rear foot elevated", "rfe"),
    ("single leg", "single"),
    ("dead stop", "deadstop"),
    ("mid shin", "midshin"),
    ("behind the neck", "btn"),
    ("behind neck", "btn"),
    ("touch and go", "tng"),
)
"""Phrases whose words, taken alone, would name another exercise, and the word they become."""

QUALIFIERS = frozenset(
    {w for word in _WORDS.split() for w in normalise(word).split()}
    | {token for _, token in PHRASES}
)

EQUIPMENT_WORDS = {
    "machine": "machine", "smith": "machine", "cable": "cable", "pulley": "cable",
    "dumbbell": "dumbbell", "barbell": "barbell", "kettlebell": "kettlebell",
    "bodyweight": "body-weight",
}  # fmt: skip
"""Words of a variant that say with what it is done."""

ONE_SIDE_WORDS = ("single", "unilateral")

_NUMBER = re.compile(r"\d[\d.x]*(?:kg|lb|s|sec|ct|count|deg|degree|cm|in|inch)?$")


def is_number_word(word: str) -> bool:
    """Return whether a word is a number, perhaps with a unit (a tempo, an angle, a height)."""
    return _NUMBER.match(word) is not None
