"""Load per session, week, month and block of every lift."""

from __future__ import annotations

from typing import Any

import polars as pl

from plateline.load.bout_sums import sums_of_bouts
from plateline.load.bouts import Bouts, bouts_of, table_of
from plateline.load.counting import from_exact, over
from plateline.load.door import optional_frame
from plateline.load.facts import LONGEST_CARRY_DAYS
from plateline.load.joint import joint_of
from plateline.load.keys import LIFT_WEEK, SESSION
from plateline.load.stretches import in_stretches
from plateline.load.tables import BLOCK_LOAD, MONTHLY_LOAD, SESSION_LOAD, WEEKLY_LOAD
from plateline.strength import LARGEST_REPS
from plateline.words import conform

__all__ = [
    "NO_BODY_MASS",
    "NO_E1RM",
    "block_load",
    "monthly_load",
    "session_load",
    "weekly_load",
    "weekly_load_of",
    "with_reference",
]

REFERENCE_DAYS = 28
"""Load shares refer to the best e1RM of the period and of the four weeks before its end."""

NO_BODY_MASS = f"no body mass within {LONGEST_CARRY_DAYS} days"
NO_E1RM = f"no loaded set of 1-{LARGEST_REPS:g} reps to failure in the last {REFERENCE_DAYS} days"
"""Reasons that a share of the reference is not known."""


def weekly_load(sets: Any, *, catalogue: Any = None, checkins: Any = None) -> pl.DataFrame:
    """Return the load of every lift in every ISO week, all clients at once.

    Parameters
    ----------
    sets
        SETS frame (Polars eager or lazy, pandas, Arrow); one row per set.
    catalogue
        CATALOGUE frame; the one that ships where none is given.
    checkins
        CHECKINS frame; without it the body mass that is moved is unknown.

    Returns
    -------
    polars.DataFrame
        One row per client, week (its Monday) and exercise; columns at the top of
        `plateline.load`. Weeks without the lift have no row.

    Raises
    ------
    plateline.errors.MissingColumnError
        When `sets` lacks `client`, `date`, `exercise`, `load_kg` or `reps`.

    Notes
    -----
    ``volume_load_kg`` is the sum of reps times load over all sets, warm-ups too, load as it
    stands in the clean table (per hand for dumbbells, no body mass); assistance (a negative
    load) adds nothing. It is the published definition (sets x reps x load: Hornsby et al.
    2018, Sports 6(4):137) and misleads where much of what is moved is not on the bar: compare
    ``moved_kg`` then.
    """
    return table_of(
        sets, weekly_load_of, catalogue=catalogue, checkins=checkins, zones=(), efforts=()
    )


def weekly_load_of(bouts: Bouts) -> pl.DataFrame:
    """Sum bouts to `weekly_load`."""
    return conform(_finished(with_reference(_with_ratios(bouts.lift_weeks))), WEEKLY_LOAD)


def monthly_load(sets: Any, *, catalogue: Any = None, checkins: Any = None) -> pl.DataFrame:
    """Return the load of every lift in every calendar month (named by its first day).

    A month is partial when the client's log leaves out a week or more at its beginning or its end.

    Parameters
    ----------
    sets, catalogue, checkins
        As for `weekly_load`.
    """
    bouts = bouts_of(sets, catalogue=catalogue, checkins=checkins, zones=(), efforts=())
    frame = in_stretches(bouts.frame, "month").rename({"start": "month"})
    table = _summed(frame, ["client", "month", "exercise"])
    # Four weeks never reach past the beginning of a month, so its own best is the reference.
    table = _finished(table.with_columns(reference_e1rm_kg=pl.col("best_e1rm_kg")))
    return conform(table.sort("client", "month", "exercise"), MONTHLY_LOAD)


def block_load(
    sets: Any, plan: Any, *, catalogue: Any = None, checkins: Any = None
) -> pl.DataFrame:
    """Return the load of every lift in every block of the plan.

    A block runs from its `start` for `weeks` weeks or until the next one begins; sets outside
    every block are left out. A block is partial when the client's log leaves out a week or more
    at its beginning or its end. Without a plan the table is empty.

    Parameters
    ----------
    plan
        PLAN frame.
    sets, catalogue, checkins
        As for `weekly_load`.
    """
    bouts = bouts_of(sets, catalogue=catalogue, checkins=checkins, zones=(), efforts=())
    frame = in_stretches(bouts.frame, "block", plan).rename({"label": "block"})
    table = _summed(frame, ["client", "block", "start", "end", "exercise"])
    table = _finished(table.with_columns(reference_e1rm_kg=pl.col("best_e1rm_kg")))
    return conform(table.sort("client", "start", "block", "exercise"), BLOCK_LOAD)


