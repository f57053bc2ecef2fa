"""The door of the load and fatigue rooms: whatever frame comes in, a lazy clean table goes on."""

from __future__ import annotations

from typing import Any, Literal

import polars as pl

from plateline.strength import door
from plateline.words import CHECKINS, CLIENTS, PLAN, SETS, Schema, SetKind

__all__ = ["Engine", "engine_for", "lazy_sets", "optional_frame", "polars_frame"]

Engine = Literal["in-memory", "streaming"]


def polars_frame(frame: Any, what: str) -> pl.DataFrame | pl.LazyFrame:
    """Return `frame` as a Polars frame, a lazy one as it is.

    Raises
    ------
    plateline.errors.InputFileError
        When `frame` is not a data frame at all.
    """
    return frame if isinstance(frame, pl.LazyFrame) else door.polars_frame(frame, what)


LARGE_ROWS = 100_000
"""From this many rows on, the streaming engine is quicker as well as thriftier."""


def engine_for(frame: Any) -> Engine:
    """Say which engine suits `frame`: streaming for large ones, and lazy ones that may be."""
    if isinstance(frame, pl.LazyFrame):
        return "streaming"
    return "streaming" if len(frame) >= LARGE_ROWS else "in-memory"


def lazy_sets(sets: Any) -> pl.LazyFrame:
    """Return the sets as a lazy SETS frame in which unknown columns are null.

    Parameters
    ----------
    sets
        A frame with at least `client, date, exercise, load_kg, reps`, one row per set.

    Raises
    ------
    MissingColumnError
        When one of the needed columns is not there; the message names those that are.
    """
    frame = polars_frame(sets, "sets")
    schema = frame.collect_schema()
    door.need_columns(schema.names(), door.NEEDED, "sets")
    return frame.lazy().select(
        _column(name, dtype, schema.get(name)).alias(name) for name, dtype in SETS.items()
    )


def _column(name: str, dtype: Any, found: Any) -> pl.Expr:
    if found is None:
        return pl.lit(SetKind.WORKING.value if name == "set_kind" else None, dtype=dtype)
    column = pl.col(name)
    if name == "set_kind":
        return column.cast(dtype).fill_null(SetKind.WORKING.value)
    if found != dtype:
        column = column.cast(dtype)
    return column.fill_nan(None) if dtype == pl.Float64 else column


_COMPANIONS: dict[str, Schema] = {"check-ins": CHECKINS, "clients": CLIENTS, "plan": PLAN}


def optional_frame(frame: Any, what: Literal["check-ins", "clients", "plan"]) -> pl.DataFrame:
    """Return a companion frame with its full schema; empty where none was given.

    Columns that are not there are null: a check-in without sleep is a check-in.

    Raises
    ------
    plateline.errors.MissingColumnError
        When the column `client` is missing.
    """
    return door.beside_frame(frame, _COMPANIONS[what], what)
