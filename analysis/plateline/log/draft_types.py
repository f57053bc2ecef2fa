"""What a source row says before its cells are read."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from plateline.log.column_places import Columns
from plateline.log.rows import Row

__all__ = ["Draft", "Drafted", "Drafts"]


@dataclass(slots=True)
class Draft:
    """What one source row says, as text.

    `shared` holds for all its sets; `sets` has one mapping per set (or cell of sets). A row
    with a `fault` (column, value, reason) is refused; a row with `is_blank` holds no set.
    """

    row: Row
    shared: dict[str, str] = field(default_factory=dict)
    sets: list[dict[str, str]] = field(default_factory=list)
    fault: tuple[str, str, str] | None = None
    is_blank: bool = False


@dataclass
class Drafts:
    """All drafts of a file, with what was taken for granted."""

    rows: list[Draft]
    said: list[str] = field(default_factory=list)

    def distinct(self, columns: Iterable[str]) -> dict[str, dict[str, None]]:
        """Return the distinct texts of some columns, in the order in which they occur."""
        found: dict[str, dict[str, None]] = {c: {} for c in columns}
        for draft in self.rows:
            if draft.is_blank:
                continue
            for cell in (draft.shared, *draft.sets):
                for column, texts in found.items():
                    text = cell.get(column)
                    if text:
                        texts[text] = None
        return found


@dataclass(frozen=True)
class Drafted:
    """A file as drafts.

    Attributes
    ----------
    drafts
        What each of its rows says.
    above
        What stands above them and holds for all: a client, a unit, a year.
    columns
        Where everything stands in a row; nothing, in a note.
    """

    drafts: Drafts
    above: dict[str, str]
    columns: Columns = field(default_factory=Columns)
