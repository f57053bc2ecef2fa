"""What an intake is, for the modules that make it and those that write it."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

import polars as pl

from plateline.log.account import assumed

__all__ = ["DUPLICATES", "Intake"]

DUPLICATES = {"client": pl.String, "rows": pl.Int64}


@dataclass(frozen=True)
class Intake:
    """What came in.

    Attributes
    ----------
    sets
        SETS, one row per set, `exercise` as written; sorted by client, date, source order.
        `flag` holds doubts, parted by commas: `tenfold load`, `maybe lb`, `cluster`.
    rejected
        REJECTED, one row per source row that was not accepted, with the reason.
    account
        `rows, accepted, rejected, duplicates, blank, sets` and `assumptions` (sentences);
        rows = accepted + rejected + duplicates + blank, checked.
    inputs
        The files that were read.
    columns_toml
        What the headers of the first table were recognised as, to be saved for `columns`.
    time_s
        Seconds since midnight of every set, null where its log gives no time of day.
    duplicates
        `client, rows`: whose the duplicate rows are; clients without any are left out.
    assumptions
        `client, assumption`: the account's sentences again, counted by client; the client is
        null where a sentence concerns all of a file that several clients share.
    """

    sets: pl.DataFrame
    rejected: pl.DataFrame
    account: dict[str, int | list[str]]
    inputs: tuple[Path, ...] = ()
    columns_toml: str = ""
    time_s: pl.Series = field(default_factory=lambda: pl.Series("time_s", [], dtype=pl.Int32))
    duplicates: pl.DataFrame = field(default_factory=lambda: pl.DataFrame(schema=DUPLICATES))
    assumptions: pl.DataFrame = field(default_factory=lambda: assumed([]))
