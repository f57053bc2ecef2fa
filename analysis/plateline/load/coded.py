"""The sets with their names as Enums, and the numbers that client, day, session and lift take."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import polars as pl

from plateline.load.door import Engine, engine_for, lazy_sets
from plateline.load.joint import Joint, Place

__all__ = ["Coded", "coded_sets"]


@dataclass(frozen=True)
class Coded:
    """Sets whose names are Enums in alphabetical order.

    Attributes
    ----------
    rows
        The columns that were asked for.
    places
        The numbers of each name and of `date`.
    exercises
        The labels of lifts.
    has_sides
        Whether any row says a side.
    engine
        What suits to collect the rows.
    """

    rows: pl.LazyFrame
    places: dict[str, Place]
    exercises: pl.Series
    has_sides: bool
    engine: Engine

    def joint(self, names: list[str]) -> Joint:
        """Return columns as one number."""
        return Joint(tuple(self.places[name] for name in names))


def coded_sets(sets: Any, names: list[str], columns: list[str]) -> Coded:
    """Turn names into Enums; only an eager frame is read at once.

    Parameters
    ----------
    sets
        SETS frame.
    names
        Columns of names.
    columns
        What is kept beside them and `date`.
    """
    rows = lazy_sets(sets).select(*names, "date", *columns)
    is_lazy = isinstance(sets, pl.LazyFrame)
    engine: Engine = "streaming" if is_lazy else "in-memory"
    day, keys = pl.col("date").to_physical(), [*names, "date"]
    found = rows.select(
        *(pl.col(name).unique().drop_nulls().sort().implode() for name in names),
        first=day.min(),
        last=day.max(),
        has_sides=pl.col("side").count() > 0,
        gaps=pl.concat_list(pl.col(key).null_count() > 0 for key in keys),
    ).collect(engine=engine)
    kinds = {name: pl.Enum(found[name].item()) for name in names}
    gaps = dict(zip(keys, found["gaps"].item(), strict=True))
    places = {name: Place.of_words(name, kind, gaps[name]) for name, kind in kinds.items()}
    first, last = found["first"].item(), found["last"].item()
    places["date"] = Place.of_days("date", first, last, gaps["date"])
    rows = rows.with_columns(pl.col(name).cast(kind) for name, kind in kinds.items())
    if not is_lazy:
        rows = rows.collect(engine=engine).lazy()
    exercises = found["exercise"].item()
    return Coded(rows, places, exercises, found["has_sides"].item(), engine_for(sets))
