"""The files beside the log: clients, check-ins and plan."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import polars as pl

from plateline.errors import InputFileError, MissingColumnError
from plateline.log.values import POUND_KG
from plateline.words import CHECKINS, CLIENTS, PLAN, Schema, conform

__all__ = ["read_checkins", "read_clients", "read_plan"]

_PHASES = {
    "gain": "gain", "bulk": "gain", "surplus": "gain", "gaining": "gain",
    "hold": "hold", "maintain": "hold", "maintenance": "hold",
    "lose": "lose", "cut": "lose", "deficit": "lose", "diet": "lose",
}  # fmt: skip


def read_clients(path: Path | str) -> pl.DataFrame:
    """Read the clients file into a CLIENTS frame (`load_step_kg` in kg, `equipment` a list)."""
    raw = _raw(Path(path), ("client",), CLIENTS)
    frame = raw.with_columns(
        phase=pl.col("phase")
        .str.to_lowercase()
        .replace_strict(_PHASES, default=None, return_dtype=pl.String),
        equipment=pl.col("equipment")
        .str.split(";")
        .list.eval(pl.element().str.strip_chars())
        .list.filter(pl.element() != ""),
    )
    return conform(frame, CLIENTS)


def read_checkins(
    path: Path | str,
    *,
    client: str | None = None,
    unit: str | None = None,
    client_units: Mapping[str, str] | None = None,
) -> pl.DataFrame:
    """Read the check-ins file into a CHECKINS frame (`body_mass_kg` in kg)."""
    raw = _raw(
        Path(path), ("date",), CHECKINS | {"body_mass": pl.String, "unit": pl.String}
    ).with_columns(pl.col("client").fill_null(client or "me"))
    units = pl.coalesce(
        "unit",
        pl.col("client").replace_strict(
            dict(client_units or {}), default=None, return_dtype=pl.String
        ),
        pl.lit(unit or "kg"),
    )
    mass = pl.coalesce("body_mass", "body_mass_kg").cast(pl.Float64)
    frame = raw.with_columns(
        pl.col("date").str.to_date("%Y-%m-%d"),
        body_mass_kg=mass * pl.when(units == "lb").then(POUND_KG).otherwise(1.0),
    )
    return conform(frame, CHECKINS).sort("client", "date", maintain_order=True)


def read_plan(path: Path | str) -> pl.DataFrame:
    """Read the plan file into a PLAN frame."""
    raw = _raw(Path(path), ("exercise",), PLAN)
    frame = raw.with_columns(
        pl.col("set_kind").fill_null("working"), pl.col("start").str.to_date("%Y-%m-%d")
    )
    return conform(frame, PLAN)


def _raw(path: Path, needed: tuple[str, ...], schema: Schema) -> pl.DataFrame:
    try:
        raw = pl.read_csv(path, infer_schema=False)
    except (OSError, pl.exceptions.PolarsError) as fault:
        raise InputFileError(f"{path} cannot be read: {fault}") from fault
    for name in needed:
        if name not in raw.columns:
            raise MissingColumnError(
                f"{path} has no column {name!r}; its columns are {', '.join(raw.columns)}."
            )
    return raw.with_columns(
        pl.lit(None, pl.String).alias(name) for name in schema if name not in raw.columns
    )
