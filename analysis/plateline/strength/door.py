"""The door of the strength and trend rooms: whatever frame comes in, a clean Polars table goes on."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import polars as pl

from plateline.errors import InputFileError, MissingColumnError
from plateline.words import SETS, Schema

__all__ = ["NEEDED", "beside_frame", "need_columns", "polars_frame", "sets_frame"]

NEEDED = ("client", "date", "exercise", "load_kg", "reps")
"""What a table of sets must have; any other column may be unknown."""

ORDER = ["client", "exercise", "date", "set_order", "source_file", "source_line", "load_kg", "reps"]


def polars_frame(frame: Any, what: str) -> pl.DataFrame:
    """Return `frame` as a Polars frame; pandas, Arrow and others come in through narwhals.

    Raises
    ------
    InputFileError
        When `frame` is not a data frame at all.
    """
    if isinstance(frame, pl.DataFrame):
        return frame
    if isinstance(frame, pl.LazyFrame):
        return frame.collect()
    import narwhals as nw

    try:
        return nw.from_native(frame, eager_only=True).to_polars()
    except TypeError:
        raise InputFileError(
            f"The {what} must be a data frame (Polars, pandas or Arrow), "
            f"not {type(frame).__name__}."
        ) from None


def sets_frame(sets: Any) -> pl.DataFrame:
    """Return the sets as a SETS frame in one order, whatever order they came in.

    Columns that are not needed may be missing and are then unknown.

    Raises
    ------
    MissingColumnError
        When `client`, `date`, `exercise`, `load_kg` or `reps` is missing.
    """
    frame = polars_frame(sets, "sets")
    need_columns(frame.columns, NEEDED, "sets")
    return _with_schema(frame, SETS).sort(ORDER, nulls_last=True, maintain_order=True)


def beside_frame(frame: Any, schema: Schema, what: str) -> pl.DataFrame:
    """Return a frame that stands beside the log with its full schema; empty for None.

    Parameters
    ----------
    frame
        A Polars, pandas or Arrow frame; columns that it lacks are null.
    schema
        CHECKINS, CLIENTS or PLAN.
    what
        What it is, in the plural.

    Raises
    ------
    MissingColumnError
        When `client` is missing.
    """
    if frame is None:
        return pl.DataFrame(schema=schema)
    found = polars_frame(frame, what)
    need_columns(found.columns, ("client",), what)
    return _with_schema(found, schema)


def need_columns(there: Sequence[str], needed: Sequence[str], what: str) -> None:
    """Refuse a frame that lacks a column.

    Parameters
    ----------
    there, needed
        The columns that the frame has, and those that it must have.
    what
        What the frame is, in the plural.

    Raises
    ------
    MissingColumnError
        Which columns are missing, and which there are.
    """
    missing = [name for name in needed if name not in there]
    if missing:
        raise MissingColumnError(
            f"The {what} have no column {', '.join(map(repr, missing))}; "
            f"they have {', '.join(map(repr, there)) or 'none'}."
        )


def _with_schema(frame: pl.DataFrame, schema: Schema) -> pl.DataFrame:
    columns = [
        (pl.col(name).cast(dtype) if name in frame.columns else pl.lit(None, dtype=dtype)).alias(
            name
        )
        for name, dtype in schema.items()
    ]
    return frame.select(columns).with_columns(pl.col(pl.Float64).fill_nan(None))
