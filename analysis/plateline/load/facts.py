"""What the catalogue and the check-ins say about the lifts of a log."""

from __future__ import annotations

from typing import Any

import polars as pl

from plateline.exercises import annotate, load_catalogue
from plateline.load.door import optional_frame, polars_frame
from plateline.strength.body_mass import body_mass_by_day
from plateline.words import CATALOGUE

__all__ = ["LONGEST_CARRY_DAYS", "known_body_mass", "lift_facts", "planned_lifts"]

FACTS = (
    "pattern",
    "equipment",
    "position",
    "direct",
    "indirect",
    "laterality",
    "body_mass_share",
    "substitutes",
)

LONGEST_CARRY_DAYS = 28
"""A body mass is carried to training days up to four weeks away; beyond that it is unknown."""


def lift_facts(exercises: pl.Series, catalogue: Any = None) -> pl.DataFrame:
    """Return one row per distinct label with the catalogue's attributes.

    Columns: `exercise`, those of `FACTS`, `entry` (the catalogue's name), `in_catalogue`. A label
    that the catalogue does not know has nulls and `in_catalogue` false: it keeps its load and has
    no muscles.
    """
    labels = exercises.drop_nulls().unique().sort()
    known = None if catalogue is None else polars_frame(catalogue, "catalogue").lazy().collect()
    found = annotate(labels, load_catalogue() if known is None else known)
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
            (
                pl.col("catalogue") if "catalogue" in found.columns else pl.lit(None, pl.String)
            ).alias("entry"),
        )
        .with_columns(in_catalogue=pl.col("entry").is_not_null())
    )


def known_body_mass(days: pl.DataFrame, checkins: Any = None) -> pl.DataFrame:
    """Return `client, date, body_mass_kg` of `days`, null where no weighing is near.

    Between two weighings body mass lies on the line that joins them, as in the strength room;
    further than `LONGEST_CARRY_DAYS` from every weighing it is unknown.
    """
    weighed = optional_frame(checkins, "check-ins")
    return body_mass_by_day(days, weighed, within_days=LONGEST_CARRY_DAYS)


def planned_lifts(plan: pl.DataFrame, logged: pl.DataFrame, catalogue: Any = None) -> pl.DataFrame:
    """Return which logged label of a client is which planned exercise.

    A label is the planned exercise when they are spelt alike (case and spaces aside), else
    when the catalogue knows both as the same entry and the label is the client's only one of
    that entry.

    Parameters
    ----------
    plan
        At least `client, exercise`.
    logged
        `client, exercise`, the labels of the log.

    Returns
    -------
    polars.DataFrame
        `client, planned, exercise` (the label), one row per planned exercise that was found.
    """
    spelt = pl.col("exercise").str.to_lowercase().str.replace_all(r"\s+", " ").str.strip_chars()
    wanted = plan.select("client", "exercise").drop_nulls().unique().with_columns(_key=spelt)
    have = logged.select("client", "exercise").drop_nulls().unique().with_columns(_key=spelt)
    alike = wanted.join(
        have.sort("exercise").unique(["client", "_key"], keep="first"), on=["client", "_key"]
    ).select("client", planned="exercise", exercise="exercise_right")
    entries = (
        lift_facts(pl.concat([wanted["exercise"], have["exercise"]]), catalogue)
        .select("exercise", "entry")
        .drop_nulls("entry")
    )
    rest = wanted.join(
        alike, left_on=["client", "exercise"], right_on=["client", "planned"], how="anti"
    )
    free = have.join(alike, on=["client", "exercise"], how="anti")
    by_entry = (
        free.join(entries, on="exercise")
        .with_columns(_same=pl.len().over("client", "entry"))
        .filter(pl.col("_same") == 1)
    )
    close = (
        rest.join(entries, on="exercise")
        .join(by_entry, on=["client", "entry"])
        .select("client", planned="exercise", exercise="exercise_right")
        .sort("client", "exercise", "planned")
        .unique(["client", "exercise"], keep="first", maintain_order=True)
    )
    return pl.concat([alike, close]).sort("client", "planned")
