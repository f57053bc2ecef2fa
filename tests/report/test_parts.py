"""A log divided into parts: by clients, and by how much they logged."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from plateline.places import data_demo
from plateline.report.parts import MOST_SETS, open_source, part_sizes


def test_a_part_ends_when_it_has_its_clients() -> None:
    assert list(part_sizes(list("abcde"), 2)) == [["a", "b"], ["c", "d"], ["e"]]
    assert list(part_sizes([], 2)) == []


def test_a_client_who_logged_much_fills_a_part_alone() -> None:
    sets = {"a": 10, "b": 2 * MOST_SETS, "c": 10, "d": MOST_SETS - 20, "e": 11}
    assert list(part_sizes(list(sets), 9, sets)) == [["a"], ["b"], ["c", "d"], ["e"]]


@given(st.lists(st.integers(0, MOST_SETS * 2), max_size=20), st.integers(1, 5))
def test_everybody_is_in_one_part_and_no_part_is_too_large(counts: list[int], size: int) -> None:
    sets = {str(number): count for number, count in enumerate(counts)}
    parts = list(part_sizes(list(sets), size, sets))
    assert [client for part in parts for client in part] == list(sets)
    for part in parts:
        assert 0 < len(part) <= size
        assert len(part) == 1 or sum(sets[client] for client in part) <= MOST_SETS


def test_the_sets_of_each_client_are_counted() -> None:
    source = open_source([data_demo()], {})
    assert sum(source.sets.values()) == source.account([])["sets"]
