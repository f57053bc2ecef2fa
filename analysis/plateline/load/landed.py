"""Hard sets of lifts and weeks laid on the muscles they train: a step before the tables."""

from __future__ import annotations

from dataclasses import replace

import polars as pl

from plateline.load.counting import DIRECT_WEIGHT, INDIRECT_WEIGHT
from plateline.load.joint import Joint, joint_of

__all__ = ["NOT_IN_CATALOGUE", "enum_of", "fractional_sets", "landed_sets", "muscle_weights"]

NOT_IN_CATALOGUE = "exercises that are not in the catalogue"
"""Reason that work has no muscle, pattern or position."""


def landed_sets(
    lift_weeks: pl.DataFrame, facts: pl.DataFrame, by: tuple[str, ...] = ("muscle", "position")
) -> pl.DataFrame:
    """Return sets, reps and volume per client, week and what is named in `by`.

    `direct_sets`, `all_sets` (direct and indirect alike), `direct_reps`, `direct_volume_ug`,
    `hard_days` (a bit per day of the week) and `exercises`. Sorted by what they are sums per.

    Parameters
    ----------
    lift_weeks
        Sums per lift and week (`LiftWeeks.table`).
    facts
        The catalogue's attributes of each label (`lift_facts`).
    by
        `muscle`, `position`, or both.
    """
    weights = muscle_weights(facts)
    weights = weights.with_columns(enum_of("muscle", weights), enum_of("position", weights))
    sets, direct = pl.col("hard_sets"), pl.col("_direct")
    laid = (
        lift_weeks.lazy()
        .select("client", "week", "exercise", "hard_sets", "reps", "volume_ug", "hard_days")
        .join(
            weights.lazy().with_columns(_direct=pl.col("weight") == DIRECT_WEIGHT),
            on="exercise",
            how="left",
        )
    )
    named = (replace(place, has_nulls=True) for place in joint_of(weights, list(by)).places)
    return (
        Joint((*joint_of(lift_weeks, ["client", "week"]).places, *named))
        .summed(
            laid,
            direct_sets=pl.when(direct).then(sets).otherwise(0.0).sum(),
            all_sets=sets.sum(),
            direct_reps=pl.when(direct).then(pl.col("reps")).otherwise(0).sum(),
            direct_volume_ug=pl.when(direct).then(pl.col("volume_ug")).otherwise(0).sum(),
            hard_days=pl.col("hard_days").bitwise_or(),
            exercises=pl.len().cast(pl.Int64),
        )
        .collect(engine="streaming")
    )


def fractional_sets() -> pl.Expr:
    """Count direct and indirect sets as they count for a muscle."""
    return DIRECT_WEIGHT * pl.col("direct_sets") + INDIRECT_WEIGHT * pl.col("indirect_sets")


def muscle_weights(facts: pl.DataFrame) -> pl.DataFrame:
    """Return `exercise, muscle, weight, position`; a muscle that is direct is not indirect too.

    Exercises without muscles keep one row with a null muscle.
    """
    parts = [
        facts.select(
            "exercise",
            muscle=pl.col(column).list.drop_nulls(),
            weight=pl.lit(weight),
            position=pl.col("position") if weight == DIRECT_WEIGHT else pl.lit(None, pl.String),
        ).explode("muscle", empty_as_null=True)
        for column, weight in (("direct", DIRECT_WEIGHT), ("indirect", INDIRECT_WEIGHT))
    ]
    named = (
        pl.concat(parts)
        .drop_nulls("muscle")
        .sort("exercise", "muscle", "weight", descending=[False, False, True])
        .unique(["exercise", "muscle"], keep="first", maintain_order=True)
    )
    unnamed = facts.join(named, on="exercise", how="anti").select(
        "exercise",
        muscle=pl.lit(None, pl.String),
        weight=pl.lit(DIRECT_WEIGHT),
        position=pl.lit(None, pl.String),
    )
    return pl.concat([named, unnamed])


def enum_of(column: str, frame: pl.DataFrame) -> pl.Expr:
    """Return `column` as an Enum of the values it has, in alphabetical order."""
    return pl.col(column).cast(pl.Enum(frame[column].drop_nulls().unique().sort()))
