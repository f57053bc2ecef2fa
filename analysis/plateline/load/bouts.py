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
from plateline.load.joint import Joint, Place, joint_of
from plateline.load.landed import landed_sets
from plateline.load.weeks import monday, partial_weeks
from plateline.load.zones import EFFORT_BANDS, LOAD_BANDS, REP_RANGES, Band, RepZone
from plateline.strength import hand_count

__all__ = ["KEYS", "LANDED", "LIFT_WEEK", "Bouts", "bouts_of", "sums_of"]

PART_ROWS = 500_000
"""Rows of bouts that are worked on at once, give or take a client."""

KEYS = ["client", "date", "session", "exercise"]
LIFT_WEEK = ["client", "week", "exercise"]
SUMMED = ["set_kind", "load_kg", "reps", "rir", "side", "flag"]
"""The columns of the sets that tables of load are made of."""

LANDED = ("sets", "hard_sets", "reps", "volume_ug")
"""The sums of which it is told where work lands."""

PER_SIDE = "unilateral"
"""How `laterality` begins for lifts whose logged reps are those of each side."""


@dataclass(frozen=True)
class Bouts:
    """Sets summed per lift and session.

    Attributes
    ----------
    frame
        Sorted by its keys `client, date, session, exercise` (the names as Enums in alphabetical
        order), and `week`; sums (kilograms in whole micrograms, named `*_ug`; `total_sum_ug` adds body mass
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
        client, date = pl.col("client"), pl.col("date")
        is_new = client.ne_missing(client.shift()) | date.ne_missing(date.shift())
        return partial_weeks(self.frame.select("client", "date").filter(is_new))

    @cached_property
    def lift_weeks(self) -> pl.DataFrame:
        """The sums of `sums_of` per lift and week, and `hard_days`, a bit per day of the week.

        Sorted by `LIFT_WEEK`, with `is_partial` of the week.
        """
        day = pl.lit(1, pl.Int8).cast(pl.UInt8) * (
            pl.lit(2, pl.UInt8).pow(pl.col("date").dt.weekday() - 1).cast(pl.UInt8)
        )
        bands = [f"z{i}" for i in range(len(self.zones))]
        bands += [f"e{i}" for i in range(len(self.efforts))]
        return (
            joint_of(self.frame, LIFT_WEEK)
            .summed(
                self.frame.lazy().with_columns(
                    _day=pl.when(pl.col("hard_sets") > 0).then(day).otherwise(0)
                ),
                *self._sums_of_weeks(),
                *(pl.col(band).sum() for band in bands),
                pl.col("_day").bitwise_or().alias("hard_days"),
            )
            .collect()
            .join(self.weeks, on=["client", "week"], how="left", maintain_order="left")
        )

    def _sums_of_weeks(self) -> list[pl.Expr]:
        if "e1rm_kg" in self.frame.columns:
            return sums_of(LIFT_WEEK)
        return [pl.col(*LANDED[:2], LANDED[3]).sum(), pl.col("reps").cast(pl.Int64).sum()]

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
        The sums that are wanted, where not all are: of `LANDED`.
    """
    rows = lazy_sets(sets).select(*KEYS, *SUMMED)
    engine = engine_for(sets)
    names = ["client", "session", "exercise"]
    is_lazy = isinstance(sets, pl.LazyFrame)
    # Neighbouring rows mostly have the same names: of a frame that is there, only changes count.
    once = [pl.col(n) if is_lazy else pl.col(n).rle().struct.field("value") for n in names]
    found = rows.select(
        *(
            each.unique().drop_nulls().sort().implode().alias(n)
            for n, each in zip(names, once, strict=True)
        ),
        first=pl.col("date").to_physical().min(),
        last=pl.col("date").to_physical().max(),
        has_sides=pl.col("side").count() > 0,
        gaps=pl.concat_list(pl.col(key).null_count() > 0 for key in KEYS),
    ).collect(engine=engine if is_lazy else "in-memory")
    kinds = {name: pl.Enum(found[name].item()) for name in names}
    facts = lift_facts(found["exercise"].item(), catalogue).with_columns(
        pl.col("exercise").cast(kinds["exercise"])
    )
    rows = rows.with_columns(pl.col(name).cast(kind) for name, kind in kinds.items())
    if not is_lazy:
        rows = rows.collect(engine="in-memory").lazy()
    gaps = dict(zip(KEYS, found["gaps"].item(), strict=True))
    first, last = found["first"].item(), found["last"].item()
    places = {name: Place.of_words(name, kind, gaps[name]) for name, kind in kinds.items()}
    places["date"] = Place.of_days("date", first, last, gaps["date"])
    joint = Joint(tuple(places[key] for key in KEYS))
    # One after the other: together they would need half as much memory again.
    sums = _sums(zones, efforts, has_sides=found["has_sides"].item())
    if only:
        sums = [each for each in sums if each.meta.output_name() in only]
    frame = joint.summed(rows.select(*KEYS, *_marks()), *sums).collect(engine="streaming")
    frame = frame.with_columns(week=monday(pl.col("date")))
    if not only:
        frame = _with_moved(frame, facts, checkins)
        frame = with_looked_up_e1rm(frame, rows, engine)
    return Bouts(frame, facts, zones, efforts, bands, rows, engine)


