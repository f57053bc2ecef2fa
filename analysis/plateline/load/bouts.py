"""One row per lift and session: the step from which every table of load is summed.

A million sets are some three hundred thousand bouts. Grouping once, on names turned into
small numbers, and joining the catalogue's muscles only to what is left is what keeps the
weekly tables cheap.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import polars as pl

from plateline.load.best import with_looked_up_e1rm
from plateline.load.bout_sums import marks, sums_of_bouts, sums_of_rows
from plateline.load.coded import coded_sets
from plateline.load.counting import exact_kg
from plateline.load.door import Engine
from plateline.load.facts import known_body_mass
from plateline.load.joint import joint_of
from plateline.load.keys import BOUT, LIFT_WEEK
from plateline.load.lift_weeks import LiftWeeks, coded_facts, day_bit
from plateline.load.slices import of_some_clients, whole_clients
from plateline.load.weeks import monday, partial_weeks
from plateline.load.zones import EFFORT_BANDS, LOAD_BANDS, REP_RANGES, Band, RepZone
from plateline.strength import hand_count

__all__ = ["Bouts", "bouts_in_parts", "bouts_of", "table_of"]

PART_ROWS = 500_000
"""Rows of bouts that are worked on at once, give or take a client."""

SUMMED = ["set_kind", "load_kg", "reps", "rir", "side", "flag"]
"""The columns of the sets that tables of load are made of."""

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
        return [
            replace(
                self,
                frame=self.frame.join(some, on="client", how="semi"),
                rows=self.rows.filter(pl.col("client").is_in(some["client"].implode())),
            )
            for some in whole_clients(self.frame, PART_ROWS)
        ]

    @cached_property
    def weeks(self) -> pl.DataFrame:
        """Every client's weeks and whether they are partial (`partial_weeks`)."""
        days = joint_of(self.frame, ["client", "date"])
        return partial_weeks(days.grouped(self.frame.lazy()).collect(engine="streaming"))

    @cached_property
    def lift_weeks(self) -> pl.DataFrame:
        """The sums of `sums_of_bouts` per lift and week, and `hard_days`, a bit per day of the week.

        Sorted by `LIFT_WEEK`, with `is_partial` of the week.
        """
        bands = [f"z{i}" for i in range(len(self.zones))]
        bands += [f"e{i}" for i in range(len(self.efforts))]
        return (
            joint_of(self.frame, LIFT_WEEK)
            .summed(
                self.frame.lazy().with_columns(_day=day_bit(pl.col("hard_sets") > 0)),
                *sums_of_bouts(LIFT_WEEK),
                *(pl.col(band).sum() for band in bands),
                pl.col("_day").bitwise_or().alias("hard_days"),
            )
            .collect()
            .join(self.weeks, on=["client", "week"], how="left", maintain_order="left")
        )

    @cached_property
    def by_week(self) -> LiftWeeks:
        """The sums per lift and week, as the tables of muscles and patterns are made of them."""
        return LiftWeeks(self.lift_weeks, self.weeks, self.facts)


def bouts_of(
    sets: Any,
    *,
    catalogue: Any = None,
    checkins: Any = None,
    zones: tuple[RepZone, ...] = REP_RANGES,
    efforts: tuple[Band, ...] = EFFORT_BANDS,
    bands: tuple[Band, ...] = LOAD_BANDS,
    only: tuple[str, ...] = (),
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
    only
        The sums of rows that are wanted, where not all are; there is no `moved_ug` and no e1RM then.
    """
    coded = coded_sets(sets, ["client", "session", "exercise"], SUMMED)
    facts = coded_facts(coded, catalogue)
    # One after the other: together they would need half as much memory again.
    rows, engine = coded.rows, coded.engine
    sums = sums_of_rows(zones, efforts, has_sides=coded.has_sides)
    if only:
        sums = [each for each in sums if each.meta.output_name() in only]
    summed = coded.joint(BOUT).grouped(rows.select(*BOUT, *marks()), *sums)
    summed = summed.with_columns(week=monday(pl.col("date")))
    if only:
        frame = summed.collect(engine="streaming")
        return Bouts(frame, facts, zones, efforts, bands, rows, engine)
    frame = _with_moved(summed, facts, checkins).collect(engine="streaming")
    frame = with_looked_up_e1rm(frame, rows, engine)
    return Bouts(frame, facts, zones, efforts, bands, rows, engine)


def bouts_in_parts(sets: Any, **asked: Any) -> Iterator[Bouts]:
    """Sum the sets as `bouts_of` does, of some clients after others, so that little is there at once.

    Every table is a table per client; those of the parts, one after the other, are those of the
    whole.
    """
    for some in of_some_clients(sets):
        yield from bouts_of(some, **asked).parts()


def table_of(sets: Any, make: Callable[[Bouts], pl.DataFrame], **asked: Any) -> pl.DataFrame:
    """Return the table that `make` makes of bouts, of all clients."""
    return pl.concat([make(part) for part in bouts_in_parts(sets, **asked)])


def _with_moved(frame: pl.LazyFrame, facts: pl.DataFrame, checkins: Any) -> pl.LazyFrame:
    """Add `week`, `body_ug` and `moved_ug`: both hands, both sides, body mass."""
    moves = facts.select(
        "exercise",
        _hands=hand_count(),
        _per_side=pl.col("laterality").str.starts_with(PER_SIDE).fill_null(False),
        _share=pl.col("body_mass_share").fill_null(0.0),
    )
    bodily = moves.filter(pl.col("_share") > 0).select("exercise")
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
        _with_body_mass(frame, bodily, checkins)
        .join(moves.lazy(), on="exercise", how="left")
        .with_columns(
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


def _with_body_mass(frame: pl.LazyFrame, bodily: pl.DataFrame, checkins: Any) -> pl.LazyFrame:
    """Add `body_mass_kg` of the days on which a lift moves it."""
    if checkins is None or bodily.is_empty():
        return frame.with_columns(body_mass_kg=pl.lit(None, pl.Float64))
    sums = frame.collect(engine="streaming")
    masses = known_body_mass(
        sums.join(bodily, on="exercise", how="semi")
        .select("client", "date")
        .unique()
        .with_columns(pl.col("client").cast(pl.String)),
        checkins,
    ).with_columns(pl.col("client").cast(sums.schema["client"]))
    return sums.lazy().join(masses.lazy(), on=["client", "date"], how="left")
