"""The single values of a set: load, reps, reps in reserve, kind, rest and feel.

Every reader here takes the text of one cell and returns what it says, or raises
:class:`Unreadable` with a reason that ends in what would be accepted.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, replace
from typing import Literal

from plateline.log.numbers import DecimalMark, is_missing, plain, read_number, without_marks

__all__ = [
    "POUND_KG", "Load", "Reps", "SetsRefused", "Unreadable", "read_effort", "read_feel", "read_load", "read_reps",
    "read_rest_s", "read_unit",
]  # fmt: skip

Unit = Literal["kg", "lb"]

POUND_KG = 0.45359237
"""Kilograms in a pound, exact (international yard and pound agreement, 1959)."""

MOST_REPS = 1000
"""Reps in one set beyond which a number is a slip."""

MOST_ASSISTANCE_KG = 250.0
"""Assistance beyond which a negative load is a slip: heavier than almost any lifter."""

HIGHEST_RIR = 30.0

MOST_HOLES = 20.0
"""Holes of a weight stack: `#7` can be one, `#225` is 225 lb."""

_KG = r"(?:kgs?|k|kilos?|kilograms?|kilogramm|kilogrammes?|kilogramos?|chili|quilos?|kilogrammi)"
_LB = r"(?:lbs?|pounds?|pfund|libras?|livres?|libbre|#)"
_UNIT = rf"(?P<unit>{_KG}|{_LB})"
BODY = (
    r"(?:bw|bwt|bw only|body ?-?weight|body|body ?mass|körpergewicht|koerpergewicht|kgw|eigengewicht|"
    r"eigengew\.?|eg|kögew|pdc|poids de corps|poids du corps|peso corporal|peso corporeo|"
    r"peso del cuerpo|corpo libero|a corpo libero|peso do corpo|peso propio|no weight|unweighted|"
    r"ohne gewicht|sin peso|sans charge)"
)
_EACH = (
    r"(?:each(?: hand)?|ea\.?|per hand|a hand|je hand|pro hand|je|par main|chacun|por mano|cada(?: mano| mão)?|"
    r"c/u|per mano|por mão|ciascuno|e\.?a\.?|db|kh|dumbbells?)"
)
_PER_SIDE = (
    r"(?:per side|a side|/ ?side|each side|p/s|pro seite|je seite|par côté|por lado|per lato)"
)
_ASSIST = r"(?:assist(?:ed|ance)?|assistenza|asistencia|assistance|unterstützung|help|hilfe|aide|ayuda|ajuda)"
_NUM = r"(?P<num>[+-]?(?:\d[\d.,' ]*|[.,]\d+)(?: [1-3]/[248])?)"


class Unreadable(Exception):  # noqa: N818 - a fault of the cell, not of the program
    """A cell that cannot be read, with the reason and what would be accepted."""

    def __init__(self, reason: str, column: str | None = None, value: str | None = None) -> None:
        super().__init__(reason)
        self.reason = reason
        self.column = column
        self.value = value


class SetsRefused(Unreadable):
    """A cell that does note sets, but such as are refused: a plan, a hold, two readings."""


@dataclass(frozen=True, slots=True)
class Load:
    """A load as written: external, per hand, in `unit` (`None` where the cell does not say)."""

    value: float
    unit: str | None = None
    is_body: bool = False
    remark: str | None = None

    def kg(self, unit: Unit) -> float:
        """Return kilograms, reading a bare number in `unit`."""
        return self.value * POUND_KG if (self.unit or unit) == "lb" else self.value


@dataclass(frozen=True, slots=True)
class Reps:
    """The repetitions of one set, with what else the cell says about it."""

    count: int
    side: str | None = None
    rir: float | None = None
    flag: str | None = None
    remark: str | None = None


def read_unit(text: str | None) -> Unit | None:
    """Return `kg` or `lb`, or None where the text names neither."""
    if text is None:
        return None
    folded = plain(text).casefold().strip(" .()[]")
    if re.fullmatch(_KG, folded):
        return "kg"
    return "lb" if re.fullmatch(_LB, folded) else None


LONGEST_VALUE = 120
"""Characters of a single value beyond which it is none; it also bounds the time a cell takes."""


def _check_length(text: str, what: str) -> None:
    if len(text) > LONGEST_VALUE:
        raise Unreadable(
            f"The {what} is {len(text):,} characters long ({text[:30]!r}...); write a number."
        )


def read_load(text: str, mark: DecimalMark | None = None) -> Load:
    """Read the load of one set.

    Raises
    ------
    Unreadable
        When the text is no load, or can be two.
    """
    _check_length(text, "load")
    bare, cheer = without_marks(plain(text))
    if cheer:
        load = read_load(bare, mark)
        return replace(load, remark="; ".join(t for t in (load.remark, cheer) if t))
    shown = plain(text)
    cell = shown.casefold()
    if re.fullmatch(BODY, cell) or shown == "KG":
        return Load(0.0, is_body=True)
    cell = re.sub(rf"^(?:{BODY}) ?(?=[+-])", "", cell) if re.match(BODY, cell) else cell
    cell = re.sub(r"^KG ?(?=[+-])", "", shown).casefold() if shown.startswith("KG") else cell
    after_body = cell != shown.casefold()
    cell = re.sub(r"^([+-]) ", r"\1", cell)
    trailing_body = re.fullmatch(rf"([+-]?[\d.,]+ ?(?:{_KG}|{_LB})?) ?\+ ?{BODY}", cell)
    if trailing_body:
        cell, after_body = trailing_body.group(1), True
    pair = re.fullmatch(rf"2 ?[x×*] ?{_NUM} ?{_UNIT}?(?: ?{_EACH})?", cell)
    if pair:
        load = _number_load(pair, mark, shown)
        return replace(load, remark=f"pair of {pair.group('num').strip()}")
    assist = re.fullmatch(rf"(?:{_ASSIST}):? ?-?{_NUM} ?{_UNIT}?", cell) or re.fullmatch(
        rf"-?{_NUM} ?{_UNIT}? ?{_ASSIST}", cell
    )
    if assist:
        load = _number_load(assist, mark, shown)
        return replace(load, value=-abs(load.value))
    both = re.fullmatch(rf"{_NUM} ?{_UNIT} ?[(/=] ?[\d.,]+ ?(?:{_KG}|{_LB}) ?\)?", cell)
    if both:
        return _number_load(both, mark, shown)
    hash_first = re.fullmatch(rf"# ?{_NUM}", cell)
    if hash_first and (number := read_number(hash_first.group("num").strip(), mark)) is not None:
        if number <= MOST_HOLES:
            raise Unreadable(
                f"The load {shown!r} can be {number:g} lb or a hole of a weight stack; write {number:g} lb, "
                "or the load in kg."
            )
        return replace(_number_load(hash_first, mark, shown), unit="lb")
    simple = re.fullmatch(
        rf"(?:@ ?)?{_NUM} ?\(?{_UNIT}?\)?\.?(?: ?\(?{_EACH}\)?)?", cell
    ) or re.fullmatch(rf"{_UNIT} ?{_NUM}", cell)
    if simple:
        load = _number_load(simple, mark, shown)
        return replace(load, is_body=after_body)
    number = read_number(cell, mark)
    if number is not None and not math.isfinite(number):
        raise Unreadable(
            f"The load {shown!r} is not a finite number; write a number such as 102.5."
        )
    raise Unreadable(_why_no_load(cell, shown))


def _number_load(found: re.Match[str], mark: DecimalMark | None, shown: str) -> Load:
    value = read_number(found.group("num").strip(), mark)
    groups = found.groupdict()
    unit = read_unit(groups["unit"]) if groups.get("unit") else None
    if value is None:
        raise Unreadable(_why_no_load(found.group("num").strip(), shown))
    if not math.isfinite(value):
        raise Unreadable(
            f"The load {shown!r} is not a finite number; write a number such as 102.5."
        )
    return Load(value + 0.0, unit)


def _why_no_load(cell: str, shown: str) -> str:
    if re.search(_PER_SIDE, cell):
        return f"The load {shown!r} counts one side only; write the whole load, with the bar."
    if "%" in cell:
        return (
            f"The load {shown!r} is a share of a maximum; write the load itself, such as 102.5 kg."
        )
    if re.fullmatch(r"[\d.,]+ ?(?:kg|lbs?)? ?(?:-|to|bis|à|a) ?[\d.,]+ ?(?:kg|lbs?)?", cell):
        return f"The load {shown!r} is a range, which is a plan and not a set that was done; write one load."
    if re.search(r"\bband|elastic|elásti|élasti|gummi", cell):
        return f"The load {shown!r} is a band, which has no load in kg; write 0 and name the band in the exercise."
    if re.search(r"\b(?:bar|stange|barre|barra|bilanciere)\b", cell):
        return f"The load {shown!r} names the bar and not its mass; write the number, such as 20."
    if re.search(r"\b(?:st|stone)\b", cell):
        return f"The load {shown!r} is in stone; write kg or lb."
    if re.search(r"\d\D*[x×*]\D*\d", cell):
        return (
            f"The load {shown!r} holds more than a load; write load and reps in their own columns, "
            "or one of the short forms such as 3x10@60."
        )
    if re.fullmatch(r"\d+[.,]\d{3}", cell):
        whole = cell.replace(".", "").replace(",", "")
        point = cell.replace(",", ".")
        return f"The load {shown!r} can be {float(point):g} or {whole}; write it without a thousands mark."
    return f"The load {shown!r} is not a number; write it like 102.5, 225 lb, BW, BW+10 or -20."


_FAILED = (
    r"(?:f|fail|failed|failure|to failure|mv|muskelversagen|bis mv|versagen|échec|echec|à l'échec|"
    r"fallo|al fallo|cedimento|a cedimento|falha|até a falha|max|amrap)"
)
_REP_WORD = (
    r"(?:x|reps?|repetitions?|wdh\.?|wiederholungen|whl\.?|wh\.?|répétitions?|répét\.?|repeticiones|"
    r"ripetizioni|rip\.?|repetições|repetiç[oõ]es|mal|times|volte|veces|fois|vezes)"
)
SIDE_WORD = (
    r"(?:/ ?(?:side|leg|arm|seite|s|l)|(?:per|each|a|pro|je|par|por|cada) ?"
    r"(?:side|leg|arm|seite|bein|arm|côté|jambe|bras|lado|pierna|brazo|lato|gamba|braccio|perna|braço)|"
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
    _check_length(text, "count of reps")
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
        return read_reps(times.group(2)) * _count(times.group(1), shown)
    return [_one_reps(cell, shown)]


def _several(cell: str, sets: int | None) -> list[str] | None:
    for pattern in (r" ?[,;] ?", r" ?/ ?", r" ?- ?", r" ", r" ?\+ ?"):
        parts = re.split(pattern, cell)
        if len(parts) < 2 or not all(re.fullmatch(rf"\d+ ?{_FAILED}?", p) for p in parts):
            continue
        if "+" in pattern:
            return None
        if len(parts) > 2 or (len(parts) == sets and pattern != r" ?- ?"):
            return parts
        if ", " in cell or (";" in pattern and ";" in cell) or pattern == " ":
            return parts
    return None


def _count(text: str, shown: str) -> int:
    count = int(text)
    if not 1 <= count <= 50:
        raise Unreadable(f"{shown!r} counts {count} sets; write 1 to 50.")
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
        rf"(\d+(?:[/+]\d+)*) ?\(?(?:{_FAILED})\.?\)?|(?:amrap|max):? ?(\d+)", cell
    )
    if failed:
        word = "amrap" in cell or "max" in cell
        cell = failed.group(1) or failed.group(2)
        rir = rir if word else 0.0
        remark = "as many reps as possible" if word else None
    word = re.fullmatch(rf"(\d+(?:[.,]\d+)?) ?{_REP_WORD}|(?:x|×|\*) ?(\d+)", cell)
    if word:
        cell = word.group(1) or word.group(2)
    sided = re.fullmatch(rf"(\d+) ?(?:{_REP_WORD})? ?\(?{SIDE_WORD}\)?", cell)
    if sided:
        return Reps(_whole(sided.group(1), shown), "each", rir, None, remark)
    named = re.fullmatch(
        r"(?:l|left|li|links|g|izq|sx|e) ?:?(\d+) ?[,/ ] ?(?:r|right|re|rechts|d|der|dx) ?:?(\d+)",
        cell,
    ) or (re.fullmatch(r"(\d+) ?(?:l|left|li) ?[,/ ] ?(\d+) ?(?:r|right|re)", cell))
    both = named or re.fullmatch(r"(\d+) ?[/|] ?(\d+)", cell)
    if both:
        one, other = (_whole(n, shown) for n in both.groups())
        return Reps(min(one, other), f"{one}/{other}", rir, None, remark)
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
    if _MONTH_SHAPE.fullmatch(cell):
        return f"The reps {shown!r} are a date: a spreadsheet has changed them; format the column as text and type the reps again."
    return f"The reps {shown!r} are not a whole number; write how many were done, such as 8."


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
    _check_length(text, scale.upper())
    cell = plain(text).casefold().strip(" .()@")
    if re.fullmatch(_FAILED, cell):
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
        if not 1 <= number <= 10:
            raise Unreadable(f"The RPE {text.strip()!r} is outside 1 to 10.")
        return 10.0 - number
    if not 0 <= number <= HIGHEST_RIR:
        raise Unreadable(f"The RIR {text.strip()!r} is outside 0 to {HIGHEST_RIR:g}.")
    return number


def read_rest_s(
    text: str, in_minutes: bool = False, mark: DecimalMark | None = None
) -> float | None:
    """Read a rest (`90`, `90 s`, `1:30`, `2 min`, `2'`, `1m30s`) into seconds."""
    if is_missing(text):
        return None
    _check_length(text, "rest")
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
    if number is None or not found or not math.isfinite(number) or number > 36_000:
        raise Unreadable(f"The rest {text.strip()!r} is no time; write seconds, such as 90.")
    name = found.group(2) or ("m" if in_minutes else "s")
    return number * 60 if name.startswith("m") or name == "'" else number


def read_feel(text: str, mark: DecimalMark | None = None) -> float | None:
    """Read a feel rating, 1 to 5 (`4`, `4/5`, a run of stars)."""
    if is_missing(text):
        return None
    _check_length(text, "feel")
    cell = plain(text)
    stars = re.fullmatch(r"([★*⭐]+)☆*", cell)
    number = (
        float(len(stars.group(1))) if stars else read_number(re.sub(r" ?/ ?5$", "", cell), mark)
    )
    if number is None or not 1 <= number <= 5:
        raise Unreadable(f"The feel {text.strip()!r} is not a rating from 1 to 5.")
    return number
