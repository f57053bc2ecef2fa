"""Row accounting: nothing is lost, and the sum is checked where it is made."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

import polars as pl

from plateline.errors import PlatelineError

__all__ = ["ASSUMED", "Account", "AccountError", "Said", "assumed"]

ASSUMED = {"client": pl.String, "assumption": pl.String}


class Said(NamedTuple):
    """A sentence about what was taken for granted, and whom alone it concerns, if anybody."""

    client: str | None
    sentence: str


def assumed(said: Iterable[Said]) -> pl.DataFrame:
    """Return sentences as a frame of ASSUMED, each once, in the order in which they were said."""
    return pl.DataFrame(list(dict.fromkeys(said)), schema=ASSUMED, orient="row")


class AccountError(PlatelineError):
    """The rows do not add up: a fault of Plateline, never of the log."""


@dataclass(frozen=True)
class Account:
    """How many source rows there were, and what became of each.

    Attributes
    ----------
    rows
        Source rows below the header: every row of the file, blank ones included.
    accepted
        Rows that gave at least one set, and no fault.
    rejected
        Rows that gave a fault instead (one row of REJECTED each).
    duplicates
        Rows that say again what another row already said.
    blank
        Rows that hold no set: empty lines, repeated headers, headings of a day.
    sets
        Sets that came out; one row may give several.
    assumptions
        Everything that was taken for granted, a sentence each.
    """

    rows: int = 0
    accepted: int = 0
    rejected: int = 0
    duplicates: int = 0
    blank: int = 0
    sets: int = 0
    assumptions: tuple[str, ...] = field(default=())

    def __post_init__(self) -> None:
        """Refuse an account that does not balance."""
        total = self.accepted + self.rejected + self.duplicates + self.blank
        if total != self.rows or min(self.accepted, self.rejected, self.duplicates, self.blank) < 0:
            raise AccountError(
                f"Plateline miscounted: {self.rows} rows were read, but {self.accepted} accepted, "
                f"{self.rejected} rejected, {self.duplicates} duplicate and {self.blank} blank rows "
                f"make {total}. This is a fault of Plateline; nothing was written. Please report it."
            )

    def as_dict(self) -> dict[str, int | list[str]]:
        """Return the contract's mapping, with `assumptions` as a list."""
        return {
            "rows": self.rows,
            "accepted": self.accepted,
            "rejected": self.rejected,
            "duplicates": self.duplicates,
            "blank": self.blank,
            "sets": self.sets,
            "assumptions": list(self.assumptions),
        }

    @classmethod
    def total(cls, parts: Sequence[Account], *, assumptions: Sequence[str] = ()) -> Account:
        """Add accounts up; equal assumptions are said once, in first-seen order."""
        said = dict.fromkeys([a for part in parts for a in part.assumptions] + list(assumptions))
        return cls(
            rows=sum(p.rows for p in parts),
            accepted=sum(p.accepted for p in parts),
            rejected=sum(p.rejected for p in parts),
            duplicates=sum(p.duplicates for p in parts),
            blank=sum(p.blank for p in parts),
            sets=sum(p.sets for p in parts),
            assumptions=tuple(said),
        )
