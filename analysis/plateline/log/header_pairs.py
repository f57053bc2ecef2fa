"""Headers that say in which order a cell holds load and reps: `kg/reps`, `Wdh x Gewicht`."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Literal

from plateline.log.headers import read_header, tidy

__all__ = ["PairOrder", "in_short_form", "pair_order"]

PairOrder = Literal["load", "reps"]

_PAIR = re.compile(
    r"(?<![\d/.,])(\d+(?:[.,]\d+)?)\s*[x×*/]\s*(\d+(?:[.,]\d+)?)(?![\d/]|[.,]\d|\s*[x×*/])"
)
_JOINS = re.compile(r"[\s,;|+&-]*")


@lru_cache(maxsize=1024)
def pair_order(header: str) -> PairOrder | None:
    """Return what a header of two parts puts first, None where it is no such header."""
    words = [w for w in tidy(header).split() if w not in ("x", "and", "und", "et", "y", "e")]
    if len(words) != 2:
        return None
    first, second = (read_header(w).column for w in words)
    if (first, second) == ("load", "reps"):
        return "load"
    return "reps" if (first, second) == ("reps", "load") else None


def in_short_form(text: str, order: PairOrder) -> str:
    """Return a cell such as `80/8 80/7` as `80x8 80x7`, in the order of its header.

    Only cells that are pairs and nothing else are changed.
    """
    if _JOINS.fullmatch(_PAIR.sub("", text)) is None:
        return text
    if order == "load":
        return _PAIR.sub(r"\1x\2", text)
    return _PAIR.sub(lambda m: f"{m.group(2)}x{m.group(1)}", text)
