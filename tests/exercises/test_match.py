"""Names to exercises: judged on labelled pairs, hard ones among them."""

from __future__ import annotations

from pathlib import Path

import polars as pl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from plateline.exercises import annotate, load_catalogue, match, match_names

LABELLED = pl.read_csv(Path(__file__).with_name("labelled_names.csv"), infer_schema=False)
"""`written`, `meant`, `relation`: `same` lift, a `variant` of it, `not` it, or `unknown`."""


@pytest.fixture(scope="module")
def catalogue() -> pl.DataFrame:
    return load_catalogue()


def wrongly_read(catalogue: pl.DataFrame) -> tuple[list[str], list[str]]:
    """Return names read as something they are not, and names that were not recognised."""
    read = LABELLED.join(
        match_names(LABELLED["written"], catalogue), left_on="written", right_on="name"
    )
    false, missed = [], []
    for row in read.iter_rows(named=True):
        hit = row["catalogue"] == row["meant"]
        match row["relation"]:
            case "same":
                bad = missed if row["catalogue"] is None else false
                good = hit and row["how"] != "variant"
            case "variant":
                bad = missed if row["catalogue"] is None else false
                good = hit and row["how"] == "variant"
            case "not":
                bad, good = false, not hit
            case _:
                bad, good = false, row["catalogue"] is None
        if not good:
            bad.append(row["written"])
    return false, missed


def test_the_labelled_list_is_long_and_has_hard_negatives():
    counts = dict(LABELLED["relation"].value_counts().iter_rows())
    assert LABELLED.height >= 150
    assert LABELLED["written"].is_unique().all()
    assert counts["not"] + counts["unknown"] >= 70


def test_every_labelled_name_is_read_rightly(catalogue):
    assert wrongly_read(catalogue) == ([], [])


def test_the_threshold_stands_where_both_kinds_of_error_begin(catalogue, monkeypatch):
    """0.75 lies in the widest stretch without an error: lower reads what is not there
    ("bottle row" as a barbell row), higher misses common slips ("becnh", "sqaut")."""
    assert match.WORD_SIMILARITY == 0.75
    monkeypatch.setattr(match, "WORD_SIMILARITY", 0.65)
    false, _ = wrongly_read(catalogue)
    assert false
    monkeypatch.setattr(match, "WORD_SIMILARITY", 0.70)
    assert wrongly_read(catalogue) == ([], [])
    monkeypatch.setattr(match, "WORD_SIMILARITY", 0.80)
    false, missed = wrongly_read(catalogue)
    assert not false
    assert "Becnh press" in missed


def test_catalogue_names_and_aliases_are_read_as_themselves(catalogue):
    for exercise, aliases in catalogue.select("exercise", "aliases").iter_rows():
        read = match_names([exercise, *aliases], catalogue)
        assert set(read["catalogue"]) == {exercise}
        assert set(read["how"]) <= {"name", "alias"}


def test_words_may_stand_in_any_order(catalogue):
    read = match_names(["Press, bench, incline", "Curl - leg - seated"], catalogue)
    assert read["catalogue"].to_list() == ["Incline bench press", "Seated leg curl"]


def test_names_that_only_the_order_of_words_tells_apart_are_not_confused(catalogue):
    names = ["Low-to-high cable fly", "High-to-low cable fly"]
    read = match_names(names, catalogue)["catalogue"].to_list()
    assert read[:2] == names[:2]
    assert match_names(["fly cable to high low"], catalogue)["catalogue"].item() is None


def test_what_is_below_the_threshold_is_suggested_and_not_made(catalogue):
    row = match_names(["Jefferson squat"], catalogue).row(0, named=True)
    assert row["catalogue"] is None
    assert row["how"] == "unknown"
    assert row["suggestion"] is not None
    assert row["score"] < 100


def test_a_name_with_nothing_near_has_no_suggestion(catalogue):
    row = match_names(["qqqqqq"], catalogue).row(0, named=True)
    assert row["suggestion"] is None
    assert row["score"] is None


def test_a_variant_says_what_makes_it_one(catalogue):
    row = match_names(["Bench press, paused, wide grip"], catalogue).row(0, named=True)
    assert (row["catalogue"], row["how"]) == ("Bench press", "variant")
    assert row["variant"] == "grip paused wide"


def test_what_stands_in_brackets_qualifies(catalogue):
    rows = match_names(["Leg press (at my sister's)", "Leg press at my sister's"], catalogue)
    assert rows["how"].to_list() == ["variant", "unknown"]


def test_each_distinct_name_is_matched_once_in_order(catalogue):
    read = match_names(["b", "Bench press", "b", "Bench press"], catalogue)
    assert read["name"].to_list() == ["b", "Bench press"]


def test_no_names_give_an_empty_frame(catalogue):
    assert match_names([], catalogue).is_empty()
    assert annotate([], catalogue).is_empty()


@given(st.text(max_size=40))
def test_any_text_is_read_or_left_alone(text):
    row = match_names([text], load_catalogue()).row(0, named=True)
    assert row["name"] == text
    assert (row["how"] == "unknown") == (row["catalogue"] is None)


def test_annotate_gives_the_muscles_of_the_entry_to_its_variants(catalogue):
    facts = annotate(["Bench press", "Banded bench press", "Nothing known"], catalogue)
    known, variant, unknown = facts.iter_rows(named=True)
    assert known["direct"] == variant["direct"] == ["chest"]
    assert unknown["direct"] is None
    assert unknown["pattern"] is None


def test_the_words_of_a_variant_win_for_equipment_and_sides(catalogue):
    facts = annotate(
        ["Machine bench press", "Single-arm cable curl", "One-arm dumbbell bench press"], catalogue
    )
    assert facts["equipment"].to_list() == ["machine", "cable", "dumbbell"]
    assert facts["laterality"].to_list() == ["bilateral", "unilateral", "unilateral one-hand"]


def test_annotate_keeps_the_order_of_the_labels(catalogue):
    labels = ["Squat", "zzz", "Bench press", "Deadlift"]
    assert annotate(pl.Series(labels), catalogue)["exercise"].to_list() == labels


def test_own_exercises_come_first(tmp_path):
    path = tmp_path / "mine.csv"
    path.write_text(
        "exercise,aliases,direct\nCompetition bench,Bench;Comp press,chest\n", encoding="utf-8"
    )
    read = match_names(
        ["bench", "comp press", "Bench press", "competition benches"], load_catalogue(path)
    )
    assert read["catalogue"].to_list() == [
        "Competition bench",
        "Competition bench",
        "Bench press",
        "Competition bench",
    ]
    assert read["how"].to_list() == ["own", "own", "name", "own"]


def test_of_two_words_that_a_slip_is_like_the_closer_one_is_meant(catalogue):
    # One letter is missing; the other machine is one letter further.
    read = match_names(["Bduktorenmaschine", "Dduktorenmaschine"], catalogue)
    assert read["how"].to_list() == ["spelling", "spelling"]
    meant = match_names(["Abduktorenmaschine", "Adduktorenmaschine"], catalogue)
    assert read["catalogue"].to_list() == meant["catalogue"].to_list()
    assert meant["catalogue"].n_unique() == 2


def test_a_name_or_alias_is_like_itself_and_a_misspelt_one_less(catalogue):
    scores = match_names(["Bench press", "BB bench", "bnech press"], catalogue)["score"].to_list()
    assert scores[:2] == [100.0, 100.0]
    assert 80 < scores[2] < 100
