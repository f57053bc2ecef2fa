"""Heavy and lighter sets told apart where a log does not say which is which."""

from __future__ import annotations

import datetime as dt

import polars as pl

from plateline.report.kinds import with_kinds
from plateline.words import SET_KIND_TYPE

Set = tuple[float, int]


def kinds(*sessions: list[Set], kind: str = "working") -> list[list[str]]:
    """Return what the sets of each session are taken for."""
    rows = [
        ("ann", "Squat", dt.date(2026, 3, 2 + n), None, kind, load, reps)
        for n, session in enumerate(sessions)
        for load, reps in session
    ]
    schema = {
        "client": pl.String, "exercise": pl.String, "date": pl.Date, "session": pl.String,
        "set_kind": SET_KIND_TYPE, "load_kg": pl.Float64, "reps": pl.Int32,
    }  # fmt: skip
    found = with_kinds(pl.DataFrame(rows, schema=schema, orient="row"))
    return [list(part["set_kind"]) for part in found.partition_by("date")]


def test_a_heavy_and_a_lighter_longer_set_are_a_top_and_a_back_off_set() -> None:
    session = [(100.0, 8), (80.0, 17)]
    assert kinds(session, session) == [["top", "back-off"]] * 2


def test_straight_sets_whose_reps_fall_stay_working_sets() -> None:
    session = [(100.0, 10), (100.0, 9), (100.0, 7)]
    assert kinds(session, session) == [["working"] * 3] * 2
    ramp = [(80.0, 8), (90.0, 8), (100.0, 8)]
    assert kinds(ramp, ramp) == [["working"] * 3] * 2


def test_once_is_not_usual() -> None:
    straight = [(100.0, 8), (100.0, 8)]
    assert kinds(straight, straight, straight, [(100.0, 8), (70.0, 20)])[-1] == ["working"] * 2


def test_what_the_log_says_stands() -> None:
    session = [(100.0, 8), (80.0, 17)]
    assert kinds(session, kind="drop") == [["drop", "drop"]]
    assert kinds([(0.0, 8), (0.0, 20)]) == [["working", "working"]]
