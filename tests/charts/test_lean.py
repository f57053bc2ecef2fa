"""Frames as lean chart data."""

from __future__ import annotations

import datetime as dt

import polars as pl

from plateline.charts.lean import lean_rows, load_words, set_words, unit_factor


def test_rows_are_short_rounded_and_without_nulls() -> None:
    frame = pl.DataFrame(
        {"date": [dt.date(2026, 3, 1)], "load_kg": [123.456789], "rir": [None], "reps": [8]}
    )
    rows = lean_rows(frame, {"d": "date", "v": "load_kg", "i": "rir", "r": "reps"})
    assert rows == [{"d": "2026-03-01T00:00", "v": 123.5, "r": 8}]


def test_loads_read_as_people_write_them() -> None:
    frame = pl.DataFrame({"load_kg": [82.5, 100.0, 0.0, -20.0]})
    assert frame.select(load_words("load_kg", "kg")).to_series().to_list() == [
        "82.5 kg", "100 kg", "body mass", "20 kg of help",
    ]  # fmt: skip


def test_pounds_come_back_as_typed() -> None:
    """225 lb are 102.05828325 kg by definition (0.45359237 kg a pound)."""
    frame = pl.DataFrame({"load_kg": [102.05828325]})
    assert frame.select(load_words("load_kg", "lb")).item() == "225 lb"
    assert unit_factor("kg") == 1.0


def test_sets_tell_reserve_where_it_was_logged() -> None:
    frame = pl.DataFrame({"load_kg": [60.0, 60.0], "reps": [10, 10], "rir": [1.5, None]})
    assert frame.select(set_words("kg")).to_series().to_list() == [
        "60 kg × 10, 1.5 in reserve", "60 kg × 10",
    ]  # fmt: skip
