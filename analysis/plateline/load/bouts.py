"""One row per lift and session: the step from which every table of load is summed.

A million sets are some three hundred thousand bouts. Grouping once, on names turned into
small numbers, and joining the catalogue's muscles only to what is left is what keeps the
weekly tables cheap.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import polars as pl

from plateline.load.best import logged_e1rm, with_looked_up_e1rm
from plateline.load.counting import (
    counted,
    exact_kg,
    is_hard,
    is_one_sided,
    is_warm_up,
    says_each_side,
)
from plateline.load.door import Engine, engine_for, lazy_sets
from plateline.load.facts import known_body_mass, lift_facts
from plateline.load.landed import landed_sets
from plateline.load.weeks import monday, partial_weeks
from plateline.load.zones import EFFORT_BANDS, LOAD_BANDS, REP_RANGES, Band, RepZone
from plateline.strength import hand_count

__all__ = ["KEYS", "LIFT_WEEK", "Bouts", "bouts_of"]

PART_ROWS = 500_000
"""Rows of bouts that are worked on at once, give or take a client."""

KEYS = ["client", "date", "session", "exercise"]
LIFT_WEEK = ["client", "week", "exercise"]

PER_SIDE = "unilateral"
"""How `laterality` begins for lifts whose logged reps are those of each side."""


@dataclass(frozen=True)
class Bouts:
    """Sets summed per lift and session.

    Attributes
    ----------
    frame
        Keys `client, date, session, exercise` (the names as Enums in alphabetical order) and
        `week`; sums (kilograms in whole micrograms, named `*_ug`; `total_sum_ug` adds body mass
        to the load of every working row), `hands` (loads of the logged size that are moved
        beside body mass, 1 for other lifts), `z0, z1, ...` sets by rep
        zone and `e0, e1, ...` sets by effort, both in half sets.
    facts
        The catalogue's attributes of each label (`lift_facts`).
    zones, efforts, bands
        What the `z` and `e` columns count, and the load bands of `intensity`.
    rows, engine
        The sets themselves (names of the same types), and what suits to collect them.
    """

    frame: pl.DataFrame
    facts: pl.DataFrame
    zones: tuple[RepZone, ...]
    efforts: tuple[Band, ...]
    bands: tuple[Band, ...]
    rows: pl.LazyFrame
    engine: Engine

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
            replace(
                self,
                frame=self.frame.join(clients.select("client"), on="client", how="semi"),
                rows=self.rows.filter(pl.col("client").is_in(clients["client"].implode())),
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
        """Sets, reps, volume and best e1RM per lift and week, and `hard_days`, a bit per day of the week.

        Sorted by `LIFT_WEEK`, with `is_partial` of the week.
        """
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
                best_e1rm_kg=pl.col("e1rm_kg").max(),
            )
            .sort(LIFT_WEEK)
            .join(self.weeks, on=["client", "week"], how="left", maintain_order="left")
        )

    @cached_property
    def landed(self) -> pl.DataFrame:
        """Sets per client, week, muscle and position (`landed_sets`)."""
        return landed_sets(self.lift_weeks, self.facts)


def bouts_of(
    sets: Any,
    *,
    catalogue: Any = None,
    checkins: Any = None,
    zones: tuple[RepZone, ...] = REP_RANGES,
    efforts: tuple[Band, ...] = EFFORT_BANDS,
    bands: tuple[Band, ...] = LOAD_BANDS,
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
    zones, efforts, bands
        Rep zones, bands of proximity to failure and of load, lowest first.
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
    rows = rows.with_columns(pl.col(name).cast(kind) for name, kind in kinds.items())
    # One after the other: together they would need half as much memory again.
    frame = _with_moved(_summed(rows, zones, efforts).collect(engine=engine), facts, checkins)
    frame = with_looked_up_e1rm(frame, rows, engine)
    return Bouts(frame, facts, zones, efforts, bands, rows, engine)


def _summed(
    rows: pl.LazyFrame, zones: tuple[RepZone, ...], efforts: tuple[Band, ...]
) -> pl.LazyFrame:
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
            _e1rm=logged_e1rm(),
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
                for i, band in enumerate(efforts)
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
    masses = known_body_mass(
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
    moved = (
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
            ),
            hands=pl.when(pl.col("_share") > 0).then("_hands").otherwise(1).cast(pl.Int64),
        )
        .with_columns(
            total_sum_ug=pl.col("hands") * pl.col("load_sum_ug")
            + pl.col("body_ug") * pl.col("working_rows").cast(pl.Int64)
        )
    )
    return moved.drop(
        "_hands", "_per_side", "body_mass_kg", "load_sum_ug", "external_ug", "reps_one",
        "reps_each", "external_one_ug", "external_each_ug",
    )  # fmt: skip
