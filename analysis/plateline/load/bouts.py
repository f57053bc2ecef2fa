"""One row per lift and session: the step from which every table of load is summed.

A million sets are some three hundred thousand bouts. Grouping once, on names turned into
small numbers, and joining the catalogue's muscles only to what is left is what keeps the
weekly tables cheap.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import polars as pl

from plateline.load.counting import (
    counted,
    exact_kg,
    from_exact,
    is_hard,
    is_one_sided,
    is_warm_up,
    says_each_side,
)
from plateline.load.door import engine_for, lazy_sets
from plateline.load.facts import body_mass_by_day, lift_facts
from plateline.load.weeks import monday, partial_weeks
from plateline.load.zones import EFFORT_BANDS, REP_RANGES, Band, RepZone
from plateline.strength import e1rm

__all__ = ["KEYS", "LIFT_WEEK", "Bouts", "bouts_of"]

PART_ROWS = 500_000
"""Rows of bouts that are worked on at once, give or take a client."""

KEYS = ["client", "date", "session", "exercise"]
LIFT_WEEK = ["client", "week", "exercise"]

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
        Keys `client, date, session, exercise` (the names as Enums in alphabetical order) and
        `week`; sums (kilograms in whole micrograms, named `*_ug`), `z0, z1, ...` sets by rep
        zone and `e0, e1, ...` sets by effort, both in half sets.
    facts
        The catalogue's attributes of each label (`lift_facts`).
    zones, efforts
        What the `z` and `e` columns count.
    """

    frame: pl.DataFrame
    facts: pl.DataFrame
    zones: tuple[RepZone, ...]
    efforts: tuple[Band, ...]

    def parts(self) -> list[Bouts]:
        """Split into parts of whole clients, so that tables need little memory at once.

        Every table is a table per client; those of the parts, one after the other, are those
        of the whole.
        """
        if self.frame.height <= PART_ROWS:
            return [self]
        counts = self.frame.group_by("client").agg(n=pl.len()).sort("client")
        places = counts.with_columns(part=(pl.col("n").cum_sum() - 1) // PART_ROWS)
        return [
            Bouts(
                self.frame.join(clients.select("client"), on="client", how="semi"),
                self.facts,
                self.zones,
                self.efforts,
            )
            for clients in places.partition_by("part", maintain_order=True)
        ]

    def table(self, make: Callable[[Bouts], pl.DataFrame]) -> pl.DataFrame:
        """Return `make` of every part, one after the other."""
        return pl.concat([make(part) for part in self.parts()])

    @cached_property
    def weeks(self) -> pl.DataFrame:
        """Every client's weeks and whether they are partial (`partial_weeks`)."""
        return partial_weeks(self.frame)

    @cached_property
    def lift_weeks(self) -> pl.DataFrame:
        """Sets, reps and volume per lift and week, and `hard_days`, a bit per day of the week."""
        day = pl.lit(1, pl.Int8).cast(pl.UInt8) * (
            pl.lit(2, pl.UInt8).pow(pl.col("date").dt.weekday() - 1).cast(pl.UInt8)
        )
        bands = [f"z{i}" for i in range(len(self.zones))]
        bands += [f"e{i}" for i in range(len(self.efforts))]
        return (
            self.frame.with_columns(_day=pl.when(pl.col("hard_sets") > 0).then(day).otherwise(0))
            .group_by(LIFT_WEEK)
            .agg(
                pl.col("sets", "hard_sets", "volume_ug", *bands).sum(),
                pl.col("reps").cast(pl.Int64).sum(),
                hard_days=pl.col("_day").bitwise_or(),
            )
        )


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
    rows = lazy_sets(sets)
    engine = engine_for(sets)
    names = rows.select(
        pl.col(name).unique().drop_nulls().sort().implode()
        for name in ("client", "session", "exercise")
    ).collect(engine=engine)
    kinds = {name: pl.Enum(names[name].item()) for name in names.columns}
    facts = lift_facts(names["exercise"].item(), catalogue).with_columns(
        pl.col("exercise").cast(kinds["exercise"])
    )
    bodily = facts.filter(pl.col("body_mass_share") > 0)
    rows = rows.with_columns(pl.col(name).cast(kind) for name, kind in kinds.items())
    # One after the other: together they would need half as much memory again.
    frame = _with_moved(_summed(rows, zones).collect(engine=engine), facts, checkins)
    if bodily.height:
        lifts = bodily["exercise"].cast(pl.String)
        body_rows = (
            lazy_sets(sets)
            .filter(pl.col("exercise").is_in(lifts.implode()) & ~is_warm_up())
            .select(*KEYS, "load_kg", "reps", "rir")
            .with_columns(pl.col(name).cast(kind) for name, kind in kinds.items())
        )
        frame = _with_body_e1rm(frame, body_rows.collect(engine=engine))
    return Bouts(frame, facts, zones, EFFORT_BANDS)


def _summed(rows: pl.LazyFrame, zones: tuple[RepZone, ...]) -> pl.LazyFrame:
    """Sum rows per lift and session, without a join on the rows."""
    kg, reps, work = pl.col("_ug"), pl.col("_reps"), pl.col("_work")
    one, each = is_one_sided(), says_each_side()
    lifted = kg.clip(lower_bound=0) * reps
    sets = pl.col("_sets")
    worked = pl.when(work).then(sets).otherwise(0.0)
    rir = pl.when(work).then(pl.col("rir"))
    halves = pl.when(one).then(1).otherwise(2)
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
            _e1rm=pl.when(~is_warm_up() & (pl.col("load_kg") > 0)).then(
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
            rows=pl.len().cast(pl.UInt32),
            sets=sets.sum(),
            working_sets=worked.sum(),
            hard_sets=pl.when(pl.col("_hard")).then(sets).otherwise(0.0).sum(),
            reps=reps.sum().cast(pl.UInt32),
            known=(kg.is_not_null() & reps.is_not_null()).any(),
            volume_ug=lifted.sum(),
            working_volume_ug=pl.when(work).then(lifted).sum(),
            external_ug=(kg * reps).sum(),
            external_one_ug=pl.when(one).then(kg * reps).sum(),
            external_each_ug=pl.when(each).then(kg * reps).sum(),
            reps_one=pl.when(one).then(reps).sum().cast(pl.UInt32),
            reps_each=pl.when(each).then(reps).sum().cast(pl.UInt32),
            top_ug=pl.when(work).then(kg).max(),
            load_sum_ug=pl.when(work).then(kg).sum(),
            working_rows=work.sum().cast(pl.UInt32),
            e1rm_kg=pl.col("_e1rm").max(),
            rir_sum=rir.sum(),
            rir_rows=rir.count().cast(pl.UInt32),
            **{
                f"z{i}": pl.when(work & zone.holds(reps)).then(halves).sum().cast(pl.UInt32)
                for i, zone in enumerate(zones)
            },
            **{
                f"e{i}": pl.when(work & band.holds(pl.col("rir")))
                .then(halves)
                .sum()
                .cast(pl.UInt32)
                for i, band in enumerate(EFFORT_BANDS)
            },
        )
    )


