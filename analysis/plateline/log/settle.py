"""From drafts to sets: every cell read, or the row refused with the cell and the reason."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from plateline.log.account import Said
from plateline.log.date_order import DateReader
from plateline.log.draft_types import Draft
from plateline.log.kinds import (
    FAILURE_WORDS,
    KIND_BEHIND,
    KindReader,
    fold_words,
    is_yes,
    kind_behind,
)
from plateline.log.limits import heaviest_kg
from plateline.log.notation_sets import NotedSet
from plateline.log.numbers import DecimalMark, is_missing, plain
from plateline.log.settle_work import WorkReader
from plateline.log.sum_words import SUM_WORDS
from plateline.log.tally import Tally
from plateline.log.value_effort import read_effort, read_feel, read_rest_s
from plateline.log.value_load import Load
from plateline.log.values import MOST_ASSISTANCE_KG, Unreadable, read_unit
from plateline.log.was_done import check_done, check_note
from plateline.words import SetKind

__all__ = ["FIELDS", "LONGEST_NAME", "PLACE", "Settler"]

FIELDS = (
    "client", "date", "time_s", "session", "exercise", "set_order", "set_kind", "superset",
    "load_kg", "reps", "rir", "side", "rest_s", "feel", "note", "source_line", "flag",
)  # fmt: skip
"""The fields of a settled set, in the order of the tuples that :meth:`Settler.sets_of` returns."""

LONGEST_NAME = 200
PLACE = re.compile(
    rf"(?P<letter>[A-H])\d{{1,2}}\s*[.):–-]?\s+|[A-H]\s*[):]\s+"
    rf"|\d{{1,2}}\s*[.)]\s+(?=[^\W\d_])|(?=~)|(?=(?i:.*{KIND_BEHIND}))"
    rf"|(?=(?i:{'|'.join(sorted(SUM_WORDS))})$)"
)
"""What makes a name one to look at closely: a place in a superset (`A1. `, `B2 `) or in the session
(`A) `, `3. `) before it, a kind of set behind it, a stroke through it, or a word for a sum in its place."""

MOST_UNKNOWN = 50
"""Unknown set kinds that are named; beyond, the column is no set kind."""


@dataclass
class Settler:
    """Reads the drafts of one file.

    Attributes
    ----------
    name
        The file, for sentences.
    dates, kinds, mark, load_first
        What the whole file settled.
    client
        The client of rows that name none.
    unit, client_units
        The units that the command and the clients file give.
    """

    name: str
    dates: DateReader
    kinds: KindReader
    mark: DecimalMark | None = None
    load_first: bool = False
    client: str = "me"
    unit: str | None = None
    client_units: Mapping[str, str] = field(default_factory=dict)
    file_unit: str | None = None
    needs_client: bool = False
    unread: dict[tuple[str, str], list[tuple[int, str]]] = field(default_factory=dict)
    unknown_kinds: dict[tuple[str, str], int] = field(default_factory=dict)
    tallies: dict[str, Tally] = field(default_factory=dict)
    who: str = ""
    placed: str = ""
    kind_behind: str = ""
    _efforts: dict[tuple[str, str], float | Unreadable | None] = field(default_factory=dict)
    _texts: dict[str, str | None] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Make the reader of loads and reps."""
        self._work = WorkReader(self.mark, self.load_first)

    def sets_of(self, draft: Draft) -> list[tuple[object, ...]]:
        """Return the sets of a draft.

        Raises
        ------
        Unreadable
            With the column, its value and the reason, when the row is refused.
        """
        if draft.fault is not None:
            column, value, reason = draft.fault
            raise Unreadable(reason, column, value)
        found: list[tuple[object, ...]] = []
        for own in draft.sets or ({},):
            found.extend(self._sets(draft, {**draft.shared, **{k: v for k, v in own.items() if v}}))
        if not found:
            raise Unreadable("The row has no set; write load and reps.", "reps", "")
        return found

    def _sets(self, draft: Draft, cell: Mapping[str, str]) -> list[tuple[object, ...]]:
        day, time_s = self._date(cell)
        exercise, letter = self._exercise(cell)
        if behind := kind_behind(exercise):
            self.kind_behind = self.kind_behind or exercise
            exercise = behind[0]
            cell = {**cell, "set_kind": cell.get("set_kind") or behind[1]}
        if letter is None and re.fullmatch(r"[A-Ha-h]\d", place := cell.get("place", "")):
            letter = place[0].upper()
        client = self.who = self._text(cell.get("client", "")) or self.client
        if self.needs_client and not cell.get("client"):
            raise Unreadable(
                "The row names no client, but others do; write whose it is.", "client", "",
            )  # fmt: skip
        self.tally.no_client += not cell.get("client")
        check_done(cell)
        line = draft.row.line
        kind, is_failure = self._kind(cell, line)
        unit = self._unit(cell, client)
        sets = self._work.read(cell)
        check_note(cell)
        limit = heaviest_kg(exercise)
        rirs = self._rir(cell, len(sets), line)
        order = self._order(cell, line)
        session = self._text(cell.get("session", ""))
        superset = self._text(cell.get("superset", "")) or letter
        side, note = self._text(cell.get("side", "")), self._text(cell.get("note", ""))
        rest_s = self._optional(cell, "rest_s", line)
        feel = self._optional(cell, "feel", line)
        found: list[tuple[object, ...]] = []
        for position, one in enumerate(sets):
            load_kg = self._load_kg(one, unit, limit, cell)
            rir = one.rir if one.rir is not None else rirs[position]
            if rir is None and is_failure:
                rir = 0.0
            remark = "; ".join(t for t in (note, one.remark) if t) or None
            self.tally.clusters += one.flag == "cluster"
            found.append((
                client, day, time_s, session, exercise,
                order if len(sets) == 1 else None, (one.kind or kind).value, superset,
                load_kg, one.reps, rir, one.side or side, rest_s, feel, remark, line, one.flag,
            ))  # fmt: skip
        return found

    @property
    def tally(self) -> Tally:
        """What was taken for granted of the client whose row is being read."""
        return self.tallies.setdefault(self.who, Tally())

    def _date(self, cell: Mapping[str, str]) -> tuple[object, int | None]:
        text = cell.get("date", "")
        if "year" in cell and "month" in cell and text.isdecimal() and len(text) <= 2:
            text = (
                f"{cell['year']}-{cell['month']}-{text}"
                if cell["month"].isdecimal()
                else (f"{text} {cell['month']} {cell['year']}")
            )
        if is_missing(text):
            raise Unreadable("The row has no date; write it like 2026-03-25.", "date", text)
        day, time_s, reason = self.dates.read(text)
        if reason is not None:
            raise Unreadable(reason, "date", text)
        clock = cell.get("time", "")
        if time_s is None and clock and day is not None:
            time_s = self.dates.read(f"{day.isoformat()} {clock}")[1]
        return day, time_s

    def _exercise(self, cell: Mapping[str, str]) -> tuple[str, str | None]:
        """Return the exercise, and the letter of its superset where `A1` or `B2` stands before it."""
        name = self._text(cell.get("exercise", ""))
        if name is None or is_missing(name):
            raise Unreadable("The row names no exercise; write its name.", "exercise", name or "")
        if not re.search(r"[^\W\d_]", name):
            raise Unreadable(
                f"{name!r} is no name of an exercise; check that the columns are not shifted.",
                "exercise", name,
            )  # fmt: skip
        if len(name) > LONGEST_NAME:
            raise Unreadable(
                f"The exercise has {len(name)} characters; a name has at most {LONGEST_NAME}.",
                "exercise", name[:LONGEST_NAME],
            )  # fmt: skip
        if re.fullmatch(r"~~?\S.*~", name):
            raise Unreadable(
                f"{name[:60]!r} is struck out, so it was not done; leave the row out.", "exercise", name,
            )  # fmt: skip
        labelled = PLACE.match(name)
        if labelled and labelled.end() and re.search(r"[^\W\d_]{2}", name[labelled.end() :]):
            self.placed = self.placed or name
            return name[labelled.end() :], labelled.group("letter")
        return name, None

    def _text(self, text: str) -> str | None:
        """Return text without invisible marks; None for nothing."""
        if text not in self._texts:
            if text.isascii() and text.isprintable():
                found = text.strip()
            else:
                shown = re.sub(
                    r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\u200b-\u200f\u202a-\u202e\u2060-\u2069\ufeff]",
                    "",
                    text,
                )
                found = re.sub(r"\s+", " ", shown).strip()
            self._texts[text] = found or None
        return self._texts[text]

    def _kind(self, cell: Mapping[str, str], line: int) -> tuple[SetKind, bool]:
        text = cell.get("set_kind", "")
        if is_yes(cell.get("warm_up", "")):
            return SetKind.WARM_UP, False
        order = cell.get("set_order", "")
        if not text and order and not order.isdecimal() and self.kinds.read(order) is not None:
            text = order
        kind = self.kinds.read(text)
        if kind is None:
            self.unknown_kinds.setdefault((self.who, text[:40]), line)
            kind = SetKind.WORKING
        return kind, fold_words(text) in FAILURE_WORDS

    def _unit(self, cell: Mapping[str, str], client: str) -> str | None:
        """Return the unit of a load that does not say its own, in the order of the contract."""
        if "load unit" in cell:
            return cell["load unit"]
        said = read_unit(cell.get("unit"))
        if said is None and not is_missing(cell.get("unit", "")):
            text = cell["unit"]
            raise Unreadable(f"The unit {text!r} is not known; write kg or lb.", "unit", text)
        return said or self.file_unit or self.client_units.get(client) or self.unit

    def _load_kg(
        self, one: NotedSet, unit: str | None, limit: float, cell: Mapping[str, str]
    ) -> float:
        shown = cell.get("load") or cell.get("notation") or cell.get("reps", "")
        if one.load is None:
            if "load" in cell or "notation" in cell:
                raise Unreadable(
                    _why_no_load(cell.get("notation", "")),
                    "load", shown if "notation" in cell else cell.get("load", ""),
                )  # fmt: skip
            raise Unreadable("The row has no load; write it like 102.5.", "load", "")
        used = one.unit or unit
        if used is None and one.load:
            self.tally.bare_loads += 1
        self.tally.pounds += used == "lb"
        load_kg = Load(one.load).kg("lb" if used == "lb" else "kg")
        if load_kg > limit:
            raise Unreadable(
                f"{load_kg:g} kg is more than anyone has lifted in this exercise (limit {limit:g} kg); "
                "correct the load.", "load", shown,
            )  # fmt: skip
        if load_kg < -MOST_ASSISTANCE_KG:
            raise Unreadable(
                f"{load_kg:g} kg is more assistance than a body weighs; correct the load.",
                "load",
                shown,
            )
        return load_kg

    def _rir(self, cell: Mapping[str, str], number: int, line: int) -> list[float | None]:
        """Return reps in reserve for each set; RIR before RPE where both are given."""
        for scale in ("rir", "rpe"):
            text = cell.get(scale, "")
            if is_missing(text):
                continue
            parts = (
                re.split(r"\s*[/;|]\s*|\s*,\s+|\s+|(?<=\d),(?=\d)", plain(text))
                if number > 1
                else [text]
            )
            listed = parts if len(parts) == number else [text]
            self.tally.half_rpe += scale == "rpe" and "9.5" in text.replace(",", ".")
            try:
                found = [self._effort(p, scale) for p in listed]
            except Unreadable as fault:
                if "finite" in fault.reason:
                    raise Unreadable(fault.reason, scale, text) from None
                self.unread.setdefault((self.who, scale), []).append((line, text[:40]))
                continue
            return found if len(found) == number else found * number
        return [None] * number

    def _effort(self, text: str, scale: str) -> float | None:
        key = (text, scale)
        if key not in self._efforts:
            try:
                self._efforts[key] = read_effort(
                    text, "rir" if scale == "rir" else "rpe", self.mark
                )
            except Unreadable as fault:
                self._efforts[key] = fault
        found = self._efforts[key]
        if isinstance(found, Unreadable):
            raise found
        return found

    def _optional(self, cell: Mapping[str, str], column: str, line: int) -> float | None:
        text = cell.get(column, "")
        if is_missing(text):
            return None
        try:
            if column == "feel":
                return read_feel(text, self.mark)
            return read_rest_s(text, cell.get("rest_s unit") == "min", self.mark)
        except Unreadable:
            self.unread.setdefault((self.who, column), []).append((line, text[:40]))
            return None

    def _order(self, cell: Mapping[str, str], line: int) -> int | None:
        text = cell.get("set_order", "")
        if is_missing(text):
            return None
        found = re.fullmatch(r"\D{0,12}?(\d{1,6})(?:\.0+|[.):]| ?/ ?\d+)?", text.strip())
        if found:
            return int(found.group(1))
        if self.kinds.read(text) is None:
            self.unread.setdefault((self.who, "set_order"), []).append((line, text[:40]))
        return None

    def said(self) -> Iterable[Said]:
        """Say which cells were left empty and which words were not known, client by client."""
        if self.placed:
            yield Said(
                None,
                f"{self.name}: letters or numbers before names, as in {self.placed[:60]!r}, are read as places in "
                "supersets or in the session.",
            )
        if self.kind_behind:
            yield Said(
                None,
                f"{self.name}: words behind names, as in {self.kind_behind[:60]!r}, are read as kinds of sets.",
            )
        for (client, column), cells in self.unread.items():
            shown = ", ".join(f"line {line} {text!r}" for line, text in cells[:3])
            more = f" and {len(cells) - 3} more" if len(cells) > 3 else ""
            yield Said(
                client,
                f"{self.name}: {column} could not be read and was left empty: {shown}{more}.",
            )
        for (client, text), line in list(self.unknown_kinds.items())[:MOST_UNKNOWN]:
            yield Said(
                client,
                f"{self.name}: the set kind {text!r} (first on line {line}) is not known; such sets "
                "count as working sets.",
            )


def _why_no_load(noted: str) -> str:
    """Say what a row without a load lacks, by what its short form shows."""
    text = plain(noted)
    if re.fullmatch(r"\d+(?:[.,]\d+)?", text):
        return f"{text!r} is one number, a load or reps; write both, such as 100x5."
    pair = re.fullmatch(r"(\d{2,3}(?:[.,]\d+)?) ?/ ?(\d{1,2})", text)
    if pair:
        return (
            f"{text!r} can be load and reps, or the reps of two sides; write "
            f"{pair.group(1)}x{pair.group(2)}, or the load too."
        )
    return "The row has no load; write it like 102.5, or 0 or BW for body mass alone."


def distinct(drafts: Sequence[Draft], columns: Iterable[str]) -> dict[str, dict[str, None]]:
    """Return the distinct texts of some columns, in the order in which they occur."""
    found: dict[str, dict[str, None]] = {c: {} for c in columns}
    for draft in drafts:
        if draft.is_blank:
            continue
        for cell in (draft.shared, *draft.sets):
            for column, texts in found.items():
                text = cell.get(column)
                if text:
                    texts[text] = None
    return found
