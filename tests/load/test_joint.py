"""Several columns as one number: groups and order are those of the columns."""

from __future__ import annotations

import datetime as dt
import random

import polars as pl
import pytest

from plateline.load.joint import Joint, Place, joint_of

NAMES = ["who", "day", "what"]


def rows(seed: int, gaps: tuple[None, ...]) -> pl.DataFrame:
    chance = random.Random(seed)
    days = [dt.date(1969, 12, 30) + dt.timedelta(days=n) for n in range(9)]
    return pl.DataFrame(
        {
            "who": [chance.choice(["b", "a", "c", *gaps]) for _ in range(200)],
            "day": [chance.choice([*days, *gaps]) for _ in range(200)],
            "what": [chance.choice(["y", "x", *gaps]) for _ in range(200)],
            "worth": [chance.randrange(10) for _ in range(200)],
        },
        schema={
            "who": pl.Enum(["a", "b", "c"]),
            "day": pl.Date,
            "what": pl.Enum(["x", "y"]),
            "worth": pl.Int64,
        },
    )


@pytest.mark.parametrize("gaps", [(), (None,)])
@pytest.mark.parametrize("seed", range(3))
def test_groups_are_those_of_the_columns(seed: int, gaps: tuple[None, ...]) -> None:
    frame = rows(seed, gaps)
    grouped = joint_of(frame, NAMES).summed(frame.lazy(), pl.col("worth").sum()).collect()
    plain = frame.group_by(NAMES).agg(pl.col("worth").sum()).sort(NAMES, nulls_last=True)
    assert grouped.equals(plain)
    assert grouped.schema == plain.schema


@pytest.mark.parametrize("gaps", [(), (None,)])
def test_order_is_that_of_the_columns(gaps: tuple[None, ...]) -> None:
    frame = rows(7, gaps)
    ordered = joint_of(frame, NAMES).sort(frame)
    assert ordered.select(NAMES).equals(frame.select(NAMES).sort(NAMES, nulls_last=True))


def test_more_combinations_than_numbers_are_grouped_by_the_columns_themselves() -> None:
    frame = rows(1, (None,))
    wide = Joint(
        tuple(
            Place(name, place.low, 2**40, place.dtype)
            for name, place in zip(NAMES, joint_of(frame, NAMES).places, strict=True)
        )
    )
    assert not wide.fits
    worth = pl.col("worth").sum()
    narrow = joint_of(frame, NAMES)
    assert (
        wide.summed(frame.lazy(), worth)
        .collect()
        .equals(narrow.summed(frame.lazy(), worth).collect())
    )
    assert wide.sort(frame).select(NAMES).equals(narrow.sort(frame).select(NAMES))


def test_a_frame_without_rows_has_no_groups() -> None:
    frame = rows(1, ()).clear()
    grouped = joint_of(frame, NAMES).summed(frame.lazy(), pl.col("worth").sum()).collect()
    assert grouped.is_empty()
    assert grouped.schema == frame.schema
