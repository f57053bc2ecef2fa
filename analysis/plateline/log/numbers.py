"""Numbers as people write them: decimal comma or point, thousands marks, halves."""

from __future__ import annotations

import math
import re
import unicodedata
from collections import Counter
from collections.abc import Iterable
from typing import Literal

__all__ = [
    "HIDDEN", "MISSING", "DecimalMark", "decimal_mark", "is_missing", "plain", "read_number",
    "without_marks",
]  # fmt: skip

DecimalMark = Literal[".", ","]

MISSING = frozenset({
    "", "-", "--", "---", "–", "—", "n/a", "n.a.", "na", "null", "none", "nan", "nil", "#n/a", "?",
    ".", "k.a.", "k. a.", "s/d", "n.d.", "<na>",
})  # fmt: skip
"""What people and programs write for "nothing here" (common practice)."""

HIDDEN = r"\u200b-\u200f\u202a-\u202e\u2060-\u2069\ufeff"
"""Marks that do not show, for a class of a pattern: zero-width ones, and those of direction."""

_SPACES = re.compile(r"[\s\u00a0\u2007\u2009\u202f\u200b\u2060]+")
_INVISIBLE = re.compile(rf"[{HIDDEN}\x00]")
_FRACTIONS = {"½": ".5", "¼": ".25", "¾": ".75"}
_MINUS = str.maketrans({"−": "-", "–": "-", "—": "-", "‐": "-", "‑": "-", "’": "'", "＋": "+"})
_GROUPED = re.compile(r"[+-]?\d{1,3}(?:([.,' ])\d{3})(?:\1\d{3})*")
_SCIENTIFIC = re.compile(r"[+-]?\d+(?:\.\d+)?[eE][+-]?\d{1,3}")


_CHEER = re.compile(
    r"(?:(?<![^\W_])(?:pr|pb|rekord|record|récord|bestleistung|bestwert)|\((?:pr|pb)!*\)|!"
    r"|(?![\u2715-\u2718\u274c-\u274e\U0001f44e\U0001f6ab])"
    r"[\u2600-\u2604\u2607-\u27bf\u2b50-\u2b55\ufe0f\U0001f000-\U0001faff])$",
    re.IGNORECASE,
)
"""One mark of what people write behind a set they are glad of. Stars (a rating of feel) and crosses
(a set that failed) are no such marks."""

LONGEST_MARK = 16


def _raised(found: re.Match[str]) -> str:
    return "^" + found.group()


def plain(text: str) -> str:
    """Return `text` with one kind of space, minus and digit, and without invisible marks."""
    if text.isascii():
        return _SPACES.sub(" ", text.replace("\x00", "")).strip()
    for sign, value in _FRACTIONS.items():
        if sign in text:
            text = re.sub(rf"(?<=\d)\s*{sign}", value, text).replace(sign, f"0{value}")
    # The mark of a footnote is no digit: 8² is not 82.
    text = re.sub(r"[\u2070\u00b9\u00b2\u00b3\u2074-\u2079]+", _raised, text)
    text = unicodedata.normalize("NFKC", text)
    return _SPACES.sub(" ", _INVISIBLE.sub("", text)).translate(_MINUS).strip()


def without_marks(text: str) -> tuple[str, str | None]:
    """Part a cell into what it says and the cheer behind it: `100 PR!`, `5!`, a tick, an emoji.

    Returns
    -------
    text, mark
        The mark is None where there is none.
    """
    if text.isascii() and (not text or (text[-1].isalnum() and not text[-1].isalpha())):
        return text, None
    end = len(text)
    while found := _CHEER.search(text, max(0, end - LONGEST_MARK), end):
        end = len(text[: found.start()].rstrip(" ,;-"))
    if not end or end == len(text):
        return text, None
    return text[:end], text[end:].strip(" ,;-")


def is_missing(text: str | None) -> bool:
    """Say whether a cell holds nothing."""
    return text is None or text.strip().casefold() in MISSING


