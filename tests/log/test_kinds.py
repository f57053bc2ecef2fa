"""Words for set kinds and for done, in lines and cells."""

from __future__ import annotations

import pytest

from plateline.log.kinds import is_tick, is_yes, kind_label


@pytest.mark.parametrize(
    ("line", "label", "rest"),
    [
        ("warm up: 60x5, 80x3", "warm up", "60x5, 80x3"),
        ("Top set 140x3", "Top set", "140x3"),
        ("w/u 40x10", "w/u", "40x10"),
        ("Aufwärmen - BW x 10", "Aufwärmen", "BW x 10"),
        ("work sets: 3x5@100", "work", "3x5@100"),
    ],
)
def test_a_word_for_a_kind_stands_before_its_sets(line: str, label: str, rest: str) -> None:
    found = kind_label(line)
    assert found is not None
    assert (found[0].removesuffix(" sets"), found[1]) == (label, rest)


@pytest.mark.parametrize("line", ["Squat 100x5", "Drop squat 60x5", "w 60x5", "100x5", "warm up"])
def test_a_lift_is_no_kind(line: str) -> None:
    assert kind_label(line) is None


@pytest.mark.parametrize("text", ["x", "X", "✓", "TRUE", "ja", "1", "[x]", "✅"])
def test_a_tick_says_yes(text: str) -> None:
    assert is_yes(text)
    assert is_tick(text)


@pytest.mark.parametrize("text", ["", "no", "FALSE", "0", "✗", "[ ]", "skipped"])
def test_no_tick_says_no(text: str) -> None:
    assert not is_yes(text)


@pytest.mark.parametrize("text", ["8", "Squat", "maybe"])
def test_other_words_are_no_ticks(text: str) -> None:
    assert not is_tick(text)
