"""What readers of single cells share: units, words for body mass, and the fault they raise.

Every reader takes the text of one cell and returns what it says, or raises
:class:`Unreadable` with a reason that ends in what would be accepted.
"""

from __future__ import annotations

import re
from typing import Literal

from plateline.log.numbers import plain

__all__ = [
    "BODY",
    "FAILED",
    "KG_WORDS",
    "LB_WORDS",
    "MOST_ASSISTANCE_KG",
    "MOST_COUNTED_SETS",
    "SetsRefused",
    "Unit",
    "Unreadable",
    "check_length",
    "read_unit",
]

Unit = Literal["kg", "lb"]


MOST_ASSISTANCE_KG = 250.0
"""Assistance beyond which a negative load is a slip: heavier than almost any lifter."""

MOST_COUNTED_SETS = 50
"""Sets of one exercise that a row may count; a number above it counts something else."""

KG_WORDS = (
    r"(?:kgs?|k|kilos?|kilograms?|kilogramm|kilogrammes?|kilogramos?|chili|quilos?|kilogrammi)"
)

LB_WORDS = r"(?:lbs?|pounds?|pfund|libras?|livres?|libbre|#)"

BODY = (
    r"(?:bw|bwt|bw only|body ?-?weight|body|body ?mass|körpergewicht|koerpergewicht|kgw|eigengewicht|"
    r"eigengew\.?|eg|kögew|pdc|pc|p\.c\.|poids de corps|poids du corps|peso corporal|peso corporeo|"
    r"peso del cuerpo|corpo libero|a corpo libero|peso do corpo|peso propio|no weight|unweighted|"
    r"ohne gewicht|sin peso|sans charge)"
)


class Unreadable(Exception):  # noqa: N818 - a fault of the cell, not of the program
    """A cell that cannot be read, with the reason and what would be accepted."""

    def __init__(self, reason: str, column: str | None = None, value: str | None = None) -> None:
        super().__init__(reason)
        self.reason = reason
        self.column = column
        self.value = value


class SetsRefused(Unreadable):
    """A cell that does note sets, but such as are refused: a plan, a hold, two readings."""


def read_unit(text: str | None) -> Unit | None:
    """Return `kg` or `lb`, or None where the text names neither."""
    if text is None:
        return None
    folded = plain(text).casefold().strip(" .()[]")
    if re.fullmatch(KG_WORDS, folded):
        return "kg"
    return "lb" if re.fullmatch(LB_WORDS, folded) else None


LONGEST_VALUE = 120
"""Characters of a single value beyond which it is none; it also bounds the time a cell takes."""


def check_length(text: str, what: str) -> None:
    """Refuse a cell that is too long to be a value."""
    if len(text) > LONGEST_VALUE:
        raise Unreadable(
            f"The {what} is {len(text):,} characters long ({text[:30]!r}...); write a number."
        )


FAILED = (
    r"(?:f|fail|failed|failure|to failure|mv|muskelversagen|bis mv|versagen|échec|echec|à l'échec|"
    r"fallo|al fallo|cedimento|a cedimento|falha|até a falha|max|amrap)"
)
