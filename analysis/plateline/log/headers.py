"""From the headers that people write to the kit's columns.

The synonyms are a data file, `headers.csv`: one line per column and language, alternatives
parted by `|`. Add a word there and it is read.
"""

from __future__ import annotations

import csv
import difflib
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources

from plateline.log.header_forms import read_form
from plateline.log.kinds import fold_words

__all__ = [
    "NEEDED",
    "UNIT_WORDS",
    "Header",
    "closest",
    "known_columns",
    "read_header",
    "says_done",
    "tidy",
    "words_for",
]

NEEDED = ("date", "exercise", "load", "reps")

SLIP_LENGTH = 6
"""Letters from which on a header one slip away from a known word is read as that word, if it
begins with the same letter (a height is no weight)."""

LONG_HEADER = 8
"""Letters from which on two slips are borne."""

UNIT_WORDS = {
    "kg": "kg", "kgs": "kg", "kilo": "kg", "kilos": "kg", "kilogram": "kg", "kilograms": "kg",
    "kilogramm": "kg", "lb": "lb", "lbs": "lb", "pound": "lb", "pounds": "lb", "libras": "lb",
    "s": "s", "sec": "s", "secs": "s", "seconds": "s", "sek": "s", "sekunden": "s",
    "min": "min", "mins": "min", "minutes": "min", "minuten": "min",
}  # fmt: skip
_SET_WORDS = r"(?:set|sets|satz|s|serie|série|ser|round|runde|work ?set)"


_DONE_WORDS = (
    "actual|done|performed|achieved|completed|ist|tatsachlich|tatsachliche|gemacht|geschafft|reel|"
    "realise|realisees|fait|faites|hecho|hechas|realizado|realizadas|real|reales|fatto|fatte|eseguito|"
    "eseguite|effettivo|feito|feitas|executado"
)
_PLAN_WORDS = (
    "target|planned|plan|goal|prescribed|scheduled|soll|geplant|geplante|ziel|vorgabe|prevu|prevues|"
    "prevue|objectif|objetivo|previsto|previstas|planificado|obiettivo|previste|programmato|"
    "planejado|planejadas|meta"
)
_DONE, _PLANNED = frozenset(_DONE_WORDS.split("|")), frozenset(_PLAN_WORDS.split("|"))
"""Words of headers (without accents) for what was done, and for what was to be done."""


_FILLING = frozenset(
    [
        "name",
        "of",
        "the",
        "full",
        "your",
        "nom",
        "nombre",
        "nome",
        "de",
        "l",
        "du",
        "del",
        "della",
        "do",
        "da",
        "la",
        "le",
        "des",
        "der",
        "die",
        "das",
        "vom",
    ]
)
"""Words around the one that says what a column holds: `Name of client`, `Full name of athlete`."""


@dataclass(frozen=True, slots=True)
class Header:
    """One header cell: as written, the columns it may be, its unit, its number among sets."""

    text: str
    columns: tuple[str, ...] = ()
    unit: str | None = None
    number: int | None = None
    was_near: bool = False
    rest: str = ""

    @property
    def is_exercise(self) -> bool:
        """Whether it names exercises and nothing else: a machine or a name may be something else."""
        return "exercise" in self.columns and not {"client", "ignored"}.intersection(self.columns)

    @property
    def column(self) -> str | None:
        """The likeliest column, None where the header is not known."""
        return self.columns[0] if self.columns else None


def tidy(text: str) -> str:
    """Return a header without case, accents and marks, for look-up."""
    return _tidy(text) if len(text) <= LONGEST_KEPT else _tidy.__wrapped__(text)


LONGEST_KEPT = 200
"""Characters up to which a text is kept with what it was tidied to; cells of a log repeat."""


@lru_cache(maxsize=16_384)
def _tidy(text: str) -> str:
    spaced = re.sub(r"(?<=[a-zäöüß])(?=[A-Z])", " ", text)
    folded = fold_words(spaced.replace("#", " # "))
    return re.sub(r"[^\w#%]+|_+", " ", folded).strip()


@lru_cache(maxsize=4)
def _synonyms(file: str = "headers.csv") -> dict[str, tuple[str, ...]]:
    text = resources.files("plateline.log").joinpath(file).read_text("utf-8")
    found: dict[str, list[str]] = {}
    for row in csv.DictReader(text.splitlines()):
        own = [row["column"]]
        for word in own + row["headers"].split("|"):
            columns = found.setdefault(tidy(word), [])
            if row["column"] not in columns:
                columns.append(row["column"])
    return {word: tuple(columns) for word, columns in found.items() if word}


def known_columns(file: str = "headers.csv") -> tuple[str, ...]:
    """Return the columns that headers can be read as."""
    return tuple(dict.fromkeys(c for columns in _synonyms(file).values() for c in columns))


