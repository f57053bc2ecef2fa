"""Effort, rest and feel: what people write beside a set."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from typing import Literal

from plateline.log.numbers import DecimalMark, is_missing, plain, read_number
from plateline.log.values import FAILED, Unreadable, check_length

__all__ = [
    "FEELS", "HIGHEST_RIR", "LONGEST_REST_S", "RPES", "other_scale", "read_effort", "read_feel",
    "read_rest_s",
]  # fmt: skip

HIGHEST_RIR = 30.0
"""Reps in reserve beyond which a number is a slip: nobody can tell so many."""

RPES = (1.0, 10.0)
"""Lowest and highest of the scale of effort (Zourdos et al. 2016, J Strength Cond Res 30:267-275)."""

FEELS = (1.0, 5.0)
"""Worst and best feel."""

LONGEST_REST_S = 36_000.0
"""Ten hours: a longer rest ends a session, not a set."""


def read_effort(
    text: str, scale: Literal["rir", "rpe"], mark: DecimalMark | None = None
) -> float | None:
    """Read an effort cell into reps in reserve; None where it holds nothing.

    RIR is taken as it is; RPE on the scale of repetitions in reserve (Zourdos et al. 2016,
    J Strength Cond Res 30:267-275) as 10 - RPE. The scale words 9.5 as "no further
    repetition, but more load": read as 0.5, it overstates the reserve by half a rep.

    Raises
    ------
    Unreadable
        When the text is no number of the scale.
    """
    if is_missing(text):
        return None
    check_length(text, scale.upper())
    cell = plain(text).casefold().strip(" .()@")
    if re.fullmatch(FAILED, cell):
        return 0.0
    if "rir" in cell:
        scale = "rir"
    elif "rpe" in cell:
        scale = "rpe"
    cell = re.sub(r"(?:rpe|rir)", "", cell).strip(" @:=.()")
    cell = re.sub(r" ?/ ?10$", "", cell) if scale == "rpe" else cell
    cell = re.sub(r"^~|(?<=\d)\+$", "", cell)
    between = re.fullmatch(r"(\d+(?:[.,]\d+)?) ?(?:-|–|/|to|bis) ?(\d+(?:[.,]\d+)?)", cell)
    if between:
        ends = [read_number(e, mark) for e in between.groups()]
        number = None if None in ends else sum(e for e in ends if e is not None) / 2
    else:
        number = read_number(cell, mark)
    name = scale.upper()
    if number is None:
        raise Unreadable(
            f"The {name} {text.strip()!r} is not a number; write it like {'2' if scale == 'rir' else '8'}."
        )
    if not math.isfinite(number):
        raise Unreadable(f"The {name} {text.strip()!r} is not a finite number.")
    if scale == "rpe":
        if not RPES[0] <= number <= RPES[1]:
            raise Unreadable(f"The RPE {text.strip()!r} is outside {RPES[0]:g} to {RPES[1]:g}.")
        return RPES[1] - number
    if not 0 <= number <= HIGHEST_RIR:
        raise Unreadable(f"The RIR {text.strip()!r} is outside 0 to {HIGHEST_RIR:g}.")
    return number


MOST_BORG = 20
"""The highest number of Borg's scale."""

ABOVE_TEN = 0.2
"""Share of a column's efforts above 10 from which on they are no slips, but of another scale."""


def other_scale(header: str, cells: Sequence[str]) -> str | None:
    """Say why a column of efforts is on none of 1 to 10 that tells the reps in reserve; None if it is.

    Borg's scale goes from 6 to 20 (Borg 1982, Med Sci Sports Exerc 14:377-381), and others to 5.
    """
    named = re.search(
        r"(?<!\d)\d ?(?:-|–|to|bis|a|à) ?(\d+)(?!\d)|/ ?(5|20|100)(?!\d)|(borg)|(%)", header, re.I
    )
    if named and (named.group(1) or "") != "10":
        return f"for its scale ({named.group().strip()}) tells no reps in reserve"
    numbers = [n for t in cells if (n := read_number(plain(t))) is not None]
    above = sum(10 < n <= MOST_BORG for n in numbers)
    if above >= 2 and above >= ABOVE_TEN * len(cells):
        highest = max(n for n in numbers if n <= MOST_BORG)
        return f"for it goes up to {highest:g}, and RPE only to 10"
    return None


def read_rest_s(
    text: str, in_minutes: bool = False, mark: DecimalMark | None = None
) -> float | None:
    """Read a rest (`90`, `90 s`, `1:30`, `2 min`, `2'`, `1m30s`) into seconds."""
    if is_missing(text):
        return None
    check_length(text, "rest")
    cell = plain(text).casefold()
    clock = re.fullmatch(r"(?:(\d{1,2}):)?(\d{1,3}):(\d{2})(?:\.\d+)?(?: ?(?:min|m))?", cell)
    if clock:
        hours, minutes, seconds = (int(g or 0) for g in clock.groups())
        return float(hours * 3600 + minutes * 60 + seconds)
    mixed = re.fullmatch(r"(\d+) ?(?:m|min|mins|')\.? ?(\d{1,2}) ?(?:s|sec|sek|'')?\.?\"?", cell)
    if mixed:
        return float(int(mixed.group(1)) * 60 + int(mixed.group(2)))
    found = re.fullmatch(
        r"([\d.,]+) ?(s|secs?|seconds?|sek\.?|sekunden|''|\"|m|mins?|minutes?|minuten|minutos|minuti|')?\.?",
        cell,
    )
    number = read_number(found.group(1), mark) if found else None
    if number is None or not found or not math.isfinite(number) or number > LONGEST_REST_S:
        raise Unreadable(f"The rest {text.strip()!r} is no time; write seconds, such as 90.")
    name = found.group(2) or ("m" if in_minutes else "s")
    return number * 60 if name.startswith("m") or name == "'" else number


def read_feel(text: str, mark: DecimalMark | None = None) -> float | None:
    """Read a feel rating, 1 to 5 (`4`, `4/5`, a run of stars)."""
    if is_missing(text):
        return None
    check_length(text, "feel")
    cell = plain(text)
    stars = re.fullmatch(r"([★*⭐]+)☆*", cell)
    number = (
        float(len(stars.group(1))) if stars else read_number(re.sub(r" ?/ ?5$", "", cell), mark)
    )
    if number is None or not FEELS[0] <= number <= FEELS[1]:
        raise Unreadable(
            f"The feel {text.strip()!r} is not a rating from {FEELS[0]:g} to {FEELS[1]:g}."
        )
    return number
