"""The repetitions of one cell, as people write them."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, replace

from plateline.log.dates import looks_like_date
from plateline.log.numbers import plain, read_number, without_marks
from plateline.log.value_effort import read_effort
from plateline.log.values import FAILED, MOST_COUNTED_SETS, SetsRefused, Unreadable, check_length

__all__ = ["DROPS", "MANY_SETS", "MOST_REPS", "SIDE_WORD", "Reps", "read_reps"]


MOST_REPS = 1000
"""Reps in one set beyond which a number is a slip."""


DROPS = r" ?(?:[-=]*>|→|⇒) ?"
"""What stands between the reps, or the loads, of a set and its drop sets: `12>8>8`."""

MANY_SETS = 10
"""Sets from which on `10x3` in a column of reps is as likely three sets of ten."""


@dataclass(frozen=True, slots=True)
class Reps:
    """The repetitions of one set, with what else the cell says about it."""

    count: int
    side: str | None = None
    rir: float | None = None
    flag: str | None = None
    remark: str | None = None


_REP_WORD = (
    r"(?:x|reps?|repetitions?|wdh\.?|wiederholungen|whl\.?|wh\.?|répétitions?|répét\.?|repeticiones|"
    r"ripetizioni|rip\.?|repetições|repetiç[oõ]es|mal|times|volte|veces|fois|vezes)"
)

_LIMB = (
    r"(?:sides?|legs?|arms?|seite|bein|arm|côté|jambe|bras|lado|pierna|brazo|lato|gamba|braccio|perna|"
    r"braço)"
)

SIDE_WORD = (
    rf"(?:/ ?(?:{_LIMB}|s|l)|(?:per|each|a|pro|je|par|por|cada|chaque|ogni) ?{_LIMB}|"
    r"each|ea\.?|e|e/s|p/s|es)"
)

_MONTH_SHAPE = re.compile(
    r"(?:\d{1,2}[-. ]+[a-zäéûô]{3,9}\.?|[a-zäéûô]{3,9}\.?[-. ]+\d{1,2}|\d{4}-\d{2}-\d{2}.*|\d{1,2}[./]\d{1,2}[./]\d{2,4})"
)


def read_reps(text: str, sets: int | None = None) -> list[Reps]:
    """Read the repetitions of one cell: of one set, or of several where it lists them.

    Parameters
    ----------
    text
        The cell.
    sets
        How many sets the row says it holds, where it does; it settles `8,8` and `8/8`.

    Raises
    ------
    Unreadable
        When the text is no count of repetitions that were done.
    """
    check_length(text, "count of reps")
    bare, cheer = without_marks(plain(text))
    if cheer:
        *first, last = read_reps(bare, sets)
        return [*first, replace(last, remark="; ".join(t for t in (last.remark, cheer) if t))]
    shown = plain(text)
    cell = shown.casefold().strip(" .;")
    if re.match(r"\d{4}-\d{2}-\d{2}", cell):
        raise Unreadable(_why_no_reps(cell, shown))
    several = _several(cell, sets)
    if several is not None:
        return [r for part in several for r in read_reps(part)]
    times = re.fullmatch(r"(\d{1,2}) ?[x×*] ?(\d+(?:/\d+)?.*)", cell)
    if times and not re.search(r"[@x×*]|kg|lb", times.group(2)):
        _check_order(times.group(1), times.group(2), shown)
        return read_reps(times.group(2)) * _count(times.group(1), shown)
    return [_one_reps(cell, shown)]


def _several(cell: str, sets: int | None) -> list[str] | None:
    for pattern in (r" ?[,;] ?", r" ?/ ?", DROPS, r" ?- ?", r" ", r" ?\+ ?"):
        parts = re.split(pattern, cell)
        if len(parts) < 2 or not all(re.fullmatch(rf"\d+ ?{FAILED}?", p) for p in parts):
            continue
        if "+" in pattern:
            return None
        if len(parts) > 2 or pattern == DROPS or (len(parts) == sets and pattern != r" ?- ?"):
            return parts
        if ", " in cell or (";" in pattern and ";" in cell) or pattern == " ":
            return parts
    return None


def _check_order(sets: str, reps: str, shown: str) -> None:
    """Refuse `12x3`: so many sets of so few can be three sets of twelve, reps first."""
    if int(sets) >= MANY_SETS and reps.isdecimal() and int(reps) < int(sets):
        raise SetsRefused(
            f"The reps {shown!r} can be {sets} sets of {reps} or {reps} sets of {sets}; write sets x reps, such "
            f"as {reps}x{sets}, or the count of sets in a column of its own."
        )


def _count(text: str, shown: str) -> int:
    count = int(text)
    if not 1 <= count <= MOST_COUNTED_SETS:
        raise Unreadable(f"{shown!r} counts {count} sets; write 1 to {MOST_COUNTED_SETS}.")
    return count


def _one_reps(cell: str, shown: str) -> Reps:
    rir: float | None = None
    remark: str | None = None
    effort = re.fullmatch(
        r"(.*?\d.*?)[ (,]*(@ ?\d.*|rpe ?.*|\(?@? ?\d+(?:[.,]\d)? ?rir|rir ?.*)\)?", cell
    )
    if effort:
        scale = "rir" if "rir" in effort.group(2) else "rpe"
        rir = read_effort(effort.group(2).replace("@", "").strip("() "), scale)
        cell = effort.group(1).strip(" (,")
    failed = re.fullmatch(
        rf"(\d+(?:[/+]\d+)*) ?\(?(?:{FAILED})\.?\)?|(?:amrap|max):? ?\(?(\d+)\)?", cell
    )
    if failed:
        word = "amrap" in cell or "max" in cell
        cell = failed.group(1) or failed.group(2)
        rir = rir if word else 0.0
        remark = "as many reps as possible" if word else None
    word = re.fullmatch(rf"(\d+(?:[.,]\d+)?) ?{_REP_WORD}|(?:x|×|\*) ?(\d+)", cell)
    if word:
        cell = word.group(1) or word.group(2)
    sided = re.fullmatch(rf"(\d+) ?(?:{_REP_WORD})? ?\(?{SIDE_WORD}\)?", cell) or re.fullmatch(
        rf"(?:je|each|chacun|cada|{SIDE_WORD}):? (\d+)(?: ?(?:{_REP_WORD}))?", cell
    )
    if sided:
        return Reps(_whole(sided.group(1), shown), "each", rir, None, remark)
    named = re.fullmatch(
        r"(?:l|left|li|links|g|izq|sx|e) ?:? ?(\d+) ?[,/ ] ?(?:r|right|re|rechts|d|der|dx) ?:? ?(\d+)",
        cell,
    ) or (re.fullmatch(r"(\d+) ?(?:l|left|li) ?[,/ ] ?(\d+) ?(?:r|right|re)", cell))
    both = named or re.fullmatch(
        r"(\d+) ?[/|] ?(\d+)(?: ?\(?(?:l/r|r/l|li/re|g/d|sx/dx)\)?)?", cell
    )
    if both:
        one, other = (_whole(n, shown) for n in both.groups())
        return Reps(min(one, other), f"{one}/{other}", rir, None, remark)
    cell = re.sub(r" ?\(((?: ?\+ ?\d+)+)\)$", r"\1", cell)
    cluster = re.fullmatch(r"\d+(?: ?\+ ?\d+)+", cell)
    if cluster:
        parts = [_whole(p, shown) for p in re.split(r" ?\+ ?", cell)]
        return Reps(sum(parts), None, rir, "cluster", f"cluster {shown}")
    return Reps(_whole(cell, shown), None, rir, None, remark)


def _whole(cell: str, shown: str) -> int:
    number = read_number(cell, None)
    if number is None:
        raise Unreadable(_why_no_reps(cell, shown))
    if not math.isfinite(number):
        raise Unreadable(f"The reps {shown!r} are not a finite number; write a whole number.")
    if number < 0:
        raise Unreadable(f"The reps {shown!r} are negative; write the reps that were done.")
    if number % 1:
        raise Unreadable(
            f"The reps {shown!r} are not whole; count whole reps (a half rep is not one)."
        )
    if number == 0:
        raise Unreadable("No repetition was completed; a set has at least one.")
    if number > MOST_REPS:
        raise Unreadable(f"The reps {shown!r} are more than {MOST_REPS}; correct the number.")
    return int(number)


def _why_no_reps(cell: str, shown: str) -> str:
    if re.fullmatch(r"\d+ ?(?:-|–|to|bis|a|à) ?\d+(?: ?reps?)?", cell):
        return f"The reps {shown!r} are a range, which is a plan and not a set that was done; write the reps done."
    if re.fullmatch(r"\d+ ?\+", cell):
        return f"The reps {shown!r} say at least how many; write how many were done."
    if re.search(
        r"\d ?(?:s|sec|secs|seconds?|sek|sekunden|min|mins|minutes?|minuten|\"|'')\.?$", cell
    ) or re.fullmatch(r"\d{1,2}:\d{2}(?::\d{2})?", cell):
        return f"The reps {shown!r} are a time; holds are not read, only sets with repetitions."
    if re.search(r"\d ?(?:m|km|mi|miles?|yd|meters?|metres?|meter)$", cell):
        return f"The reps {shown!r} are a distance; only sets with repetitions are read."
    if _MONTH_SHAPE.fullmatch(cell) and (
        not re.search(r"[^\W\d_]", cell) or looks_like_date(f"{cell} 2000")
    ):
        return f"The reps {shown!r} are a date: a spreadsheet has changed them; format the column as text and type the reps again."
    return f"The reps {shown!r} are not a whole number; write how many were done, such as 8."
