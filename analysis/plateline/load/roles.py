"""What a lift is for: load that climbs (progression) or volume and effort (accessory)."""

from __future__ import annotations

from typing import Any

import polars as pl

from plateline.load.door import optional_frame
from plateline.load.facts import lift_facts, planned_lifts
from plateline.load.keys import LIFT
from plateline.load.supersets import rows_with_supersets
from plateline.load.tables import ROLES
from plateline.words import Role, SetKind, conform

__all__ = ["roles"]

USUAL_REPS_LIMIT = 12.0
"""Above this many reps in the heaviest set of a session, load is not what is meant to climb.

The upper end of the rep range in which lifts are loaded hard, and of the window in which the
published e1RM equations are used; common practice, no source."""

COMPOUND_PATTERNS = (
    "squat",
    "hinge",
    "lunge",
    "hip extension",
    "horizontal push",
    "vertical push",
    "horizontal pull",
    "vertical pull",
    "olympic lift",
)
"""Movement patterns of the catalogue that move more than one joint and are loaded to climb."""

FULL_SHARE = 0.5
"""A habit counts when it is seen in at least half of a lift's sessions."""


def roles(sets: Any, plan: Any = None, *, catalogue: Any = None) -> pl.DataFrame:
    """Return the role of every lift, `progression` or `accessory`, and where it is known from.

    The plan says it (``how = "plan"``; the client's latest block that names the lift). Where
    it does not, it is inferred from the pattern of sets by this rule, in this order:

    1. done in a superset in at least half of its sessions: accessory;
    2. a top set and a lighter back-off set with more reps (by their kinds, or by loads and
       reps) in at least half of its sessions: progression;
    3. usual reps of the session's heaviest set above 12: accessory;
    4. at most 12, and a compound movement pattern (`COMPOUND_PATTERNS`): progression;
    5. at most 12, and another pattern: accessory;
    6. an exercise that the catalogue does not know: no role, with a reason.

    Progression lifts are judged by strength; accessory work by volume, effort and reps held.

    Parameters
    ----------
    sets
        SETS frame (Polars eager or lazy, pandas, Arrow).
    plan
        PLAN frame.
    catalogue
        CATALOGUE frame; the one that ships where none is given.

    Returns
    -------
    polars.DataFrame
        One row per client and lift; columns at the top of `plateline.load`.
    """
    rows = rows_with_supersets(sets)
    habits = _habits(rows)
    facts = lift_facts(rows["exercise"], catalogue)
    named = _from_plan(optional_frame(plan, "plan"), rows, catalogue)
    compound = pl.col("pattern").is_in(COMPOUND_PATTERNS)
    enough = pl.lit(FULL_SHARE)
    inferred = (
        pl.when(pl.col("superset_share") >= enough)
        .then(pl.lit(Role.ACCESSORY.value))
        .when(pl.col("top_back_off_share") >= enough)
        .then(pl.lit(Role.PROGRESSION.value))
        .when(pl.col("usual_reps") > USUAL_REPS_LIMIT)
        .then(pl.lit(Role.ACCESSORY.value))
        .when(~pl.col("in_catalogue"))
        .then(None)
        .when(compound)
        .then(pl.lit(Role.PROGRESSION.value))
        .otherwise(pl.lit(Role.ACCESSORY.value))
    )
    table = (
        habits.join(facts.select("exercise", "pattern", "in_catalogue"), on="exercise", how="left")
        .join(named, on=["client", "exercise"], how="left")
        .with_columns(
            role=pl.coalesce("planned_role", inferred),
            how=pl.when(pl.col("planned_role").is_not_null())
            .then(pl.lit("plan"))
            .when(inferred.is_not_null())
            .then(pl.lit("inferred")),
            reason=pl.when(pl.col("planned_role").is_null() & inferred.is_null()).then(
                pl.lit("not in the plan, and not in the catalogue")
            ),
        )
        .sort("client", "exercise")
    )
    return conform(table, ROLES)


def _habits(rows: pl.DataFrame) -> pl.DataFrame:
    """Sum up how a lift's sets look, session by session."""
    session = [*LIFT, "date", "session"]
    heaviest = pl.col("load_kg") == pl.col("load_kg").max()
    kinds = pl.col("set_kind").cast(pl.String)
    marked = (kinds == SetKind.TOP.value).any() & (kinds == SetKind.BACK_OFF.value).any()
    lighter = pl.col("load_kg") < pl.col("load_kg").max()
    per_session = rows.group_by(session).agg(
        top_reps=pl.col("reps").filter(heaviest).max(),
        back_off=marked
        | (pl.col("reps").filter(lighter).max() > pl.col("reps").filter(heaviest).max()).fill_null(
            False
        ),
        together=pl.col("how").is_not_null().any(),
    )
    return per_session.group_by(LIFT).agg(
        sessions=pl.len().cast(pl.Int64),
        usual_reps=pl.col("top_reps").median(),
        top_back_off_share=pl.col("back_off").mean(),
        superset_share=pl.col("together").mean(),
    )


def _from_plan(plan: pl.DataFrame, rows: pl.DataFrame, catalogue: Any) -> pl.DataFrame:
    """Return `client, exercise, planned_role`, the latest block's."""
    logged = rows.select("client", "exercise").unique()
    names = planned_lifts(plan, logged, catalogue)
    known = [role.value for role in Role]
    return (
        plan.select("client", "exercise", "start", role=pl.col("role").str.to_lowercase())
        .filter(pl.col("role").is_in(known))
        .join(names, left_on=["client", "exercise"], right_on=["client", "planned"], how="inner")
        .sort("start", nulls_last=False)
        .group_by("client", pl.col("exercise_right").alias("exercise"), maintain_order=True)
        .agg(planned_role=pl.col("role").last())
    )