@lru_cache(maxsize=4096)
def read_header(text: str, file: str = "headers.csv") -> Header:
    """Read one header cell: `Weight (lb)`, `Gewicht kg`, `Set 2 Reps`, `Excercise`."""
    if len(text) > 200:
        return Header(text)
    folded = tidy(text)
    table = _synonyms(file)
    if folded in table:
        return Header(text, table[folded], unit=_lone_unit(folded))
    bare, unit = _without_unit(text, folded)
    if bare in table:
        return Header(text, table[bare], unit=unit)
    numbered = _numbered(text, bare, unit, table)
    if numbered is not None:
        return numbered
    if form := read_form(text, folded, table):
        return Header(text, form.columns, unit or _lone_unit(form.words), rest=form.rest)
    outside = tidy(re.sub(r"[(\[].*?[)\]]", " ", text))
    if outside and outside in table:
        return Header(text, table[outside], unit=unit)
    meant = _planned_or_done(text, bare, unit, table)
    if meant is not None:
        return meant
    core = " ".join(w for w in bare.split() if w not in _FILLING)
    if core != bare and len(table.get(core, ())) == 1:
        return Header(text, table[core], unit)
    if len(bare) >= SLIP_LENGTH:
        from rapidfuzz.distance import OSA

        most = 1 if len(bare) < LONG_HEADER else 2
        near = [
            w
            for w in table
            if len(w) >= SLIP_LENGTH
            and w[0] == bare[0]
            and OSA.distance(bare, w, score_cutoff=most) <= most
        ]
        if near and len({table[w] for w in near}) == 1:
            return Header(text, table[near[0]], unit=unit, was_near=True)
    return Header(text)


def says_done(text: str) -> bool:
    """Say whether a header speaks of what was done, not of what was planned: `Actual reps`."""
    return not _DONE.isdisjoint(tidy(text).split())


def _planned_or_done(
    text: str, bare: str, unit: str | None, table: dict[str, tuple[str, ...]]
) -> Header | None:
    """Read `Ist kg` as kg and `Soll kg` as none of a log's columns."""
    words = bare.split()
    rest = " ".join(w for w in words if w not in _DONE | _PLANNED)
    if not rest and unit in ("kg", "lb"):
        rest = unit
    if not rest or rest not in table or (len(rest.split()) == len(words) and rest != unit):
        return None
    if _PLANNED.isdisjoint(words):
        return Header(text, table[rest], unit or _lone_unit(rest))
    return Header(text, ("ignored",)) if _DONE.isdisjoint(words) else None


def _lone_unit(folded: str) -> str | None:
    return next((UNIT_WORDS[w] for w in reversed(folded.split()) if w in UNIT_WORDS), None)


def _without_unit(text: str, folded: str) -> tuple[str, str | None]:
    """Take the unit out of a header, in brackets, after a stroke or as its last word."""
    words = folded.split()
    if len({UNIT_WORDS[w] for w in words if w in UNIT_WORDS}) > 1:
        return " ".join(w for w in words if w not in UNIT_WORDS), None
    for position in (len(words) - 1, 0):
        if len(words) > 1 and words[position] in UNIT_WORDS:
            rest = words[:position] + words[position + 1 :]
            return " ".join(w for w in rest if w != "in"), UNIT_WORDS[words[position]]
    inside = re.search(r"[(\[]\s*(?:in\s+)?([A-Za-z]+)\.?\s*[)\]]", text)
    if inside and inside.group(1).casefold() in UNIT_WORDS:
        return tidy(text.replace(inside.group(), " ")), UNIT_WORDS[inside.group(1).casefold()]
    return folded, None


def _numbered(
    text: str, bare: str, unit: str | None, table: dict[str, tuple[str, ...]]
) -> Header | None:
    """Read a header that belongs to the n-th set: `load 1`, `Set 2 kg`, `3. Satz Wdh`, `W1`."""
    if re.search(r"\b\d+ ?rm\b", bare):
        return None
    if bare.isdecimal():
        bare = tidy(text)
    patterns = (
        rf"{_SET_WORDS} ?#? ?(\d{{1,2}})(?: (.*))?",
        rf"(\d{{1,2}})(?:st|nd|rd|th|a|o|e|er|ere|eme)? {_SET_WORDS}(?: (.*))?",
        rf"()(.+?) (?:{_SET_WORDS} ?)?#? ?(\d{{1,2}})",
        r"()([a-z#]+?)(\d{1,2})",
    )
    for pattern in patterns:
        found = re.fullmatch(pattern, bare)
        if not found:
            continue
        groups = found.groups()
        number = groups[2] if len(groups) == 3 else groups[0]
        rest = (groups[1] or "").strip()
        rest, own = _without_unit(rest, rest) if rest else ("", None)
        unit = own or unit
        if rest in UNIT_WORDS and UNIT_WORDS[rest] in ("kg", "lb"):
            unit = UNIT_WORDS[rest]
        short = {"w": ("load",), "r": ("reps",), "l": ("load",), "g": ("load",), "p": ("load",)}
        if not rest and unit in ("kg", "lb"):
            rest = unit
        columns = ("notation",) if not rest else table.get(rest) or short.get(rest)
        if columns:
            return Header(text, columns, unit or _lone_unit(rest), int(number))
    return None


def closest(column: str, seen: Sequence[str], file: str = "headers.csv") -> list[str]:
    """Return the headers that come closest to a column's known words, best first."""
    words = [word for word, columns in _synonyms(file).items() if column in columns]
    scored = sorted(
        (
            (
                max(
                    (difflib.SequenceMatcher(None, tidy(s)[:40], w).ratio() for w in words),
                    default=0.0,
                ),
                s,
            )
            for s in seen[:60]
        ),
        key=lambda pair: -pair[0],
    )
    return [s for score, s in scored if score >= 0.5][:3]


def words_for(column: str, languages: Iterable[str] = ("en",), file: str = "headers.csv") -> str:
    """Return a few accepted words for a column, for messages."""
    text = resources.files("plateline.log").joinpath(file).read_text("utf-8")
    words = [
        w
        for row in csv.DictReader(text.splitlines())
        if row["column"] == column and row["language"] in languages
        for w in row["headers"].split("|")[:3]
    ]
    return ", ".join(words)
