"""A logbook: the log and what stands beside it, read, cleaned and named."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

import polars as pl

from plateline.log.account import assumed

__all__ = ["Logbook"]


@dataclass(frozen=True)
class Logbook:
    """Everything that was read for one run, as clean frames (schemas in `plateline.words`).

    Attributes
    ----------
    sets
        SETS, sorted by client, date and source order.
    clients, checkins, plan
        CLIENTS, CHECKINS, PLAN; empty frames of that schema where no file was given.
    catalogue
        CATALOGUE: the one that ships, extended by the user's own file.
    names
        EXERCISE_NAMES: what every name was read as.
    rejected
        REJECTED: every row of the log, and of what stands beside it, that was not accepted.
    account
        The contract's counts for the log (`rows`, `accepted`, `rejected`, `duplicates`, `blank`, `sets`)
        and `assumptions`, a list of sentences.
    inputs
        The files that were read, for the run record.
    duplicates
        `client, rows`: whose the rows are that repeat others; None where nobody counted.
    assumptions
        `client, assumption`: the account's sentences again, counted by client; the client is
        null where a sentence concerns all of a file that several clients share.
    """

    sets: pl.DataFrame
    clients: pl.DataFrame
    checkins: pl.DataFrame
    plan: pl.DataFrame
    catalogue: pl.DataFrame
    names: pl.DataFrame
    rejected: pl.DataFrame
    account: dict[str, int | list[str]]
    inputs: tuple[Path, ...] = ()
    duplicates: pl.DataFrame | None = None
    assumptions: pl.DataFrame = field(default_factory=lambda: assumed([]))
