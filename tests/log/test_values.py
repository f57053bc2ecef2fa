"""Loads, reps, effort, rest and feel, one cell at a time."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plateline.log.value_effort import read_feel, read_rest_s
from plateline.log.value_load import read_load
from plateline.log.value_reps import read_reps
from plateline.log.values import Unreadable
from plateline.words import KG_PER_LB


def test_a_pound_is_the_international_one() -> None:
    # International yard and pound agreement of 1959: 1 lb = 0.45359237 kg exactly.
    assert KG_PER_LB == 0.45359237
    assert read_load("225 lb").kg("kg") == pytest.approx(102.05828325, abs=1e-8)


@given(st.text(max_size=40))
def test_any_cell_is_read_or_refused(text: str) -> None:
    for reader in (read_load, read_reps, read_rest_s, read_feel):
        try:
            reader(text)
        except Unreadable as fault:
            assert fault.reason.endswith((".", ")"))  # noqa: PT017
