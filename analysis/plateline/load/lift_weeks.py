"""Sets summed per lift and week: all that is needed to tell where work lands."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import polars as pl

from plateline.load.coded import Coded, coded_sets
from plateline.load.counting import counted, exact_kg, is_hard
from plateline.load.facts import lift_facts
from plateline.load.joint import Joint, Place
from plateline.load.landed import landed_sets
from plateline.load.slices import of_some_clients, whole_clients
from plateline.load.weeks import monday, partial_weeks

__all__ = ["LiftWeeks", "coded_facts", "day_bit", "week_table_of"]

PART_ROWS = 250_000
"""Rows of lifts and weeks that are worked on at once, give or take a client."""


@dataclass(frozen=True)
class LiftWeeks:
    """Sets summed per lift and week.

    Attributes
    ----------
    table
        Keys `LIFT_WEEK`, by which it is sorted; `sets`, `hard_sets`, `reps`, `volume_ug` (whole
        micrograms), `hard_days` (a bit per day of the week) and `is_partial`.
    weeks
        Every client's weeks and whether they are partial.
    facts
        The catalogue's attributes of each label.
    """

    table: pl.DataFrame
    weeks: pl.DataFrame
    facts: pl.DataFrame

    def parts(self) -> list[LiftWeeks]:
        """Split into parts of whole clients, one after the other."""
        if self.table.height <= PART_ROWS:
            return [self]
        return [
            LiftWeeks(
                self.table.join(some, on="client", how="semi", maintain_order="left"),
                self.weeks.join(some, on="client", how="semi", maintain_order="left"),
                self.facts,
            )
            for some in whole_clients(self.table, PART_ROWS)
        ]

    @cached_property
    def landed(self) -> pl.DataFrame:
        """Sets per client, week, muscle and position (`landed_sets`)."""
        return landed_sets(self.table, self.facts)

    @property
    def has_landed(self) -> bool:
        """Whether `landed` has been made, so that other sums can be made of it."""
        return "landed" in vars(self)


def week_table_of(
    sets: Any, make: Callable[[LiftWeeks], pl.DataFrame], catalogue: Any = None
) -> pl.DataFrame:
    """Return a table of all clients, made some clients at a time.

    Parameters
    ----------
    sets
        SETS frame.
    make
        Makes the table of lifts and weeks.
    catalogue
        CATALOGUE frame; the one that ships where none is given.
    """
    return pl.concat(
        [
            make(part)
            for some in of_some_clients(sets)
            for part in _lift_weeks_of(some, catalogue).parts()
        ]
    )


def _lift_weeks_of(sets: Any, catalogue: Any = None) -> LiftWeeks:
    """Sum the sets of every lift and week; a lazy frame is collected by the streaming engine."""
    coded = coded_sets(sets, ["client", "exercise"], ["set_kind", "load_kg", "reps", "rir", "side"])
    rows = coded.rows
    days = coded.joint(["client", "date"]).grouped(rows.select("client", "date"))
    weeks = partial_weeks(days.collect(engine="streaming"))
    lifted = pl.col("_ug").clip(lower_bound=0) * pl.col("reps")
    table = (
        _of_weeks(coded)
        .summed(
            rows.select(
                "client",
                "exercise",
                pl.col("reps").cast(pl.Int64),
                week=monday(pl.col("date")),
                _ug=exact_kg(pl.col("load_kg")),
                _sets=counted(),
                _hard=is_hard(),
                _day=day_bit(is_hard()),
            ),
            sets=pl.col("_sets").sum(),
            hard_sets=pl.when("_hard").then("_sets").otherwise(0.0).sum(),
            reps=pl.col("reps").sum(),
            volume_ug=lifted.sum(),
            hard_days=pl.col("_day").bitwise_or(),
        )
        .collect(engine="streaming")
    )
    return LiftWeeks(
        table.join(weeks, on=["client", "week"], how="left", maintain_order="left"),
        weeks,
        coded_facts(coded, catalogue),
    )


def coded_facts(coded: Coded, catalogue: Any) -> pl.DataFrame:
    """Return what the catalogue says of the lifts, these as they are coded."""
    kind = coded.places["exercise"].dtype
    return lift_facts(coded.exercises, catalogue).with_columns(pl.col("exercise").cast(kind))


def day_bit(counts: pl.Expr) -> pl.Expr:
    """Return a bit for the day of the week, none where a row does not count."""
    bit = pl.lit(2, pl.UInt8).pow(pl.col("date").dt.weekday() - 1).cast(pl.UInt8)
    return pl.when(counts).then(bit).otherwise(pl.lit(0, pl.UInt8))


def _of_weeks(coded: Coded) -> Joint:
    """Return client, week and exercise as one number; weeks begin up to six days before days."""
    client, date, exercise = (coded.places[name] for name in ("client", "date", "exercise"))
    week = Place("week", date.low - 6, date.size + 6, date.dtype, date.has_nulls)
    return Joint((client, week, exercise))
