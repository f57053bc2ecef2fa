"""Several columns as one whole number: what is grouped and sorted by costs a fraction then."""

from __future__ import annotations

from dataclasses import dataclass

import polars as pl

__all__ = ["Joint", "Place", "joint_of"]

LARGEST = 2**63
"""Beyond this many combinations the columns stay apart."""


@dataclass(frozen=True)
class Place:
    """Where the values of one column begin, how many there are, and of what type they are.

    Nulls, where there are any, come after the last value.
    """

    name: str
    low: int
    size: int
    dtype: pl.DataType
    has_nulls: bool = True

    @property
    def width(self) -> int:
        """How many numbers the column takes."""
        return self.size + self.has_nulls

    @classmethod
    def of_words(cls, name: str, dtype: pl.Enum, has_nulls: bool) -> Place:
        """Place an Enum."""
        return cls(name, 0, dtype.categories.len(), dtype, has_nulls)

    @classmethod
    def of_days(cls, name: str, first: object, last: object, has_nulls: bool) -> Place:
        """Place the days between two (as numbers; None where all are null)."""
        if not isinstance(first, int) or not isinstance(last, int):
            return cls(name, 0, 0, pl.Date())
        return cls(name, first, last - first + 1, pl.Date(), has_nulls)


@dataclass(frozen=True)
class Joint:
    """A whole number for every combination of values; in order as the columns are, nulls last."""

    places: tuple[Place, ...]

    @property
    def names(self) -> list[str]:
        """The columns."""
        return [place.name for place in self.places]

    @property
    def fits(self) -> bool:
        """Whether every combination has a number."""
        combinations = 1
        for place in self.places:
            combinations *= place.width
        return combinations < LARGEST

    def number(self) -> pl.Expr:
        """Return the number of a row's combination."""
        number: pl.Expr | None = None
        for place in self.places:
            own = pl.col(place.name).to_physical().cast(pl.Int64)
            own = own - place.low if place.low else own
            own = own.fill_null(place.size) if place.has_nulls else own
            number = own if number is None else number * place.width + own
        return (pl.lit(0) if number is None else number).alias(_KEY)

    def columns(self) -> list[pl.Expr]:
        """Return the columns again, of a number."""
        found: list[pl.Expr] = []
        stride = 1
        for place in reversed(self.places):
            own = (pl.col(_KEY) // stride) % place.width
            known = pl.when(own < place.size).then(own) if place.has_nulls else own
            if isinstance(place.dtype, pl.Enum):
                value = known.cat.to(place.dtype)
            else:
                value = (known + place.low).cast(pl.Int32).cast(place.dtype)
            found.append(value.alias(place.name))
            stride *= place.width
        return found[::-1]

    def grouped(self, frame: pl.LazyFrame, *sums: pl.Expr) -> pl.LazyFrame:
        """Group `frame` by the columns; the groups are in no certain order."""
        if not self.fits:
            return frame.group_by(self.names).agg(*sums)
        groups = frame.with_columns(self.number()).group_by(_KEY).agg(*sums)
        return groups.select(*self.columns(), pl.exclude(_KEY))

    def summed(self, frame: pl.LazyFrame, *sums: pl.Expr, **named: pl.Expr) -> pl.LazyFrame:
        """Group `frame` by the columns; the groups are sorted."""
        if not self.fits:
            groups = frame.group_by(self.names).agg(*sums, **named)
            return groups.sort(self.names, nulls_last=True)
        groups = frame.with_columns(self.number()).group_by(_KEY).agg(*sums, **named)
        return groups.sort(_KEY).select(*self.columns(), pl.exclude(_KEY))

    def sort(self, frame: pl.DataFrame) -> pl.DataFrame:
        """Sort by the columns, nulls last; equal rows in no certain order."""
        if not self.fits:
            return frame.sort(self.names, nulls_last=True)
        return frame[frame.select(self.number()).to_series().arg_sort()]


_KEY = "_joint"


def joint_of(frame: pl.DataFrame, names: list[str]) -> Joint:
    """Return the joint of columns that are Enums or days."""
    places: list[Place] = []
    for name in names:
        column, has_nulls = frame[name], frame[name].has_nulls()
        if isinstance(column.dtype, pl.Enum):
            places.append(Place.of_words(name, column.dtype, has_nulls))
        else:
            days = column.to_physical()
            places.append(Place.of_days(name, days.min(), days.max(), has_nulls))
    return Joint(tuple(places))
