"""The exercise of a row: its name, and what people write before and behind names."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple

from plateline.log.account import Said
from plateline.log.kinds import KIND_BEHIND, kind_behind
from plateline.log.numbers import is_missing
from plateline.log.sum_words import SUM_WORDS
from plateline.log.values import Unreadable

__all__ = ["Exercise", "ExerciseReader", "needs_closer_look"]

LONGEST_NAME = 200
"""Characters of a name, beyond which a cell holds something else."""

_PLACE = re.compile(
    r"(?P<letter>[A-H])\d{1,2}\s*[.):–-]?\s+|[A-H]\s*[):]\s+|[A-H]\.\s+(?=[^\W\d_]{3})|\d{1,2}\s*[.)]\s+(?=[^\W\d_])"
)
"""A place before a name: in a superset (`A1. `, `B2 `) or in the session (`A) `, `3. `)."""

_STRUCK = re.compile(r"~~?\S.*~")

_CLOSER = re.compile(
    rf"{_PLACE.pattern}|(?=~)|(?=(?i:.*{KIND_BEHIND}))|(?=(?i:{'|'.join(sorted(SUM_WORDS))})$)"
)
"""What makes a name one to look at closely: a place before it, a stroke through it, a kind of set
behind it, or a word for a sum in its place."""

_LETTER = re.compile(r"[^\W\d_]")


class Exercise(NamedTuple):
    """What a cell says of the exercise.

    Attributes
    ----------
    name
        As written, without what stood before and behind it.
    letter
        The letter of its superset, where `A1` or `B2` stood before it.
    kind
        The word for a kind of set that stood behind it.
    """

    name: str
    letter: str | None
    kind: str | None


@dataclass
class ExerciseReader:
    """Reads the names of one file, and keeps the first of each habit to tell of it."""

    _placed: str = ""
    _with_kind: str = ""

    def read(self, name: str | None) -> Exercise:
        """Return what a cell, free of marks that do not show, says of the exercise.

        Raises
        ------
        Unreadable
            When it names none, or one that was struck out.
        """
        if name is None or is_missing(name):
            raise Unreadable("The row names no exercise; write its name.", "exercise", name or "")
        if not _LETTER.search(name):
            raise Unreadable(
                f"{name!r} is no name of an exercise; check that the columns are not shifted.",
                "exercise", name,
            )  # fmt: skip
        if len(name) > LONGEST_NAME:
            raise Unreadable(
                f"The exercise has {len(name)} characters; a name has at most {LONGEST_NAME}.",
                "exercise", name[:LONGEST_NAME],
            )  # fmt: skip
        if _STRUCK.fullmatch(name):
            raise Unreadable(
                f"{name[:60]!r} is struck out, so it was not done; leave the row out.", "exercise", name,
            )  # fmt: skip
        letter = None
        place = _PLACE.match(name)
        if place and re.search(r"[^\W\d_]{2}", name[place.end() :]):
            self._placed = self._placed or name
            name, letter = name[place.end() :], place.group("letter")
        if behind := kind_behind(name):
            self._with_kind = self._with_kind or name
            return Exercise(behind[0], letter, behind[1])
        return Exercise(name, letter, None)

    def said(self, file: str) -> Iterable[Said]:
        """Say what stood before and behind names, with an example each."""
        if self._placed:
            yield Said(
                None,
                f"{file}: letters or numbers before names, as in {self._placed[:60]!r}, are read as places in "
                "supersets or in the session.",
            )
        if self._with_kind:
            yield Said(
                None,
                f"{file}: words behind names, as in {self._with_kind[:60]!r}, are read as kinds of sets.",
            )


def needs_closer_look(name: str) -> bool:
    """Say whether reading a cell may refuse it, or give another name than the cell as it stands."""
    return (
        name.strip() != name
        or not name.isprintable()
        or "\ufffd" in name
        or len(name) > LONGEST_NAME
        or is_missing(name)
        or bool(_CLOSER.match(name))
        or not _LETTER.search(name)
    )
