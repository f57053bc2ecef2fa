"""Supersets by label and by order."""

from __future__ import annotations

import polars as pl
from hypothesis import given
from hypothesis import strategies as st

from plateline.load import supersets

from .rows import log, work


def ordered(names: str, reps: list[int] | None = None, **common) -> pl.DataFrame:
    """Make a session from letters, one set each, in this order."""
    reps = reps or [10] * len(names)
    rows = [
        work(f"lift {letter}", 20, count, set_order=place + 1)
        for place, (letter, count) in enumerate(zip(names, reps, strict=True))
    ]
    return log(*rows, **common)


def found(names: str) -> list[tuple[list[str], int]]:
    table = supersets(ordered(names))
    return [
        ([name.removeprefix("lift ") for name in lifts], rounds)
        for lifts, rounds in table.select("exercises", "rounds").rows()
    ]


def test_a_label_makes_a_superset_of_three_rounds():
    rows = [
        row
        for first, second in ((20, 18), (17, 15), (14, 12))
        for row in (
            work("Cable curl", 20, first, superset="S1"),
            work("Triceps pushdown", 25, second, superset="S1"),
        )
    ]
    row = supersets(log(*rows)).row(0, named=True)
    assert row["how"] == "label"
    assert row["exercises"] == ["Cable curl", "Triceps pushdown"]
    assert (row["rounds"], row["sets"]) == (3, 6)
    assert (row["reps_first_round"], row["reps_last_round"]) == (38, 26)
    assert row["reps_held"] == 26 / 38


def lettered(*labels: str, lifts: str = "ab") -> list[tuple[str, list[str]]]:
    rows = [
        work(f"lift {lifts[place % len(lifts)]}", 20, 10, superset=label)
        for place, label in enumerate(labels)
    ]
    return supersets(log(*rows)).select("superset", "exercises").rows()


def test_a_letter_and_a_number_name_the_lifts_of_one_superset():
    assert lettered("A1", "A2", "A1", "A2") == [("A", ["lift a", "lift b"])]
    assert lettered("b 1", "B-2") == [("B", ["lift a", "lift b"])]
    assert lettered("A1", "A2", "B1", "B2", lifts="abcd") == [
        ("A", ["lift a", "lift b"]), ("B", ["lift c", "lift d"]),
    ]  # fmt: skip


def test_a_number_that_is_the_round_s_or_another_pair_s_stays():
    assert lettered("A1", "A1", "A2", "A2") == [
        ("A1", ["lift a", "lift b"]), ("A2", ["lift a", "lift b"]),
    ]  # fmt: skip
    assert lettered("S1", "S1", "S2", "S2", lifts="abcd") == [
        ("S1", ["lift a", "lift b"]), ("S2", ["lift c", "lift d"]),
    ]  # fmt: skip
    assert lettered("A1", None, "A1") == []


def test_per_side_sets_make_rounds():
    # Three rounds; 10/9, 9/8 and 8/6 count by the weaker side, left and right rows are one set.
    curl = [work("Cable curl", 20, reps, superset="S") for reps in (15, 13, 12)]
    told = [
        work("Cable kickback", 10, reps, superset="S", side=side)
        for reps, side in ((9, "10/9"), (8, "9/8"), (6, "8/6"))
    ]
    row = supersets(log(*curl, *told)).row(0, named=True)
    assert (row["rounds"], row["sets"]) == (3, 6.0)
    assert (row["reps_first_round"], row["reps_last_round"]) == (15 + 9, 12 + 6)
    sides = [
        work("Cable kickback", 10, reps, superset="S", side=side)
        for reps in (9, 8, 6)
        for side in ("left", "right")
    ]
    row = supersets(log(*curl, *sides)).row(0, named=True)
    assert (row["rounds"], row["sets"]) == (3, 6.0)
    assert (row["reps_first_round"], row["reps_last_round"]) == (15 + 18, 12 + 12)


def test_a_label_on_one_lift_alone_is_no_superset():
    assert supersets(log(*[work("Cable curl", 20, 15, superset="S1")] * 3)).is_empty()


def test_alternating_order_is_a_superset():
    assert found("ABAB") == [(["A", "B"], 2)]
    assert found("ABABAB") == [(["A", "B"], 3)]
    assert found("ABCABC") == [(["A", "B", "C"], 2)]
    assert found("ABCDABCD") == [(["A", "B", "C", "D"], 2)]


def test_straight_sets_are_none():
    for names in ("AAABBB", "AABB", "ABC", "AB", "ABA", "A", "AABAAB"):
        assert found(names) == []


def test_sets_numbered_anew_for_every_lift_are_no_rounds():
    one_after_another = log(
        *(work(f"lift {letter}", 20, 10, set_order=n) for letter in "ABC" for n in (1, 2, 3))
    )
    assert supersets(one_after_another).is_empty()
    in_turn = log(
        *(work(f"lift {letter}", 20, 10, set_order=n) for n in (1, 2, 3) for letter in "AB")
    )
    assert supersets(in_turn)["rounds"].to_list() == [3]


def test_two_in_a_session_stay_two():
    assert found("ABABCDCD") == [(["A", "B"], 2), (["C", "D"], 2)]
    assert found("XXABABYY") == [(["A", "B"], 2)]


def test_reps_are_compared_among_lifts_that_were_in_every_round():
    row = supersets(ordered("ABABA", [10, 20, 8, 18, 6])).row(0, named=True)
    assert row["rounds"] == 3
    assert (row["reps_first_round"], row["reps_last_round"]) == (10, 6)


def test_warm_ups_take_no_part():
    rows = [
        work("lift A", 10, 10, set_order=1),
        work("lift B", 10, 10, set_order=2, set_kind="warm-up"),
        work("lift A", 10, 10, set_order=3),
        work("lift B", 10, 10, set_order=4),
    ]
    assert supersets(log(*rows)).is_empty()


@given(st.text("ABC", max_size=14))
def test_sets_of_a_superset_are_sets_of_the_session(names):
    table = supersets(ordered(names))
    assert table["sets"].sum() <= len(names)
    for lifts, rounds, sets in table.select("exercises", "rounds", "sets").rows():
        assert 2 <= len(lifts) <= 4
        assert rounds >= 2
        assert sets <= rounds * len(lifts)
