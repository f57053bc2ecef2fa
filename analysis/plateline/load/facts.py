"""What the catalogue and the check-ins say about the lifts of a log."""

from __future__ import annotations

from typing import Any

import polars as pl

from plateline.load.door import optional_frame, polars_frame
from plateline.words import CATALOGUE

__all__ = ["body_mass_by_day", "lift_facts"]

FACTS = (
    "pattern",
    "equipment",
    "position",
    "direct",
    "indirect",
    "laterality",
    "body_mass_share",
)

LONGEST_CARRY_DAYS = 28
"""A body mass is carried to training days up to four weeks away; beyond that it is unknown."""


def lift_facts(exercises: pl.Series, catalogue: Any = None) -> pl.DataFrame:
    """Return one row per distinct label with the catalogue's attributes.

    Columns: `exercise`, those of `FACTS`, `in_catalogue`. A label that the catalogue does not
    know has nulls and `in_catalogue` false: it keeps its load and has no muscles.
    """
    labels = exercises.drop_nulls().unique().sort()
    from plateline import exercises as room

    if catalogue is not None:
        known = polars_frame(catalogue, "catalogue").lazy().collect()
    elif hasattr(room, "load_catalogue"):
        known = room.load_catalogue()
    else:
        known = pl.DataFrame(schema=CATALOGUE)
    found = room.annotate(labels, known) if hasattr(room, "annotate") else known
    return (
        pl.DataFrame({"exercise": labels})
        .join(found, on="exercise", how="left")
        .select(
            "exercise",
            *(
                (pl.col(name) if name in found.columns else pl.lit(None))
                .cast(CATALOGUE[name])
                .alias(name)
                for name in FACTS
            ),
        )
        .with_columns(
            in_catalogue=pl.any_horizontal(
                pl.col("pattern").is_not_null(), pl.col("direct").list.len().fill_null(0) > 0
            )
        )
    )


def body_mass_by_day(days: pl.DataFrame, checkins: Any = None) -> pl.DataFrame:
    """Return `days` (`client, date`) with `body_mass_kg`, the nearest check-in's.

    The nearest within `LONGEST_CARRY_DAYS` is taken, before or after; none means null.
    """
    masses = (
        optional_frame(checkins, "check-ins")
        .select("client", "date", "body_mass_kg")
        .drop_nulls()
        .group_by("client", "date")
        .agg(pl.col("body_mass_kg").mean())
        .sort("date")
    )
    return (
        days.select("client", "date")
        .unique()
        .sort("date")
        .join_asof(
            masses,
            on="date",
            by="client",
            strategy="nearest",
            tolerance=f"{LONGEST_CARRY_DAYS}d",
            check_sortedness=False,
        )
        .sort("client", "date")
    )
