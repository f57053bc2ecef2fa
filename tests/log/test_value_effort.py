"""Effort, rest and feel as people write them."""

from __future__ import annotations

import pytest

from plateline.log.value_effort import other_scale, read_effort, read_feel, read_rest_s
from plateline.log.values import Unreadable


@pytest.mark.parametrize(
    ("text", "scale", "rir"),
    [
        ("2", "rir", 2), ("2 RIR", "rpe", 2), ("1-2", "rir", 1.5), ("4+", "rir", 4), ("F", "rir", 0),
        ("8", "rpe", 2), ("@8", "rpe", 2), ("RPE 8,5", "rpe", 1.5), ("8-9", "rpe", 1.5), ("8/10", "rpe", 2),
        ("10", "rpe", 0), ("9.5", "rpe", 0.5), ("", "rpe", None), ("n/a", "rir", None),
    ],
)  # fmt: skip
def test_effort_becomes_reps_in_reserve(text: str, scale: str, rir: float | None) -> None:
    # Zourdos et al. 2016, J Strength Cond Res 30:267-275: RPE 10 is 0, 9 is 1, 8 is 2, 7 is 3 reps.
    assert read_effort(text, scale) == rir  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("text", "scale"), [("11", "rpe"), ("-1", "rir"), ("hard", "rpe"), ("inf", "rir")]
)
def test_refused_effort(text: str, scale: str) -> None:
    with pytest.raises(Unreadable):
        read_effort(text, scale)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("text", "seconds"),
    [("90", 90), ("90 s", 90), ("1:30", 90), ("2 min", 120), ("2'", 120), ("1m30s", 90), ("00:01:30", 90), ("1,5 min", 90)],
)  # fmt: skip
def test_rest(text: str, seconds: float) -> None:
    assert read_rest_s(text) == seconds


def test_feel() -> None:
    assert read_feel("4/5") == 4
    assert read_feel("★★★☆☆") == 3
    with pytest.raises(Unreadable):
        read_feel("9")


@pytest.mark.parametrize(
    ("header", "cells", "is_other"),
    [
        ("RPE", ["8", "9"], False), ("RPE (1-10)", ["8"], False), ("RPE (6-20)", ["10"], True), ("Borg", ["9"], True),
        ("Effort (1-5)", ["4"], True), ("Effort %", ["80"], True), ("RPE", ["13", "15", "9"], True),
        ("RPE", ["8", "8", "8", "8", "8", "85"], False), ("RPE", ["8", "123", "7", "123"], False),
    ],
)  # fmt: skip
def test_scales_that_tell_no_reserve(header: str, cells: list[str], is_other: bool) -> None:
    assert (other_scale(header, cells) is not None) == is_other
