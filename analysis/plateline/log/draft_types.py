"""What a source row says before its cells are read."""

from __future__ import annotations

from dataclasses import dataclass, field

from plateline.log.rows import Row

__all__ = ["Draft", "Drafts"]


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
