"""What stands beside loads and reps: effort, the place of a set, rest, feel.

A set counts without any of them, so a cell that cannot be read is left empty and told of.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Literal, NamedTuple

from plateline.log.account import Said
from plateline.log.kinds import KindReader
from plateline.log.numbers import DecimalMark, is_missing, plain
from plateline.log.tally import Tally
from plateline.log.value_effort import read_effort, read_feel, read_rest_s
from plateline.log.values import Unreadable

__all__ = ["Beside", "BesideReader"]

_BETWEEN_EFFORTS = re.compile(r"\s*[/;|]\s*|\s*,\s+|\s+|(?<=\d),(?=\d)")
_SET_ORDER = re.compile(r"\D{0,12}?(\d{1,6})(?:\.0+|[.):]| ?/ ?\d+)?")
"""The number of a set: `3`, `3.0`, `Set 3`, `#3`, `3/5`."""


class Beside(NamedTuple):
    """What stands beside the loads and reps of a row; None where nothing readable does."""

    rirs: list[float | None]
    """Reps in reserve, one for each set."""
    set_order: int | None
    rest_s: float | None
    feel: float | None


@dataclass
class BesideReader:
    """Reads effort, place, rest and feel of the rows of one file.

    Attributes
    ----------
    kinds, mark
        What the whole file settled.
    """

    kinds: KindReader
    mark: DecimalMark | None = None
    _efforts: dict[tuple[str, str], float | Unreadable | None] = field(default_factory=dict)
    _unread: dict[tuple[str, str], list[tuple[int, str]]] = field(default_factory=dict)

    def read(
        self, cell: Mapping[str, str], sets: int, client: str, line: int, tally: Tally
    ) -> Beside:
        """Return what stands beside the loads and reps of a row.

        Parameters
        ----------
        cell
            The cells of the row.
        sets
            How many sets it has.
        client, line
            Whose row it is and where it stands, to tell of cells that were left empty.
        tally
            Counts efforts of RPE 9.5.

        Raises
        ------
        Unreadable
            When an effort is no finite number.
        """
        return Beside(
            self._rirs(cell, sets, client, line, tally),
            self._set_order(cell, client, line),
            self._rest_s(cell, client, line),
            self._feel(cell, client, line),
        )

    def _rirs(
        self, cell: Mapping[str, str], sets: int, client: str, line: int, tally: Tally
    ) -> list[float | None]:
        """Return reps in reserve for each set; RIR before RPE where both are given."""
        scales: tuple[Literal["rir", "rpe"], ...] = ("rir", "rpe")
        for scale in scales:
            text = cell.get(scale, "")
            if is_missing(text):
                continue
            parts = _BETWEEN_EFFORTS.split(plain(text)) if sets > 1 else [text]
            listed = parts if len(parts) == sets else [text]
            tally.half_rpe += scale == "rpe" and "9.5" in text.replace(",", ".")
            try:
                found = [self._effort(part, scale) for part in listed]
            except Unreadable as fault:
                if "finite" in fault.reason:
                    raise Unreadable(fault.reason, scale, text) from None
                self._leave_empty(client, scale, line, text)
                continue
            return found if len(found) == sets else found * sets
        return [None] * sets

    def _effort(self, text: str, scale: Literal["rir", "rpe"]) -> float | None:
        key = (text, scale)
        if key not in self._efforts:
            try:
                self._efforts[key] = read_effort(text, scale, self.mark)
            except Unreadable as fault:
                self._efforts[key] = fault
        found = self._efforts[key]
        if isinstance(found, Unreadable):
            raise found
        return found

    def _set_order(self, cell: Mapping[str, str], client: str, line: int) -> int | None:
        text = cell.get("set_order", "")
        if is_missing(text):
            return None
        if found := _SET_ORDER.fullmatch(text.strip()):
            return int(found.group(1))
        if self.kinds.read(text) is None:  # a letter for a kind in the place of a number is read
            self._leave_empty(client, "set_order", line, text)
        return None

    def _rest_s(self, cell: Mapping[str, str], client: str, line: int) -> float | None:
        text = cell.get("rest_s", "")
        if is_missing(text):
            return None
        try:
            return read_rest_s(text, cell.get("rest_s unit") == "min", self.mark)
        except Unreadable:
            self._leave_empty(client, "rest_s", line, text)
            return None

    def _feel(self, cell: Mapping[str, str], client: str, line: int) -> float | None:
        text = cell.get("feel", "")
        if is_missing(text):
            return None
        try:
            return read_feel(text, self.mark)
        except Unreadable:
            self._leave_empty(client, "feel", line, text)
            return None

    def _leave_empty(self, client: str, column: str, line: int, text: str) -> None:
        self._unread.setdefault((client, column), []).append((line, text[:40]))

    def said(self, file: str) -> Iterable[Said]:
        """Say which cells were left empty, client by client."""
        for (client, column), cells in self._unread.items():
            shown = ", ".join(f"line {line} {text!r}" for line, text in cells[:3])
            more = f" and {len(cells) - 3} more" if len(cells) > 3 else ""
            yield Said(
                client,
                f"{file}: {column} could not be read and was left empty: {shown}{more}.",
            )
