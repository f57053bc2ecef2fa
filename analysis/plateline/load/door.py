"""The door of the load and fatigue rooms: whatever frame comes in, a lazy clean table goes on."""

from __future__ import annotations

from typing import Any, Literal

import polars as pl

from plateline.errors import InputFileError, MissingColumnError
from plateline.words import CHECKINS, CLIENTS, PLAN, SETS, Schema, SetKind

__all__ = ["Engine", "engine_for", "lazy_sets", "optional_frame", "polars_frame"]

Engine = Literal["in-memory", "streaming"]

NEEDED = ("client", "date", "exercise", "load_kg", "reps")
"""Columns without which a set is not a set; all others may be missing and are then unknown."""


def polars_frame(frame: Any, what: str) -> pl.DataFrame | pl.LazyFrame:
    """Return `frame` as a Polars frame; pandas, Arrow and others come in through narwhals.

    Raises
    ------
    InputFileError
        When `frame` is not a data frame at all.
    """
    if isinstance(frame, pl.DataFrame | pl.LazyFrame):
        return frame
    import narwhals as nw

    try:
        return nw.from_native(frame, eager_only=True).to_polars()
    except TypeError:
        raise InputFileError(
            f"The {what} must be a data frame (Polars, pandas or Arrow), "
            f"not {type(frame).__name__}."
        ) from None


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
    missing = [name for name in NEEDED if name not in schema]
    if missing:
        raise MissingColumnError(
            f"The sets have no column {', '.join(map(repr, missing))}; "
            f"they have {', '.join(map(repr, schema.names())) or 'none'}."
        )
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
    MissingColumnError
        When the column `client` is missing.
    """
    schema = _COMPANIONS[what]
    if frame is None:
        return pl.DataFrame(schema=schema)
    found = polars_frame(frame, what).lazy().collect()
    if "client" not in found.columns:
        raise MissingColumnError(
            f"The {what} have no column 'client'; they have "
            f"{', '.join(map(repr, found.columns)) or 'none'}."
        )
    columns = [
        (pl.col(name).cast(dtype) if name in found.columns else pl.lit(None, dtype=dtype)).alias(
            name
        )
        for name, dtype in schema.items()
    ]
    return found.select(columns).with_columns(pl.col(pl.Float64).fill_nan(None))
