"""The words: schemas are the contracts, and `conform` enforces them."""

from __future__ import annotations

import polars as pl
import pytest

from plateline import words

CONTRACT_STATUS = [
    "client",
    "exercise",
    "state",
    "p_progressing",
    "p_plateau",
    "p_declining",
    "slope_pct_week",
    "slope_low",
    "slope_high",
    "since",
    "e1rm_kg",
    "e1rm_low",
    "e1rm_high",
    "sessions",
    "last_date",
]
CONTRACT_SETS = [
    "client",
    "date",
    "session",
    "exercise",
    "set_order",
    "set_kind",
    "superset",
    "load_kg",
    "reps",
    "rir",
    "side",
    "rest_s",
    "feel",
    "note",
    "source_file",
    "source_line",
    "flag",
]


def test_contract_columns_stand_in_the_contract_order():
    assert list(words.LIFT_STATUS) == CONTRACT_STATUS
    assert list(words.SETS) == CONTRACT_SETS
    assert list(words.TARGETS) == [
        "client",
        "exercise",
        "reps",
        "rir",
        "load_kg",
        "load_low",
        "load_high",
    ]


def test_the_detail_begins_with_the_contract():
    assert list(words.LIFT_STATUS_DETAIL)[: len(CONTRACT_STATUS)] == CONTRACT_STATUS


def test_conform_orders_casts_and_drops():
    frame = pl.DataFrame({"extra": [1], "load_low": [1], "load_high": [3], "load_kg": [2],
                          "rir": [2], "reps": [8], "exercise": ["a"], "client": ["007"]})  # fmt: skip
    got = words.conform(frame, words.TARGETS)
    assert got.schema == pl.Schema(words.TARGETS)
    assert got.row(0) == ("007", "a", 8, 2.0, 2.0, 1.0, 3.0)


def test_conform_refuses_a_frame_that_lacks_a_column():
    with pytest.raises(pl.exceptions.ColumnNotFoundError):
        words.conform(pl.DataFrame({"client": ["a"]}), words.TARGETS)


def test_set_kinds_are_closed():
    with pytest.raises(pl.exceptions.PolarsError):
        pl.Series(["heavy"]).cast(words.SET_KIND_TYPE)


def test_the_words_are_those_of_their_modules_and_no_others():
    modules = (words.brought, words.found, words.schema, words.terms)
    assert sorted(words.__all__) == sorted(name for module in modules for name in module.__all__)