def read_number(text: str, mark: DecimalMark | None = None) -> float | None:
    """Read one number; `None` where it is none, or can be two.

    Parameters
    ----------
    text
        The cell, after :func:`plain`.
    mark
        The decimal mark of the file where that is known; it settles `1.250` and `102,500`.

    Returns
    -------
    float or None
        May be infinite or NaN when the text says so.
    """
    text = (
        text.replace(" ", "")
        if re.fullmatch(r"[+-]?\d{1,3}(?: \d{3})+(?:[.,]\d+)?", text)
        else text
    )
    text = re.sub(r"^([+-]) (?=\d)", r"\1", text)
    if re.fullmatch(r"[+-]?\d+", text):
        return float(text) if len(text) < 300 else math.inf
    if re.fullmatch(r"[+-]?(?:inf|infinity|∞)", text, re.IGNORECASE):
        return -math.inf if text.startswith("-") else math.inf
    if text.casefold() == "nan":
        return math.nan
    if _SCIENTIFIC.fullmatch(text):
        return float(text)
    half = re.fullmatch(r"([+-]?\d+) ([1-3])[/⁄]([248])", text)
    if half:
        whole, top, bottom = half.groups()
        part = int(top) / int(bottom)
        return float(whole) + (-part if whole.startswith("-") else part)
    if not re.fullmatch(r"[+-]?(?:\d[\d.,']*|[.,]\d+)", text) or text.endswith(("'",)):
        return None
    return _with_marks(text, mark)


def _with_marks(text: str, mark: DecimalMark | None) -> float | None:
    points, commas = text.count("."), text.count(",")
    bare = text.replace("'", "") if "'" in text else text
    if "'" in text and not re.fullmatch(r"[+-]?\d{1,3}(?:'\d{3})+(?:[.,]\d+)?", text):
        return None
    if points and commas:
        decimal = "." if bare.rfind(".") > bare.rfind(",") else ","
        other = "," if decimal == "." else "."
        whole, _, rest = bare.rpartition(decimal)
        if decimal in whole or not _is_grouped(whole, other):
            return None
        return float(whole.replace(other, "") + "." + rest) if rest else None
    if points + commas > 1:
        sign = "." if points else ","
        return float(bare.replace(sign, "")) if _is_grouped(bare, sign) else None
    if points + commas == 0:
        return float(bare)
    sign: DecimalMark = "." if points else ","
    decimal_reading = float(bare.replace(",", ".") + "0")
    if not _GROUPED.fullmatch(bare) or bare.lstrip("+-").startswith("0"):
        return decimal_reading
    if mark is not None:
        return decimal_reading if mark == sign else float(bare.replace(sign, ""))
    grouped_reading = float(bare.replace(sign, ""))
    # 60.000 is sixty with three decimals: sixty thousand kilograms were never lifted.
    return decimal_reading if abs(grouped_reading) > 1500 else None


def _is_grouped(text: str, sign: str) -> bool:
    return bool(re.fullmatch(rf"[+-]?\d{{1,3}}(?:{re.escape(sign)}\d{{3}})+", text))


def decimal_mark(texts: Iterable[str]) -> DecimalMark | None:
    """Return the decimal mark that the numbers of a file show, or None where none does.

    Only numbers that can be read one way are counted: `102,5` shows a comma, `1.250` nothing.
    """
    votes = {".": 0, ",": 0}
    for text, times in Counter(texts).items():
        for found in re.finditer(r"(?<![\d.,])\d+([.,])(\d+)(?![\d.,])", text):
            if len(found.group(2)) != 3 or found.group().startswith("0"):
                votes[found.group(1)] += times
        both = re.search(r"\d([.,])\d{3}([.,])\d", text)
        if both and both.group(1) != both.group(2):
            votes[both.group(2)] += times
    if votes["."] == votes[","]:
        return None
    return "." if votes["."] > votes[","] else ","
