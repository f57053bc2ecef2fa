"""What a table looks like, and the door through which it leaves its room."""

from __future__ import annotations

import polars as pl

from plateline.words.terms import SetKind

__all__ = ["SET_KIND_TYPE", "Schema", "conform"]

Schema = dict[str, pl.DataType | type[pl.DataType]]
"""Column -> type, in the order of the columns."""

SET_KIND_TYPE = pl.Enum([kind.value for kind in SetKind])
"""Set kinds as a Polars type: one byte a row, and no kind but these."""


def conform(frame: pl.DataFrame, schema: Schema) -> pl.DataFrame:
    """Return `frame` with exactly the columns of `schema`, in its order and types.

    Parameters
    ----------
    frame
        A frame that holds at least the columns of `schema`.
    schema
        One of the schemas of the kit.

    Raises
    ------
    polars.exceptions.ColumnNotFoundError
        When a column is missing: a fault of the room that made the frame.
    """
    return frame.select(pl.col(name).cast(dtype) for name, dtype in schema.items())