def _marks() -> list[pl.Expr]:
    """Return what the sums need of each row."""
    return [
        pl.col("rir"),
        exact_kg(pl.col("load_kg")).alias("_ug"),
        pl.col("reps").cast(pl.Int64).alias("_reps"),
        counted().alias("_sets"),
        (~is_warm_up()).alias("_work"),
        is_hard().alias("_hard"),
        is_one_sided().alias("_one"),
        says_each_side().alias("_each"),
        logged_e1rm().alias("_e1rm"),
    ]


def _sums(
    zones: tuple[RepZone, ...], efforts: tuple[Band, ...], *, has_sides: bool
) -> list[pl.Expr]:
    """Return the sums of rows per lift and session; without sides, some need no summing."""
    kg, reps, work = pl.col("_ug"), pl.col("_reps"), pl.col("_work")
    one, each = pl.col("_one"), pl.col("_each")
    lifted = kg.clip(lower_bound=0) * reps
    sets = pl.col("_sets")
    rir = pl.when(work).then(pl.col("rir"))
    halves = pl.when(one).then(1).otherwise(2) if has_sides else pl.lit(2)
    nothing, no_reps = pl.lit(0, pl.Int64), pl.lit(0, pl.UInt32)
    return [
        pl.len().cast(pl.UInt32).alias("rows"),
        (sets.sum() if has_sides else pl.len().cast(pl.Float64)).alias("sets"),
        (
            pl.when(work).then(sets).otherwise(0.0).sum()
            if has_sides
            else work.sum().cast(pl.Float64)
        ).alias("working_sets"),
        (
            pl.when(pl.col("_hard")).then(sets).otherwise(0.0).sum()
            if has_sides
            else pl.col("_hard").sum().cast(pl.Float64)
        ).alias("hard_sets"),
        reps.sum().cast(pl.UInt32).alias("reps"),
        (kg.is_not_null() & reps.is_not_null()).any().alias("known"),
        lifted.sum().alias("volume_ug"),
        pl.when(work).then(lifted).sum().alias("working_volume_ug"),
        (kg * reps).sum().alias("external_ug"),
        (pl.when(one).then(kg * reps).sum() if has_sides else nothing).alias("external_one_ug"),
        (pl.when(each).then(kg * reps).sum() if has_sides else nothing).alias("external_each_ug"),
        (pl.when(one).then(reps).sum().cast(pl.UInt32) if has_sides else no_reps).alias("reps_one"),
        (pl.when(each).then(reps).sum().cast(pl.UInt32) if has_sides else no_reps).alias(
            "reps_each"
        ),
        pl.when(work).then(kg).max().alias("top_ug"),
        pl.when(work).then(kg).sum().alias("load_sum_ug"),
        work.sum().cast(pl.UInt32).alias("working_rows"),
        pl.col("_e1rm").max().alias("e1rm_kg"),
        rir.sum().alias("rir_sum"),
        rir.count().cast(pl.UInt32).alias("rir_rows"),
        *(
            pl.when(work & zone.holds(reps)).then(halves).sum().cast(pl.UInt32).alias(f"z{i}")
            for i, zone in enumerate(zones)
        ),
        *(
            pl.when(work & band.holds(pl.col("rir")))
            .then(halves)
            .sum()
            .cast(pl.UInt32)
            .alias(f"e{i}")
            for i, band in enumerate(efforts)
        ),
    ]


def sums_of(keys: list[str]) -> list[pl.Expr]:
    """Return the sums of bouts by `keys`."""
    return [
        pl.col("rows", "reps", "working_rows", "rir_rows").cast(pl.Int64).sum(),
        pl.col("sets", "working_sets", "hard_sets", "rir_sum").sum(),
        pl.col("known").any(),
        pl.col("volume_ug", "working_volume_ug").sum(),
        # Of a sum with something unknown in it nothing is known.
        *(
            pl.when(pl.col(name).null_count() == 0).then(pl.col(name).sum()).alias(name)
            for name in ("moved_ug", "total_sum_ug")
        ),
        pl.col("top_ug").max(),
        pl.col("e1rm_kg").max().alias("best_e1rm_kg"),
        (pl.struct("date", "session").n_unique() if "exercise" not in keys else pl.len())
        .cast(pl.Int64)
        .alias("sessions"),
    ]


def _with_moved(frame: pl.DataFrame, facts: pl.DataFrame, checkins: Any) -> pl.DataFrame:
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
        .join(moves, on="exercise", how="left", maintain_order="left")
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


def _with_body_mass(frame: pl.DataFrame, bodily: pl.DataFrame, checkins: Any) -> pl.DataFrame:
    """Add `body_mass_kg` of the days on which a lift moves it."""
    unknown = frame.with_columns(body_mass_kg=pl.lit(None, pl.Float64))
    if checkins is None or bodily.is_empty():
        return unknown
    masses = known_body_mass(
        frame.join(bodily, on="exercise", how="semi")
        .select("client", "date")
        .unique()
        .with_columns(pl.col("client").cast(pl.String)),
        checkins,
    ).with_columns(pl.col("client").cast(frame.schema["client"]))
    return frame.join(masses, on=["client", "date"], how="left", maintain_order="left")
