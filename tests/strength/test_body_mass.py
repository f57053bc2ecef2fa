"""The body mass of a day, between weighings and beyond them."""

from __future__ import annotations

from datetime import date, timedelta

import polars as pl
import pytest

from plateline.strength.body_mass import body_mass_by_day

START = date(2026, 1, 5)


def on(*numbers: int) -> pl.DataFrame:
    return pl.DataFrame({"client": "ann", "date": [START + timedelta(days=n) for n in numbers]})


WEIGHED = on(0, 100).with_columns(body_mass_kg=pl.Series([80.0, 70.0]))


@pytest.mark.parametrize(
    ("number", "carried", "near"),
    [(-29, 80.0, None), (-28, 80.0, 80.0), (10, 79.0, 79.0), (50, 75.0, None), (101, 70.0, 70.0)],
)
def test_on_the_line_between_two_weighings(number, carried, near):
    assert body_mass_by_day(on(number), WEIGHED)["body_mass_kg"].to_list() == [carried]
    limited = body_mass_by_day(on(number), WEIGHED, within_days=28)
    assert limited["body_mass_kg"].to_list() == [near]


def test_weighings_of_a_day_are_averaged_and_zero_is_none():
    weighed = on(0, 0, 0).with_columns(body_mass_kg=pl.Series([80.0, 81.0, 0.0]))
    assert body_mass_by_day(on(0, 0), weighed)["body_mass_kg"].to_list() == [80.5]


def test_nobody_elses_mass_is_taken():
    other = on(0).with_columns(client=pl.lit("bo"))
    found = body_mass_by_day(pl.concat([on(0), other]), WEIGHED)
    assert found["body_mass_kg"].to_list() == [80.0, None]
    assert body_mass_by_day(on(0), WEIGHED.clear())["body_mass_kg"].to_list() == [None]
