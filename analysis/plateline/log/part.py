"""What one file (or sheet) gave, before files are merged."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

import polars as pl

from plateline.log.account import Account, Said
from plateline.log.tally import Tally
from plateline.words import SET_KIND_TYPE

__all__ = ["PART", "Part"]

PART: dict[str, pl.DataType | type[pl.DataType]] = {
    "client": pl.String, "date": pl.Date, "time_s": pl.Int32, "session": pl.String,
    "exercise": pl.String, "set_order": pl.Int32, "set_kind": SET_KIND_TYPE, "superset": pl.String,
    "load_kg": pl.Float64, "reps": pl.Int32, "rir": pl.Float64, "side": pl.String,
    "rest_s": pl.Float64, "feel": pl.Float64, "note": pl.String, "source_line": pl.Int64,
    "flag": pl.String,
}  # fmt: skip
"""The sets of one file, before files are merged: those of SETS, and the time of day."""


@dataclass
class Part:
    """What one file (or sheet) gave.

    Attributes
    ----------
    name
        The file, for sentences.
    sets, rejected
        PART, and REJECTED.
    rows, accepted, blank
        How many source rows there were, gave sets, and hold none.
    said
        What was taken for granted, a sentence each.
    has_order
        Whether the file numbers its sets.
    columns_toml
        What its headers were recognised as.
    tallies
        How often each assumption was made, client by client.
    client, client_above
        Whom rows without a client were given to, and who is named above the table.
    is_store
        Whether it is a logbook on disk, whose sets name the files they came from.
    """

    name: str
    sets: pl.DataFrame
    rejected: pl.DataFrame
    rows: int
    accepted: int
    blank: int
    said: list[Said]
    has_order: bool = True
    columns_toml: str = ""
    tallies: Mapping[str, Tally] = field(default_factory=dict)
    client: str = "me"
    client_above: str | None = None
    is_store: bool = False

    def account(
        self, duplicates: int = 0, sets: int | None = None, *, given: str | None = None
    ) -> Account:
        """Return the account of this part alone.

        Parameters
        ----------
        duplicates
            Accepted rows that say again what another row said.
        sets
            How many sets are left without them; all, where left out.
        given
            The client that the command named.
        """
        return Account(
            rows=self.rows,
            accepted=self.accepted - duplicates,
            rejected=self.rejected.height,
            duplicates=duplicates,
            blank=self.blank,
            sets=self.sets.height if sets is None else sets,
            assumptions=(
                *(s.sentence for s in self.said),
                *self._counted(Tally.total(self.tallies.values()), given),
            ),
        )

    def assumptions(self, given: str | None) -> Iterable[Said]:
        """Say what was taken for granted, counted by client, and whom each sentence concerns."""
        clients = self.sets["client"]
        is_one = bool(clients.len() and (clients == clients[0]).all()) and not self.is_store
        only = clients[0] if is_one else None
        yield from (Said(client or only, sentence) for client, sentence in self.said)
        for client, tally in self.tallies.items():
            yield from (Said(client, sentence) for sentence in self._counted(tally, given))

    def _counted(self, tally: Tally, given: str | None) -> Iterable[str]:
        return tally.sentences(self.name, self.client, given=given, above=self.client_above)
