"""The work of a row: its loads and reps, from a short form or from columns of their own."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from plateline.log.notation import parse_sets
from plateline.log.notation_sets import NotedSet
from plateline.log.numbers import DecimalMark, is_missing, plain, read_number
from plateline.log.value_load import Load, read_load
from plateline.log.value_reps import DROPS, Reps, read_reps
from plateline.log.values import MOST_COUNTED_SETS, SetsRefused, Unreadable
from plateline.log.was_done import was_done
from plateline.words import SetKind

__all__ = ["WorkReader"]


@dataclass
class WorkReader:
    """Reads the loads and reps of the rows of one file; equal cells are read once.

    Attributes
    ----------
    mark, load_first
        What the whole file settled: its decimal mark, and whether the load comes first.
    """

    mark: DecimalMark | None = None
    load_first: bool = False
    _loads: dict[str, Load | Unreadable] = field(default_factory=dict)
    _reps: dict[tuple[str, int | None], list[Reps] | Unreadable] = field(default_factory=dict)
    _noted: dict[str, list[NotedSet] | Unreadable] = field(default_factory=dict)

    def read(self, cell: Mapping[str, str]) -> list[NotedSet]:
        """Return loads and reps: from a short form, or from their own columns.

        Raises
        ------
        Unreadable
            When a set lacks one of them, or either can be read two ways.
        """
        _check_no_word(cell)
        load, reps = cell.get("load", ""), cell.get("reps", "")
        if not is_missing(cell.get("assistance")):
            load = self._assisted(load, cell["assistance"])
        count = self._count(cell)
        if not reps and (cell.get("reps_left") or cell.get("reps_right")):
            reps = "/".join(t for t in (cell.get("reps_left"), cell.get("reps_right")) if t)
        if cell.get("notation"):
            return self._from_notation(cell["notation"], load, "notation", count)
        if is_missing(reps):
            return self._without_reps(load, reps, count)
        if is_missing(load) and re.search(r"[x×*@]|kg|lb", plain(reps), re.IGNORECASE):
            return self._from_notation(reps, "", "reps", count)
        if self.mark == "," and count != 2 and re.fullmatch(r"\d{1,2},5", reps):
            raise SetsRefused(
                f"The reps {reps!r} can be two sets, or a half rep with a decimal comma as in the file's "
                f"loads; write {reps.replace(',', ', ')} for two sets, or whole reps.", "reps", reps,
            )  # fmt: skip
        try:
            counts = self._read_reps(reps, count)
        except SetsRefused:
            raise
        except Unreadable as fault:
            if is_missing(load) or not re.search(r"[x×*,;@ ]", plain(reps)):
                raise
            try:
                return self._from_notation(reps, load, "reps", count)
            except SetsRefused:
                raise
            except Unreadable:
                raise fault from None
        if is_missing(load):
            raise Unreadable(
                "The row has no load; write it like 102.5, or 0 or BW for body mass alone.",
                "load", load,
            )  # fmt: skip
        return self._paired(load, reps, counts, count)

    def _without_reps(self, load: str, reps: str, count: int | None) -> list[NotedSet]:
        """Return the sets of a load cell that holds them whole; else say what the row lacks."""
        if is_missing(load):
            reason = "The row has neither load nor reps; write both, or leave the row out."
            raise Unreadable(reason, "reps", reps)
        if self._holds_sets(load):
            return self._from_notation(load, "", "load", count)
        if not re.search(r"\d", load):
            self._read_loads(load, 1, None)  # a word is what is wrong, if it is no load
        raise Unreadable("The row has no reps; write how many were done.", "reps", reps)

    def _paired(
        self, load: str, reps: str, counts: list[Reps], count: int | None
    ) -> list[NotedSet]:
        """Give each count of reps its load; one of either may stand for all sets."""
        loads = self._read_loads(load, len(counts), count)
        number = max(len(counts), len(loads), count or 1)
        if count is not None and count < number:
            raise _other_count(reps if len(counts) > 1 else load, number, count)
        counts = counts * number if len(counts) == 1 else counts
        loads = loads * number if len(loads) == 1 else loads
        if len(counts) != number or len(loads) != number:
            raise Unreadable(
                f"The row has {len(loads)} loads and {len(counts)} counts of reps for {number} sets; "
                "write one for each set, or one for all.", "reps", reps,
            )  # fmt: skip
        drops = number > 1 and bool(re.search(DROPS, f"{load} {reps}"))
        return [
            NotedSet(r.count, w.value, w.unit, r.rir, _drop(loads, i) if drops else None, r.side, r.flag,
                     "; ".join(t for t in (w.remark, r.remark) if t) or None)
            for i, (w, r) in enumerate(zip(loads, counts, strict=True))
        ]  # fmt: skip

    def _assisted(self, load: str, text: str) -> str:
        """Return the load of a set that a machine or a band made lighter by so much."""
        help_ = self._read_loads(text, 1, None)[0]
        if not help_.value:
            return load
        if not is_missing(load) and self._read_loads(load, 1, None)[0].value:
            raise Unreadable(
                f"The row has a load ({load!r}) and assistance ({text!r}); write one of them.",
                "assistance", text,
            )  # fmt: skip
        return f"{-abs(help_.value):g}{help_.unit or ''}"

    def _holds_sets(self, load: str) -> bool:
        """Say whether a load cell holds more than a load: `100x5`, `140kg 8,7,6`."""
        try:
            self._read_loads(load, 1, None)
        except Unreadable:
            return bool(re.search(r"\d\D+\d", load))
        return False

    def _count(self, cell: Mapping[str, str]) -> int | None:
        text = cell.get("set_count", "")
        if is_missing(text):
            return None
        bare = re.sub(
            r"^x ?(?=\d)|(?<=\d) ?(?:x|sets?|sätze|satz|séries?|series?|serie)$",
            "",
            plain(text).casefold(),
        )
        number = read_number(bare, None)
        if number is None or number % 1 or not 1 <= number <= MOST_COUNTED_SETS:
            raise Unreadable(
                f"{text!r} is no count of sets; write 1 to {MOST_COUNTED_SETS}.", "set_count", text,
            )  # fmt: skip
        return int(number)

    def _from_notation(
        self, text: str, load: str, column: str, count: int | None
    ) -> list[NotedSet]:
        noted = self._noted.get(text)
        prefix = ""
        if noted is None:
            try:
                prefix = (
                    f"{self._row_load(load)} " if not is_missing(load) and _needs_load(text) else ""
                )
                noted = parse_sets(prefix + text, load_first=self.load_first)
            except Unreadable as fault:
                noted = fault
            if is_missing(load):
                self._noted[text] = noted
        if isinstance(noted, Unreadable):
            reason = noted.reason.replace(repr(f"{prefix}{text}"), repr(text))
            if not isinstance(noted, SetsRefused) and column in ("load", "reps"):
                reader = read_load if column == "load" else read_reps
                try:
                    reader(text)
                except Unreadable as fault:
                    reason = fault.reason
            raise type(noted)(reason, column, text)
        if not is_missing(load) and any(s.load is None for s in noted):
            own = self._read_loads(load, len(noted), count)
            own = own * len(noted) if len(own) == 1 else own
            if len(own) == len(noted):
                noted = [
                    s if s.load is not None else _with_load(s, w)
                    for s, w in zip(noted, own, strict=True)
                ]
        if count is not None and len(noted) == 1:
            noted = noted * count
        if count is not None and len(noted) != count:
            raise _other_count(text, len(noted), count)
        return noted

    def _row_load(self, load: str) -> str:
        """Return the row's load as the head of a list of sets, always with a unit or a sign."""
        found = self._read_loads(load, 1, None)[0]
        if found.unit is not None:
            return f"{found.value:g}{found.unit}"
        return "bw" if found.value == 0 else f"{found.value:+g}"

    def _read_reps(self, text: str, count: int | None) -> list[Reps]:
        key = (text, count)
        found = self._reps.get(key)
        if found is None:
            try:
                found = read_reps(text, count)
            except Unreadable as fault:
                found = fault
            self._reps[key] = found
        if isinstance(found, Unreadable):
            raise type(found)(found.reason, "reps", text)
        return found

    def _read_loads(self, text: str, reps: int, count: int | None) -> list[Load]:
        listed = self._listed_loads(text, max(reps, count or 1))
        if listed is not None:
            return listed
        found = self._loads.get(text)
        if found is None:
            try:
                found = read_load(text, self.mark)
            except Unreadable as fault:
                found = fault
            self._loads[text] = found
        if isinstance(found, Load):
            return [found]
        raise Unreadable(found.reason, "load", text)

    def _listed_loads(self, text: str, number: int) -> list[Load] | None:
        """Return the loads of a cell that lists one for each of `number` sets: `60/60/55`.

        Two numbers around a comma are a list only where they cannot be one with a decimal comma.
        """
        if number < 2 or text.isdecimal():
            return None
        shown = plain(text)
        if re.fullmatch(r"[+-]?\d+,\d{1,2}(?: ?(?:kg|lbs?))?", shown, re.IGNORECASE):
            return None
        for separator in (r"\s*[/;|]\s*", DROPS, r"\s*,\s+", r"\s*,\s*", r"\s*-\s*", r"\s+"):
            parts = [p for p in re.split(separator, shown) if p]
            if len(parts) != number:
                continue
            try:
                listed = [read_load(p, self.mark) for p in parts]
            except Unreadable:
                continue
            unit = next((w.unit for w in reversed(listed) if w.unit), None)
            return [w if w.unit else Load(w.value, unit, w.is_body, w.remark) for w in listed]
        return None


