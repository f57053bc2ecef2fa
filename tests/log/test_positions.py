"""Sets without a set order are numbered within their client, day and exercise."""

from __future__ import annotations

import datetime as dt
import random

import polars as pl
import pytest

from plateline.log.intake import _positions


@pytest.mark.parametrize("in_turn", [False, True])
def test_numbers_are_those_of_a_window(in_turn: bool) -> None:
    chance = random.Random(in_turn)
    rows = [
        (client, dt.date(2026, 3, day), lift)
        for client in ("anna", "ben")
        for day in (1, 2, 4)
        for lift in (
            chance.choices(["Squat", "Row", "Curl"], k=9)
            if in_turn
            else ["Squat"] * 3 + ["Row"] * chance.randrange(1, 4)
        )
    ]
    sets = pl.DataFrame(rows, schema=["client", "date", "exercise"], orient="row")
    window = pl.int_range(1, pl.len() + 1, dtype=pl.Int32).over("client", "date", "exercise")
    assert _positions(sets).to_list() == sets.select(window).to_series().to_list()
    assert _positions(sets.clear()).is_empty()
