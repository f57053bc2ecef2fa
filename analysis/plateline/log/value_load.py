"""The load of one set, as people write it."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, replace

from plateline.log.numbers import DecimalMark, plain, read_number, without_marks
from plateline.log.values import (
    BODY,
    KG_WORDS,
    LB_WORDS,
    Unit,
    Unreadable,
    check_length,
    read_unit,
)
from plateline.words import KG_PER_LB

__all__ = ["Load", "read_load"]


MOST_HOLES = 20.0
"""Holes of a weight stack: `#7` can be one, `#225` is 225 lb."""

_UNIT = rf"(?P<unit>{KG_WORDS}|{LB_WORDS})"

_HAND = r"(?:hand|main|mano|mão|db|dumbbell|kh|hantel|kurzhantel|haltère|mancuerna|manubrio|halter)"

_EACH = (
    r"(?:each(?: hand)?|ea\.?|je|chacun|cada|c/u|ciascuno|e\.?a\.?|"
    rf"(?:/|per|a|je|pro|par|por|cada|in each) ?{_HAND}|"
    r"(?:dbs?|kbs?|kh|khs|dumbbells?|kettlebells?|kurzhanteln?|hanteln?|haltères?|mancuernas?|"
    r"manubri|manubrio|halteres?)(?: each)?)"
)
"""What says that a load is in one hand, as loads of dumbbells are in the kit."""

_ADDED = (
    r"(?:added|plus|weighted|vest|belt|zusatz|zusatzgewicht|zusätzlich|lesté(?: à| de)?|lest|ajouté|"
    r"lastre|lastrado|con lastre|zavorra|zavorrato|sovraccarico|lastro|com lastro)"
)
"""What says that a load hangs on a body."""

_PER_SIDE = (
    r"(?:per side|a side|/ ?side|each side|p/s|pro seite|je seite|par côté|por lado|per lato)"
)

_ASSIST = r"(?:assist(?:ed|ance)?|assistenza|asistencia|assistance|unterstützung|help|hilfe|aide|ayuda|ajuda)"

_NUM = r"(?P<num>[+-]?(?:\d[\d.,' ]*|[.,]\d+)(?: [1-3]/[248])?)"


@dataclass(frozen=True, slots=True)
class Load:
    """A load as written: external, per hand, in `unit` (`None` where the cell does not say)."""

    value: float
    unit: str | None = None
    is_body: bool = False
    remark: str | None = None

    def kg(self, unit: Unit) -> float:
        """Return kilograms, reading a bare number in `unit`."""
        return self.value * KG_PER_LB if (self.unit or unit) == "lb" else self.value


def read_load(text: str, mark: DecimalMark | None = None) -> Load:
    """Read the load of one set.

    Raises
    ------
    Unreadable
        When the text is no load, or can be two.
    """
    check_length(text, "load")
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
    trailing_body = re.fullmatch(rf"([+-]?[\d.,]+ ?(?:{KG_WORDS}|{LB_WORDS})?) ?\+ ?{BODY}", cell)
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
    added = re.fullmatch(rf"{_ADDED}:? ?\+?{_NUM} ?{_UNIT}?", cell) or re.fullmatch(
        rf"\+?{_NUM} ?{_UNIT}? ?{_ADDED}", cell
    )
    if added:
        return replace(_number_load(added, mark, shown), is_body=True)
    both = re.fullmatch(rf"{_NUM} ?{_UNIT} ?[(/=] ?[\d.,]+ ?(?:{KG_WORDS}|{LB_WORDS}) ?\)?", cell)
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
    if number is not None and math.isfinite(number):
        return Load(number + 0.0)  # as programs write it: 1e2
    if number is not None:
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
    if re.search(r"\b(?:plates?|scheiben?|disques?|discos?|dischi|anilhas?)\b", cell):
        return (
            f"The load {shown!r} counts plates; write what they and the bar weigh, such as 100 kg."
        )
    if re.fullmatch(r"[+-]?\d[\d.,]* ?(?:kg|lbs?)? ?(?:[*†‡°]+|\^\d|\(\d\)|\d\)|\[\d+\])", cell):
        return (
            f"The load {shown!r} has a mark behind it that may change what it means; write the number "
            "alone, and what the mark says into the notes."
        )
    if re.fullmatch(
        r"(?:pin|hole|level|lvl|stack|loch|stufe|position|pos|niveau|nivel|livello|nível)\.? ?#?\d+",
        cell,
    ):
        return (
            f"The load {shown!r} is a hole or level of a machine, which has no load in kg; write what it "
            "weighs."
        )
    if re.fullmatch(r"\d+(?:[.,]\d)?s", cell):
        return (
            f"The load {shown!r} can be a pair of {cell}, or seconds; write the load with its unit, such "
            f"as {cell[:-1]} lb."
        )
    if re.search(r"\b(?:st|stones?)\b", cell):
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
