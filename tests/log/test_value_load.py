"""Loads as people write them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plateline.log.value_load import read_load
from plateline.log.values import Unreadable


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("1e2", 100, None),
        ("100", 100, None), ("100kg", 100, "kg"), ("100 Kgs", 100, "kg"), ("225 lb", 225, "lb"),
        ("225lbs", 225, "lb"), ("#225", 225, "lb"), ("225#", 225, "lb"), ("102,5", 102.5, None),
        ("BW", 0, None), ("bodyweight", 0, None), ("Körpergewicht", 0, None), ("PDC", 0, None),
        ("corpo libero", 0, None), ("KG", 0, None), ("KG+5", 5, None), ("BW+10", 10, None),
        ("BW + 10 kg", 10, "kg"), ("10+BW", 10, None), ("BW-20", -20, None), ("+10", 10, None),
        ("-20", -20, None), ("assisted 20", -20, None), ("20 kg assist", -20, "kg"), ("2x30", 30, None),
        ("2 × 30 kg", 30, "kg"), ("24 each", 24, None), ("20 kg per hand", 20, "kg"),
        ("100 kg (220 lb)", 100, "kg"), ("kg 80", 80, "kg"), ("102½", 102.5, None), ("@60", 60, None),
        ("30kg/hand", 30, "kg"), ("22,5 kg/main", 22.5, "kg"), ("65 lb DBs", 65, "lb"), ("24 kg KB", 24, "kg"),
        ("12,5 (je Hand)", 12.5, None), ("30 per dumbbell", 30, None), ("lesté 10 kg", 10, "kg"),
        ("lastre 5", 5, None), ("zavorra 5kg", 5, "kg"), ("10 kg vest", 10, "kg"),
    ],
)  # fmt: skip
def test_loads(text: str, value: float, unit: str | None) -> None:
    load = read_load(text)
    assert (load.value, load.unit) == (value, unit)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("inf", "finite"), ("nan", "finite"), ("60-80", "range"), ("80%", "share"), ("bar", "bar"),
        ("green band", "band"), ("40 per side", "one side"), ("1.250", "1.25 or 1250"), ("heavy", "number"),
        ("100x5", "more than a load"), ("12 stone", "stone"), ("3 plates", "counts plates"), ("82,5*", "mark behind it"),
        ("100²", "mark behind it"), ("100 (1)", "mark behind it"), ("55s", "pair of 55s, or seconds"),
    ],
)  # fmt: skip
def test_refused_loads_say_why(text: str, words: str) -> None:
    with pytest.raises(Unreadable, match=words):
        read_load(text)


@given(
    st.floats(-200, 1000).map(lambda x: round(x * 4) / 4),
    st.sampled_from(["", "kg", " kg", "lb", " lbs"]),
)
def test_a_written_load_comes_back(value: float, unit: str) -> None:
    assert read_load(f"{value:g}{unit}").value == value
