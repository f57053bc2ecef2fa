"""One spelling for names that differ only in the way they are written."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plateline.exercises.normal import normalise, sorted_words


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Bench press", "  BENCH-press "),
        ("Développé couché", "developpe couche"),
        ("Rumänisches Kreuzheben", "rumaenisches Kreuzheben"),
        ("KH-Rudern, einarmig", "One-arm dumbbell rows"),
        ("Leg press 45º", "Leg press 45°"),
        ("Press banca con mancuernas", "press banca dumbbells"),
        ("Rumänisches Kreuzheben", "Ruma\u0308nisches Kreuzheben"),
        ("DB row", "dumbbell rows"),
        ("One-arm row", "1 arm rows"),
        ("Farmer's carry", "farmers carry"),
        ("Bench press", "Ｂｅｎｃｈ ｐｒｅｓｓ"),
        ("Triceps push-downs", "tricep pushdown"),
        ("Split squat", "split\u00a0squat"),
    ],
)
def test_the_same_name_written_otherwise(one, other):
    assert sorted_words(normalise(one)) == sorted_words(normalise(other))


@pytest.mark.parametrize(
    ("one", "other"),
    [("Front squat", "Back squat"), ("Leg curl", "Leg extension"), ("Dip", "Dips machine")],
)
def test_other_names_stay_apart(one, other):
    assert normalise(one) != normalise(other)


def test_plurals_that_are_none_are_kept():
    assert normalise("Press") == "press"
    assert normalise("Biceps") == "biceps"
    assert normalise("Triceps") == "triceps"


def test_letters_of_other_scripts_are_kept():
    assert normalise("Жим лёжа") != ""
    assert normalise("腕立て伏せ") != ""


def test_the_table_of_words_is_sound():
    """Each word is written once, as it is after taking accents away, and read as known ones."""
    import csv
    from pathlib import Path

    import plateline.exercises.normal as room

    path = Path(room.__file__).with_name("words.csv")
    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    written = [row["written"] for row in rows]
    assert len(written) == len(set(written))
    assert {row["language"] for row in rows} == {"en", "de", "fr", "es", "it", "pt"}
    for row in rows:
        assert row["written"].isascii()
        assert normalise(row["read_as"]) == normalise(row["written"]), row


@given(st.text(max_size=60))
def test_normalising_twice_changes_nothing(text):
    once = normalise(text)
    assert normalise(once) == once


@given(st.text(max_size=60))
def test_case_does_not_matter(text):
    assert normalise(text.lower()) == normalise(text.lower().upper().lower())


@given(st.lists(st.sampled_from(["row", "cable", "seated", "wide"]), max_size=5))
def test_sorted_words_forget_the_order(words):
    assert sorted_words(" ".join(words)) == sorted_words(" ".join(reversed(words)))
