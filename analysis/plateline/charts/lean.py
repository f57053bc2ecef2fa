"""Frames as lean chart data: short names, few digits, no nulls; loads in a person's unit."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import polars as pl

from plateline.words import KG_PER_LB

__all__ = [
    "DAY_FORMAT",
    "LB_PER_KG",
    "lean_number",
    "lean_rows",
    "load_words",
    "set_words",
    "unit_factor",
]

LB_PER_KG = 1 / KG_PER_LB
"""The international pound is 0.453 592 37 kg exactly (yard and pound agreement, 1959)."""

DIGITS = 4
"""Significant digits kept in a picture; a pixel shows fewer."""

DAY_FORMAT = "%Y-%m-%dT00:00"
"""A day as chart data. Without the time a browser reads it as midnight in Greenwich, which is
the day before in the Americas; with it, as midnight where the reader is (ECMA-262)."""


def unit_factor(unit: str) -> float:
    """Return what a load in kg is multiplied by to be in `unit` (`kg` or `lb`)."""
    return LB_PER_KG if unit == "lb" else 1.0


def lean_rows(frame: pl.DataFrame, columns: Mapping[str, str | pl.Expr]) -> list[dict[str, Any]]:
    """Return one dict a row with short keys, dates as text, and nulls left out.

    Parameters
    ----------
    frame
        Any frame.
    columns
        Short key -> column name or expression. Floats keep four significant digits.
    """
    picked = frame.select(
        (pl.col(what) if isinstance(what, str) else what).alias(key)
        for key, what in columns.items()
    )
    slim = picked.with_columns(
        pl.selectors.float().round_sig_figs(DIGITS),
        pl.selectors.date().dt.to_string(DAY_FORMAT),
    )
    return [
        {k: lean_number(v) for k, v in row.items() if v is not None}
        for row in slim.iter_rows(named=True)
    ]


def load_words(column: str, unit: str) -> pl.Expr:
    """Return a load column as text in a person's unit: `82.5 kg`, `body mass`, `20 kg help`."""
    value = (pl.col(column) * unit_factor(unit)).round(1)
    number = value.abs().cast(pl.String).str.replace(r"\.0$", "")
    return (
        pl.when(value == 0)
        .then(pl.lit("body mass"))
        .when(value < 0)
        .then(pl.format(f"{{}} {unit} of help", number))
        .otherwise(pl.format(f"{{}} {unit}", number))
    )


def set_words(unit: str) -> pl.Expr:
    """Return a set as text, from `load_kg`, `reps` and `rir`: `82.5 kg × 9, 1 in reserve`."""
    rir = pl.col("rir").cast(pl.String).str.replace(r"\.0$", "")
    return pl.concat_str(
        load_words("load_kg", unit),
        pl.format(" × {}", pl.col("reps")),
        pl.when(pl.col("rir").is_null())
        .then(pl.lit(""))
        .otherwise(pl.format(", {} in reserve", rir)),
    )


def lean_number(value: Any) -> Any:
    """Return a whole float as an integer, which is shorter as text; anything else as it is."""
    if isinstance(value, float):
        if value != value:
            return None
        return int(value) if value == int(value) else value
    return value
