"""From drafts to sets: every cell read, or the row refused with the cell and the reason."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from plateline.log.account import Said
from plateline.log.date_order import DateReader
from plateline.log.draft_types import Draft
from plateline.log.kinds import FAILURE_WORDS, KindReader, fold_words, is_yes
from plateline.log.limits import heaviest_kg
from plateline.log.numbers import HIDDEN, DecimalMark, is_missing
from plateline.log.settle_beside import BesideReader
from plateline.log.settle_exercise import ExerciseReader
from plateline.log.settle_load import LoadReader
from plateline.log.settle_work import WorkReader
from plateline.log.tally import Tally
from plateline.log.values import Unreadable
from plateline.log.was_done import check_done, check_note
from plateline.words import SetKind

__all__ = ["Settler"]

MOST_UNKNOWN = 50
"""Unknown set kinds that are named; beyond, the column is no set kind."""

_PLACE_CELL = re.compile(r"[A-Ha-h]\d")
"""A place in a superset, in a column of its own."""

_NO_TEXT = re.compile(rf"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f{HIDDEN}]")


@dataclass
class Settler:
    """Reads the drafts of one file.

    Attributes
    ----------
    name
        The file, for sentences.
    dates, kinds, loads, mark, load_first
        What the whole file settled.
    client
        The client of rows that name none.
    needs_client
        Whether a row that names no client is refused, as others do.
    tallies
        What was taken for granted, client by client.
    """

    name: str
    dates: DateReader
    kinds: KindReader
    loads: LoadReader
    mark: DecimalMark | None = None
    load_first: bool = False
    client: str = "me"
    needs_client: bool = False
    tallies: dict[str, Tally] = field(default_factory=dict)
    _unknown_kinds: dict[tuple[str, str], int] = field(default_factory=dict)
    _texts: dict[str, str | None] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Make the readers of the cells that go together."""
        self._exercises = ExerciseReader()
        self._work = WorkReader(self.mark, self.load_first)
        self._beside = BesideReader(self.kinds, self.mark)

    def sets_of(self, draft: Draft) -> list[tuple[object, ...]]:
        """Return the sets of a draft, each with the columns of PART in their order.

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
            cell = {**draft.shared, **{k: v for k, v in own.items() if v}}
            found.extend(self._sets(cell, draft.row.line))
        if not found:
            raise Unreadable("The row has no set; write load and reps.", "reps", "")
        return found

    def _sets(self, cell: Mapping[str, str], line: int) -> list[tuple[object, ...]]:
        """Return the sets of some cells; of several faults, that of the earliest step is told."""
        day, time_s = self._date(cell)
        exercise, letter, word = self._exercises.read(self._text(cell.get("exercise", "")))
        if word is not None and not cell.get("set_kind"):
            cell = {**cell, "set_kind": word}
        if letter is None and _PLACE_CELL.fullmatch(place := cell.get("place", "")):
            letter = place[0].upper()
        client = self._text(cell.get("client", "")) or self.client
        if self.needs_client and not cell.get("client"):
            raise Unreadable(
                "The row names no client, but others do; write whose it is.", "client", "",
            )  # fmt: skip
        tally = self.tallies.setdefault(client, Tally())
        tally.no_client += not cell.get("client")
        check_done(cell)
        kind, is_failure = self._kind(cell, client, line)
        unit = self.loads.unit_of(cell, client)
        sets = self._work.read(cell)
        check_note(cell)
        limit = heaviest_kg(exercise)
        beside = self._beside.read(cell, len(sets), client, line, tally)
        session = self._text(cell.get("session", ""))
        superset = self._text(cell.get("superset", "")) or letter
        side, note = self._text(cell.get("side", "")), self._text(cell.get("note", ""))
        found: list[tuple[object, ...]] = []
        for one, rir_beside in zip(sets, beside.rirs, strict=True):
            load_kg = self.loads.kg(one, unit, limit, cell, tally)
            rir = one.rir if one.rir is not None else rir_beside
            if rir is None and is_failure:
                rir = 0.0
            remark = "; ".join(t for t in (note, one.remark) if t) or None
            tally.clusters += one.flag == "cluster"
            found.append((
                client, day, time_s, session, exercise,
                beside.set_order if len(sets) == 1 else None, (one.kind or kind).value, superset,
                load_kg, one.reps, rir, one.side or side, beside.rest_s, beside.feel, remark, line,
                one.flag,
            ))  # fmt: skip
        return found

    def _date(self, cell: Mapping[str, str]) -> tuple[object, int | None]:
        text = cell.get("date", "")
        if "year" in cell and "month" in cell and text.isdecimal() and len(text) <= 2:
            text = (
                f"{cell['year']}-{cell['month']}-{text}"
                if cell["month"].isdecimal()
                else f"{text} {cell['month']} {cell['year']}"
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

    def _text(self, text: str) -> str | None:
        """Return text without marks that do not show; None for nothing."""
        if text not in self._texts:
            if text.isascii() and text.isprintable():
                found = text.strip()
            else:
                found = re.sub(r"\s+", " ", _NO_TEXT.sub("", text)).strip()
            self._texts[text] = found or None
        return self._texts[text]

    def _kind(self, cell: Mapping[str, str], client: str, line: int) -> tuple[SetKind, bool]:
        """Return the kind of a row's sets, and whether its word says that they went to failure."""
        if is_yes(cell.get("warm_up", "")):
            return SetKind.WARM_UP, False
        text, order = cell.get("set_kind", ""), cell.get("set_order", "")
        if not text and order and not order.isdecimal() and self.kinds.read(order) is not None:
            text = order
        kind = self.kinds.read(text)
        if kind is None:
            self._unknown_kinds.setdefault((client, text[:40]), line)
            kind = SetKind.WORKING
        return kind, fold_words(text) in FAILURE_WORDS

    def said(self) -> Iterable[Said]:
        """Say what names held, which cells were left empty and which words were not known."""
        yield from self._exercises.said(self.name)
        yield from self._beside.said(self.name)
        for (client, text), line in list(self._unknown_kinds.items())[:MOST_UNKNOWN]:
            yield Said(
                client,
                f"{self.name}: the set kind {text!r} (first on line {line}) is not known; such sets "
                "count as working sets.",
            )
