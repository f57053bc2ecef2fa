"""One row per lift and session: the step from which every table of load is summed.

A million sets are some three hundred thousand bouts. Grouping once, and joining the
catalogue's muscles only to what is left, is what keeps the weekly tables cheap.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import polars as pl

from plateline.load.counting import (
    counted,
    exact_kg,
    is_hard,
    is_one_sided,
    is_warm_up,
    says_each_side,
)
from plateline.load.door import engine_for, lazy_sets
from plateline.load.facts import body_mass_by_day, lift_facts
from plateline.load.zones import EFFORT_BANDS, REP_RANGES, Band, RepZone
from plateline.strength import e1rm

__all__ = ["Bouts", "bouts_of"]

KEYS = ("client", "date", "session", "exercise")

PER_SIDE = "unilateral"
"""How `laterality` begins for lifts whose logged reps are those of each side."""

PAIRED = ("dumbbell", "kettlebell")
ONE_HAND = "one-hand"
"""Equipment that comes in pairs, logged by what one hand holds, and the word in `laterality`
that says that the logged load is the whole."""


@dataclass(frozen=True)
class Bouts:
    """Sets summed per lift and session.

    Attributes
    ----------
    frame
        Keys `client, date, session, exercise`, sums (kilograms in whole micrograms, named
        `*_ug`), `z0, z1, ...` sets by rep zone and `e0, e1, ...` sets by effort.
    facts
        The catalogue's attributes of each label (`lift_facts`).
    zones, efforts
        What the `z` and `e` columns count.
    """

    frame: pl.DataFrame
    facts: pl.DataFrame
    zones: tuple[RepZone, ...]
    efforts: tuple[Band, ...]


def bouts_of(
    sets: Any,
    *,
    catalogue: Any = None,
    checkins: Any = None,
    zones: tuple[RepZone, ...] = REP_RANGES,
) -> Bouts:
    """Sum the sets of every lift and session.

    Parameters
    ----------
    sets
        SETS frame, eager or lazy; a lazy one is collected by the streaming engine.
    catalogue
        CATALOGUE; the one that ships where none is given.
    checkins
        CHECKINS; without them the body mass that is moved is unknown.
    zones
        Rep zones, lowest first.
    """
    engine = engine_for(sets)
    rows = lazy_sets(sets)
    labels = rows.select(pl.col("exercise").unique()).collect(engine=engine)["exercise"]
    facts = lift_facts(labels, catalogue)
    bodily = facts.filter(pl.col("body_mass_share").fill_null(0) > 0)
    summed = _summed(rows, zones)
    if bodily.is_empty():
        frame = summed.collect(engine=engine)
        return Bouts(_with_moved(frame, facts, checkins), facts, zones, EFFORT_BANDS)
    with_body = rows.filter(
        pl.col("exercise").is_in(bodily["exercise"].implode()) & ~is_warm_up()
    ).select(*KEYS, "load_kg", "reps", "rir")
    frame, hard_body = pl.collect_all([summed, with_body], engine=engine)
    frame = _with_moved(frame, facts, checkins)
    return Bouts(_with_body_e1rm(frame, hard_body, facts), facts, zones, EFFORT_BANDS)


def _summed(rows: pl.LazyFrame, zones: tuple[RepZone, ...]) -> pl.LazyFrame:
    """Sum rows per lift and session, without a join on the rows."""
    kg, reps, work = pl.col("_ug"), pl.col("_reps"), pl.col("_work")
    one, each = is_one_sided(), says_each_side()
    lifted = kg.clip(lower_bound=0) * reps
    sets = pl.col("_sets")
    return (
        rows.select(
            *KEYS,
            "side",
            "rir",
            _ug=exact_kg(pl.col("load_kg")),
            _reps=pl.col("reps").cast(pl.Int64),
            _sets=counted(),
            _work=~is_warm_up(),
            _hard=is_hard(),
            _e1rm=pl.when(~is_warm_up()).then(
                e1rm(
                    pl.col("load_kg"),
                    pl.col("reps"),
                    pl.col("rir").fill_null(0.0),
                    in_window_only=True,
                )
            ),
        )
        .group_by(KEYS)
        .agg(
            rows=pl.len().cast(pl.Int64),
            sets=sets.sum(),
            working_sets=sets.filter(work).sum(),
            hard_sets=sets.filter(pl.col("_hard")).sum(),
            reps=reps.sum(),
            known=(kg.is_not_null() & reps.is_not_null()).sum(),
            volume_ug=lifted.sum(),
            working_volume_ug=lifted.filter(work).sum(),
            external_ug=(kg * reps).sum(),
            external_one_ug=(kg * reps).filter(one).sum(),
            external_each_ug=(kg * reps).filter(each).sum(),
            reps_one=reps.filter(one).sum(),
            reps_each=reps.filter(each).sum(),
            top_ug=kg.filter(work).max(),
            load_sum_ug=kg.filter(work).sum(),
            working_rows=work.sum().cast(pl.Int64),
            e1rm_kg=pl.col("_e1rm").max(),
            rir_sum=pl.col("rir").filter(work).sum(),
            rir_rows=pl.col("rir").filter(work).count().cast(pl.Int64),
            **{f"z{i}": sets.filter(work & zone.holds(reps)).sum() for i, zone in enumerate(zones)},
            **{
                f"e{i}": sets.filter(work & band.holds(pl.col("rir"))).sum()
                for i, band in enumerate(EFFORT_BANDS)
            },
        )
    )


def _with_moved(frame: pl.DataFrame, facts: pl.DataFrame, checkins: Any) -> pl.DataFrame:
    """Add `body_mass_kg`, `moved_ug` and total load: both hands, both sides, body mass."""
    masses = body_mass_by_day(frame, checkins)
    small = facts.select("exercise", "equipment", "laterality", "body_mass_share")
    share = pl.col("body_mass_share").fill_null(0.0)
    hands = hand_count()
    per_side = pl.col("laterality").str.starts_with(PER_SIDE).fill_null(False)
    both_sides_kg = (
        pl.when(per_side)
        .then(2 * pl.col("external_ug") - pl.col("external_one_ug"))
        .otherwise(pl.col("external_ug") + pl.col("external_each_ug"))
    )
    both_sides_reps = (
        pl.when(per_side)
        .then(2 * pl.col("reps") - pl.col("reps_one"))
        .otherwise(pl.col("reps") + pl.col("reps_each"))
    )
    body_ug = exact_kg(share * pl.col("body_mass_kg"))
    return (
        frame.join(small, on="exercise", how="left")
        .join(masses, on=["client", "date"], how="left")
        .with_columns(
            body_ug=pl.when(share > 0).then(body_ug).otherwise(0),
        )
        .with_columns(
            moved_ug=(hands * both_sides_kg + pl.col("body_ug") * both_sides_reps).clip(0)
        )
        .sort(KEYS, nulls_last=True)
    )


def hand_count() -> pl.Expr:
    """Count the loads of the logged size that are moved at once: two for a pair, else one."""
    pair = pl.col("equipment").is_in(PAIRED) & ~pl.col("laterality").str.contains(
        ONE_HAND, literal=True
    )
    return pl.when(pair.fill_null(False)).then(2).otherwise(1)


def _with_body_e1rm(
    frame: pl.DataFrame, hard_body: pl.DataFrame, facts: pl.DataFrame
) -> pl.DataFrame:
    """Replace the e1RM of lifts that move body mass by that of the total load."""
    keyed = frame.filter(pl.col("body_mass_share").fill_null(0) > 0).select(*KEYS, "body_ug")
    total = pl.col("load_kg") + pl.col("body_ug") / 1e9
    best = (
        hard_body.join(keyed, on=KEYS, how="inner", nulls_equal=True)
        .group_by(KEYS)
        .agg(
            body_e1rm_kg=e1rm(
                total, pl.col("reps"), pl.col("rir").fill_null(0.0), in_window_only=True
            ).max()
        )
    )
    return (
        frame.join(best, on=KEYS, how="left", nulls_equal=True)
        .with_columns(
            e1rm_kg=pl.when(pl.col("body_mass_share").fill_null(0) > 0)
            .then(pl.col("body_e1rm_kg"))
            .otherwise(pl.col("e1rm_kg"))
        )
        .drop("body_e1rm_kg")
        .sort(KEYS, nulls_last=True)
    )
