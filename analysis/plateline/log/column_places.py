"""Where everything stands in a row."""

from __future__ import annotations

from dataclasses import dataclass, field

from plateline.log.header_pairs import PairOrder

__all__ = ["Columns", "SetPlaces"]


@dataclass
class SetPlaces:
    """Where one set (or one cell of sets) of a wide row stands, and what its header says."""

    places: dict[str, int]
    fixed: dict[str, str] = field(default_factory=dict)


@dataclass
class Columns:
    """Where everything stands in a row.

    Attributes
    ----------
    single
        Contract column -> positions, the first that is filled counts.
    sets
        For wide logs, one for each set of a row. `fixed` holds the date or exercise where
        those stand side by side in the header.
    units
        Position -> unit that the header names.
    pairs
        Position -> what stands first in cells such as `80/8`, where the header says so.
    loads_behind_names
        Whether the load stands behind the exercise, `Squat 100 kg`, and nowhere else.
    ignored, unknown
        Headers that are known but not needed, and headers that are not known.
    said
        What was taken for granted, a sentence each.
    """

    single: dict[str, list[int]] = field(default_factory=dict)
    sets: list[SetPlaces] = field(default_factory=list)
    units: dict[int, str] = field(default_factory=dict)
    pairs: dict[int, PairOrder] = field(default_factory=dict)
    loads_behind_names: bool = False
    ignored: list[str] = field(default_factory=list)
    unknown: list[str] = field(default_factory=list)
    said: list[str] = field(default_factory=list)

    def has(self, column: str) -> bool:
        """Say whether a contract column is there in any form."""
        return column in self.single or any(column in s.places | s.fixed for s in self.sets)
