"""The words and signs of short forms, made plain before they are parsed."""

from __future__ import annotations

import re

from plateline.log.notation_doubts import SURE_LOAD
from plateline.log.value_reps import SIDE_WORD
from plateline.log.values import BODY

__all__ = ["prepare"]


_REWRITES: tuple[tuple[re.Pattern[str], str], ...] = tuple(
    (re.compile(pattern, re.IGNORECASE), new)
    for pattern, new in (
        (rf"(?<![a-zà-ÿ]){BODY}(?![a-zà-ÿ])", "bw"),
        (r"[×✕✖*·хХ]|(?<=\d) ?\bmal\b ?", "x"),
        (r"[,;]?\s*\(?\btempo\b:?\s*[\dx][\d/x-]{2,8}\)?", ""),
        (r"(?<=\d)(?:\s+@?\s*|\s*@\s*)\d{2,3}(?:[.,]\d+)?\s*%(?:\s*(?:of\s+)?(?:1rm|e1rm|max))?\s*\((\d+(?:[.,]\d+)?\s*"
         r"(?:kg|lb)?)\)", r" @\1"),
        (r"(?<=\d)(?:\s+@?\s*|\s*@\s*)\(?\d{2,3}(?:[.,]\d+)?\s*%(?:\s*(?:of\s+)?(?:1rm|e1rm|max))?\)?", ""),
        (r"\s*(?:[→⇒➔➜➡⟶►▶]|=>|-->)\ufe0f?\s*", " > "),
        (r"(?<=[\da-z)]),\s*(?=(?:rpe|rir)\b)", " "),
        (r"#\s*(\d+(?:[.,]\d+)?)", r"\1lb"),
        (r"(?<=\d)\s*#", "lb"),
        (r"(?<=\d)\s*(?:kgs?|kilos?|k)(?![a-zà-ÿ])\.?", "kg"),
        (r"(?<=\d)\s*(?:lbs?|pounds?)(?![a-zà-ÿ])\.?", "lb"),
        (r"(?<=\d)\s*(?:sets?|sätze?|satz|séries?|series?|serie)(?![a-zà-ÿ])\s*"
         r"(?:of|à|a|de|di|da|zu je|zu|mit je|mit|je|con|com|x|×)?\s*(?=\d)", "sets x "),
        (r"(?<=\d)\s*(?:reps?|repetitions?|wdh|wiederholungen|répétitions?|repeticiones|ripetizioni|"
         r"repetições|whl)(?![a-zà-ÿ])\.?", "reps"),
        (r"(?<=\d|g|b)\s*(?:each|(?:/|per|je|pro|par|por)\s*(?:hand|main|mano|mão))(?![a-zà-ÿ])", "each"),
        (r"(?<=kg|lb)each", ""),
        (r"bw\s*(?:plus|with|and|mit|und|plus|avec|et|con|y|più|com|mais)\s*(?=\d)", "bw+"),
        (r"bw\s*([+-])\s*(?=\d)", r"bw\1"),
        (rf"(?<=\d|s)\s*{SIDE_WORD}(?![a-zà-ÿ])\.?", " (each side)"),
        (r"\b(?:amrap|max)\b:?\s*(?=\d)(\d+)", r"\1amrap"),
        (r"(?<=\d)(?:reps)?\s+(?:at|mit|à|con|avec|com|with|bei|w/)\s+(?=\d|bw)", "@"),
        (r"(?<=[\dgbw])\s+(?:for|für|pour|por|per)\s+(?=\d)", "x"),
        (r"(?<=\d)(w|wu|d|f)(?![a-zà-ÿ])", r"(\1)"),
        (r"\b(?:then|und|and|et|poi|dann|luego|puis)\b", ";"),
        (r"(?<=[gbw\d])\s*\((\d+(?:\s*[,/;-]\s*\d+)+)\)", r": \1"),
        (r"\b2\s*x\s*(\d+(?:[.,]\d+)?(?:kg|lb))(?=\s*:?\s+\d+(?:\s*[/,;-]\s*\d+)+)", r"\1"),
        (r"\(([^(),;]*\d\s*x\s*\d[^(),;]*)\)\s*x\s*(\d{1,2})(?!\d)", r"\1x\2sets"),
        (r"(?<=\d)\s*\(\s*x\s*(\d{1,2})\s*\)", r"x\1sets"),
        (r"^(\d{1,2})\s*(?:sets?|sätze?|séries?|series?|serie)\s*:\s*(\d[\d.,]*\s*(?:kg|lb)?\s*x\s*\d+)$",
         r"\2x\1sets"),
        (r"\n+", ";"),
        (r"(?<=kg|lb|bw)\s*:\s*(?=\d)", ": "),
    )
)  # fmt: skip

# A comma between digits is a decimal mark only where a load stands: before a unit or a
# times sign (not after one), after @ or a sign, or as a half or quarter before a list.
_DECIMALS: tuple[re.Pattern[str], ...] = tuple(
    re.compile(pattern)
    for pattern in (
        r"(?<![x\d.,/])(\d+),(\d{1,2})(?=\s*(?:kg|lb|x))",
        r"(?<=\d,)(\d+),(5|25|75|50)(?=\s*(?:kg|lb|x))",
        r"(?<=[@+])(\s*\d+),(\d{1,2})(?![\d,]|\s*x)",
        r"(?<=kgx)(\d+),(\d{1,2})(?=\s*(?:kg|lb))",
        r"(?<![x\d.,/])(?<!x )(\d+),(5|25|75|50)(?=\s*:?\s+\d)",
        r"((?:rpe|rir)\s*\d+),(\d)(?![\d,])",
        r"(?<=x)(\d+),(\d{1,2})(?=\s*(?:kg|lb))",
    )
)

_RISING = re.compile(
    r"(?<![\d.,/x])(\d+(?:[.,]\d+)?(?:\s*/\s*\d+(?:[.,]\d+)?)+)(kg|lb|)x(\d{1,3})(?![\d.,x/+-])"
)
"""Loads of sets that have their reps in common: `60/80/100x5`."""

_PLAIN_FORM = re.compile(r"[\dx.,;@/+ -]*")


def _each_load(found: re.Match[str]) -> str:
    """Write `60/80x5` as `60x5, 80x5`, where every number can only be a load."""
    loads = re.split(r"\s*/\s*", found.group(1))
    if any(float(n.replace(",", ".")) <= SURE_LOAD for n in loads):
        return found.group()
    return ", ".join(f"{n.replace(',', '.')}{found.group(2)}x{found.group(3)}" for n in loads)


def prepare(shown: str) -> str:
    """Return a cell in the few words and signs of the grammar."""
    if _PLAIN_FORM.fullmatch(shown):
        text = shown.strip(" .;,")  # no word in it, so nothing to rewrite
    else:
        text = re.sub(r"(?<!\d)(?<!\d )\bKG(?![A-WYZa-wyz])", "bw", shown).casefold().strip(" .;,")
        for pattern, new in _REWRITES:
            text = pattern.sub(new, text)
    if re.match(r"[xX×]\s*\d", text):
        # `x8 x8 x7`: the load stands elsewhere, and each times sign begins a set.
        text = re.sub(r"[,;/]?\s*(?:^|(?<=[\s,;/]))[xX×]\s*(?=\d)", ", ", text).strip(" ,")
    text = re.sub(r"\s*x\s*", "x", re.sub(r"\s*@\s*", "@", text))
    if "/" in text:
        text = _RISING.sub(_each_load, text)
    if "," in text:
        for pattern in _DECIMALS:
            text = pattern.sub(r"\1.\2", text)
    return text
