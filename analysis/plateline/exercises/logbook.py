"""A logbook: the log and what stands beside it, read, cleaned and named."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import polars as pl

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
        REJECTED: every row that was not accepted, with its reason.
    account
        The contract's counts (`rows`, `accepted`, `rejected`, `duplicates`, `blank`, `sets`)
        and `assumptions`, a list of sentences.
    inputs
        The files that were read, for the run record.
    duplicates
        `client, rows`: whose the rows are that repeat others; None where nobody counted.
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
