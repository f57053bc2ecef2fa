"""Counts of what was taken for granted, and the sentences that say so."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, fields

from plateline.words import KG_PER_LB

__all__ = ["Tally"]


def _counted(number: int, what: str) -> str:
    """Return a count with its noun: `1 load`, `3 loads`."""
    return f"{number:,} {what}" if number == 1 else f"{number:,} {what}s"


@dataclass
class Tally:
    """How often each assumption was made in one file, of one client or of all."""

    bare_loads: int = 0
    pounds: int = 0
    half_rpe: int = 0
    clusters: int = 0
    no_client: int = 0

    def add(self, other: Tally) -> None:
        """Add the counts of another part of the same file."""
        for each in fields(self):
            setattr(self, each.name, getattr(self, each.name) + getattr(other, each.name))

    @classmethod
    def total(cls, tallies: Iterable[Tally]) -> Tally:
        """Add the counts of all clients up."""
        every = cls()
        for tally in tallies:
            every.add(tally)
        return every

    def sentences(
        self, name: str, client: str, *, given: str | None, above: str | None = None
    ) -> Iterable[str]:
        """Say each assumption in a sentence.

        Parameters
        ----------
        name
            The file.
        client
            Whom rows without a client were given to.
        given, above
            The client that the command named, and the one named above the table.
        """
        if self.bare_loads:
            loads = _counted(self.bare_loads, "load")
            yield f"{name}: no unit is given for {loads}; read as kg."
        if self.pounds:
            yield f"{name}: {_counted(self.pounds, 'load')} in lb converted, 1 lb = {KG_PER_LB} kg."
        if self.half_rpe:
            yield (
                f"{name}: RPE 9.5 is read as 0.5 reps in reserve; the published scale words it as no "
                "further repetition, but more load."
            )
        if self.clusters:
            yield (
                f"{name}: {_counted(self.clusters, 'clustered set')} such as 8+2 counted with all reps, "
                "and flagged cluster."
            )
        if self.no_client and given:
            yield f"{name}: rows without a client are {client!r}'s, as you said."
        elif self.no_client and above:
            yield f"{name}: the client is {client!r}, as the line above the table says."
        elif self.no_client:
            yield f"{name}: no client is named, so the client is called {client!r}."