def session_load(sets: Any, *, catalogue: Any = None, checkins: Any = None) -> pl.DataFrame:
    """Return the load of every session, with density where its duration is known.

    Density is volume-load over minutes (kg/min), the definition worked through in BMJ
    Military Health 168(4):314-319, Table 1: 1560 kg in 45 min are 34.7. Session-RPE load is
    rating (0-10) times minutes (Foster et al. 2001, J Strength Cond Res 15(1):109-115).
    Minutes and rating come from the day's check-in; a day with two sessions has one check-in,
    so neither can be told from it.

    Parameters
    ----------
    sets, catalogue
        As for `weekly_load`.
    checkins
        CHECKINS frame: body mass, minutes and ratings.
    """
    bouts = bouts_of(sets, catalogue=catalogue, checkins=checkins, zones=(), efforts=())
    table = _summed(bouts.frame, SESSION)
    counts = bouts.frame.group_by(SESSION).agg(
        exercises=pl.col("exercise").n_unique().cast(pl.Int64)
    )
    one = pl.len().over("client", "date") == 1
    joined = (
        table.join(counts, on=SESSION, how="left", nulls_equal=True)
        .join(_rated(checkins, table.schema["client"]), on=["client", "date"], how="left")
        .with_columns(
            duration_min=pl.when(one).then(pl.col("duration_min")),
            rpe=pl.when(one).then(pl.col("rpe")),
            _two=~one,
        )
        .with_columns(
            density_kg_min=over(pl.col("volume_load_kg"), pl.col("duration_min")),
            session_rpe_load=pl.col("rpe") * pl.col("duration_min"),
            reason=_reasons(
                (pl.col("moved_kg").is_null(), NO_BODY_MASS),
                (
                    pl.col("_two"),
                    "two sessions on one day: their duration cannot be told apart",
                ),
                (~pl.col("_two") & pl.col("duration_min").is_null(), "no duration logged"),
                (
                    ~pl.col("_two")
                    & pl.col("duration_min").is_not_null()
                    & pl.col("rpe").is_null(),
                    "no session RPE logged",
                ),
            ),
        )
        .sort(SESSION, nulls_last=True)
    )
    return conform(joined, SESSION_LOAD)


def _rated(checkins: Any, kind: pl.DataType) -> pl.DataFrame:
    """Return minutes and rating of each day that has them, clients as the type `kind`."""
    return (
        optional_frame(checkins, "check-ins")
        .group_by("client", "date")
        .agg(
            duration_min=pl.col("session_min").drop_nulls().last(),
            rpe=pl.col("session_rpe").drop_nulls().last(),
        )
        .with_columns(
            pl.col("client").cast(kind, strict=False),
            duration_min=pl.when(pl.col("duration_min") > 0).then(pl.col("duration_min")),
        )
    )


def _summed(bouts: pl.DataFrame, keys: list[str]) -> pl.DataFrame:
    """Sum bouts by `keys`."""
    # Months and blocks bring `is_partial` along; a pattern without a match adds no column.
    return _with_ratios(
        bouts.group_by(keys).agg(*sums_of_bouts(keys), pl.col("^is_partial$").first())
    )


def _with_ratios(sums: pl.DataFrame) -> pl.DataFrame:
    """Add kilograms and means, made from sums, so that they do not depend on the steps."""
    reps, known = pl.col("reps"), pl.col("known")
    return sums.with_columns(
        volume_load_kg=pl.when(known).then(from_exact(pl.col("volume_ug"))),
        working_volume_load_kg=pl.when(known).then(from_exact(pl.col("working_volume_ug"))),
        moved_kg=pl.when(known).then(from_exact(pl.col("moved_ug"))),
        top_load_kg=from_exact(pl.col("top_ug")),
        mean_rir=pl.when(pl.col("rir_rows") > 0).then(pl.col("rir_sum") / pl.col("rir_rows")),
        rir_known_share=pl.when(pl.col("working_rows") > 0).then(
            pl.col("rir_rows") / pl.col("working_rows")
        ),
    ).with_columns(mean_load_kg=pl.when(reps > 0).then(pl.col("volume_load_kg") / reps))


def with_reference(table: pl.DataFrame) -> pl.DataFrame:
    """Add the reference e1RM: the lift's best of the week and of the three weeks before it."""
    numbered = table.select(*LIFT_WEEK, "best_e1rm_kg").with_row_index("_row")
    ordered = joint_of(numbered, ["client", "exercise", "week"]).sort(numbered)
    recent = [pl.col("best_e1rm_kg")]
    for back in range(1, REFERENCE_DAYS // 7):
        same_lift = (pl.col("client") == pl.col("client").shift(back)) & (
            pl.col("exercise") == pl.col("exercise").shift(back)
        )
        age = (pl.col("week") - pl.col("week").shift(back)).dt.total_days()
        recent.append(
            pl.when(same_lift & (age < REFERENCE_DAYS)).then(pl.col("best_e1rm_kg").shift(back))
        )
    best = ordered.select("_row", best=pl.max_horizontal(recent)).sort("_row")["best"]
    return table.with_columns(reference_e1rm_kg=best)


def _finished(table: pl.DataFrame) -> pl.DataFrame:
    """Add the load share and the reasons."""
    mean_total = from_exact(pl.col("total_sum_ug")) / pl.col("working_rows")
    return table.with_columns(
        load_share=pl.when((pl.col("working_rows") > 0) & (pl.col("reference_e1rm_kg") > 0)).then(
            mean_total / pl.col("reference_e1rm_kg")
        ),
        reason=_reasons(
            (pl.col("working_rows") == 0, "warm-ups only"),
            (pl.col("moved_kg").is_null(), NO_BODY_MASS),
            (
                (pl.col("working_rows") > 0)
                & pl.col("reference_e1rm_kg").is_null()
                & pl.col("moved_kg").is_not_null(),
                NO_E1RM,
            ),
            ((pl.col("working_rows") > 0) & (pl.col("rir_rows") == 0), "no RIR logged"),
        ),
    )


def _reasons(*cases: tuple[pl.Expr, str]) -> pl.Expr:
    """Join the sentences whose condition holds; null where none does."""
    said = pl.concat_str(
        [pl.when(condition).then(pl.lit(sentence)) for condition, sentence in cases],
        separator="; ",
        ignore_nulls=True,
    )
    return pl.when(said != "").then(said)