def _check_no_word(cell: Mapping[str, str]) -> None:
    """Refuse a row that says `skipped` where its load or reps would stand."""
    for column in ("load", "reps", "notation"):
        text = cell.get(column, "")
        if text and not text[0].isdecimal() and was_done(text) is False:
            raise Unreadable(
                f"The row says {text[:40]!r}, so no set was done; there is nothing to read.", column, text,
            )  # fmt: skip


def _other_count(text: str, found: int, count: int) -> Unreadable:
    return Unreadable(
        f"{text!r} holds {found} sets, but the row counts {count}; write the sets that were done.",
        "set_count", str(count),
    )  # fmt: skip


def _drop(loads: Sequence[Load], position: int) -> SetKind | None:
    """Return that a set is a drop set where it is lighter than the one before it."""
    is_lighter = position > 0 and loads[position].value < loads[position - 1].value
    return SetKind.DROP if is_lighter else None


def _needs_load(text: str) -> bool:
    """Say whether a short form leaves the load to the row: `3x10`, `8,8,7`, but not `3x10@60`."""
    return not re.search(r"kg|lb|@\s*\d{2}|bw", text.casefold())


def _with_load(one: NotedSet, load: Load) -> NotedSet:
    remark = "; ".join(t for t in (load.remark, one.remark) if t) or None
    return NotedSet(one.reps, load.value, load.unit, one.rir, one.kind, one.side, one.flag, remark)