def _with_moved(frame: pl.DataFrame, facts: pl.DataFrame, checkins: Any) -> pl.DataFrame:
    """Add `week`, `body_ug` and `moved_ug`: both hands, both sides, body mass."""
    moves = facts.select(
        "exercise",
        _hands=hand_count(),
        _per_side=pl.col("laterality").str.starts_with(PER_SIDE).fill_null(False),
        _share=pl.col("body_mass_share").fill_null(0.0),
    )
    bodily = moves.filter(pl.col("_share") > 0).select("exercise")
    masses = body_mass_by_day(
        frame.join(bodily, on="exercise", how="semi")
        .select("client", "date")
        .unique()
        .with_columns(pl.col("client").cast(pl.String)),
        checkins,
    ).with_columns(pl.col("client").cast(frame.schema["client"]))
    both_sides_kg = (
        pl.when("_per_side")
        .then(2 * pl.col("external_ug") - pl.col("external_one_ug"))
        .otherwise(pl.col("external_ug") + pl.col("external_each_ug"))
    )
    both_sides_reps = (
        pl.when("_per_side")
        .then(2 * pl.col("reps") - pl.col("reps_one"))
        .otherwise(pl.col("reps") + pl.col("reps_each"))
        .cast(pl.Int64)
    )
    return (
        frame.join(moves, on="exercise", how="left")
        .join(masses, on=["client", "date"], how="left")
        .with_columns(
            week=monday(pl.col("date")),
            body_ug=pl.when(pl.col("_share") > 0)
            .then(exact_kg(pl.col("_share") * pl.col("body_mass_kg")))
            .otherwise(0),
        )
        .with_columns(
            moved_ug=(pl.col("_hands") * both_sides_kg + pl.col("body_ug") * both_sides_reps).clip(
                0
            )
        )
        .drop("_hands", "_per_side", "body_mass_kg", "external_ug", "reps_one", "reps_each")
        .drop("external_one_ug", "external_each_ug")
    )


def hand_count() -> pl.Expr:
    """Count the loads of the logged size that are moved at once: two for a pair, else one."""
    pair = pl.col("equipment").is_in(PAIRED) & ~pl.col("laterality").str.contains(
        ONE_HAND, literal=True
    )
    return pl.when(pair.fill_null(False)).then(2).otherwise(1)


def _with_body_e1rm(frame: pl.DataFrame, body_rows: pl.DataFrame) -> pl.DataFrame:
    """Replace the e1RM of lifts that move body mass by that of the total load."""
    keyed = frame.filter(pl.col("_share") > 0).select(*KEYS, "body_ug")
    total = pl.col("load_kg") + from_exact(pl.col("body_ug"))
    best = (
        body_rows.join(keyed, on=KEYS, how="inner", nulls_equal=True)
        .filter(total > 0)
        .group_by(KEYS)
        .agg(
            _body_e1rm_kg=e1rm(
                total, pl.col("reps"), pl.col("rir").fill_null(0.0), in_window_only=True
            ).max()
        )
    )
    return (
        frame.join(best, on=KEYS, how="left", nulls_equal=True)
        .with_columns(
            e1rm_kg=pl.when(pl.col("_share") > 0)
            .then(pl.col("_body_e1rm_kg"))
            .otherwise(pl.col("e1rm_kg"))
        )
        .drop("_body_e1rm_kg")
    )
