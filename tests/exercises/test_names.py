"""The label that stands for a lift in the clean table."""

from __future__ import annotations

import polars as pl
import pytest

from plateline.exercises import load_catalogue, match_names
from plateline.exercises.names import label_names, relabel
from plateline.words import EXERCISE_NAMES


def labels(rows: list[tuple[str, str, int]], own=None) -> dict[tuple[str, str], str]:
    written = pl.DataFrame(
        rows, schema={"client": pl.String, "name": pl.String, "rows": pl.Int64}, orient="row"
    )
    names = label_names(written, load_catalogue(own))
    assert dict(names.schema) == EXERCISE_NAMES
    return {(r["client"], r["name"]): r["exercise"] for r in names.iter_rows(named=True)}


def test_a_log_with_one_spelling_keeps_it_exactly():
    assert labels([("a", "flat  Bench", 3)]) == {("a", "flat  Bench"): "flat  Bench"}


def test_the_most_frequent_spelling_wins():
    got = labels([("a", "Bench press", 2), ("a", "BB bench", 5), ("a", "bench", 1)])
    assert set(got.values()) == {"BB bench"}


def test_of_equally_frequent_spellings_the_first_seen_wins():
    got = labels([("a", "bench", 2), ("a", "Bench press", 2)])
    assert set(got.values()) == {"bench"}


def test_spellings_of_one_client_do_not_reach_another():
    got = labels([("a", "BB bench", 9), ("b", "Bench press", 1)])
    assert got["b", "Bench press"] == "Bench press"


def test_variants_stay_lifts_of_their_own():
    got = labels(
        [("a", "Bench press", 9), ("a", "Paused bench press", 1), ("a", "Bench (paused)", 2)]
    )
    assert got["a", "Bench press"] == "Bench press"
    assert got["a", "Paused bench press"] == got["a", "Bench (paused)"] == "Bench (paused)"


def test_unknown_names_that_differ_in_writing_only_are_one_lift():
    written = [("a", "Zorbing pull", 4), ("a", "zorbing-pulls", 1), ("a", "Zorbing curl", 1)]
    known = match_names([name for _, name, _ in written], load_catalogue())
    assert known["how"].unique().to_list() == ["unknown"]
    got = labels(written)
    assert got["a", "zorbing-pulls"] == "Zorbing pull"
    assert got["a", "Zorbing curl"] == "Zorbing curl"


def test_a_name_of_the_users_own_file_becomes_its_exercise(tmp_path):
    path = tmp_path / "mine.csv"
    path.write_text("exercise,aliases\nCompetition bench,Bench\n", encoding="utf-8")
    assert labels([("a", "bench", 5)], path)["a", "bench"] == "Competition bench"


def test_names_that_the_own_file_does_not_list_keep_the_clients_spelling(tmp_path):
    path = tmp_path / "mine.csv"
    path.write_text("exercise,load_step_kg\nBench press,1.25\n", encoding="utf-8")
    assert labels([("a", "BB bench", 5)], path)["a", "BB bench"] == "BB bench"
    assert labels([("a", "bench  press", 5)], path)["a", "bench  press"] == "Bench press"


def test_relabel_keeps_rows_and_order():
    sets = pl.DataFrame(
        {"client": ["a", "a", "b"], "exercise": ["bench", "BB bench", "bench"], "reps": [1, 2, 3]}
    )
    written = sets.group_by("client", name="exercise", maintain_order=True).agg(
        rows=pl.len().cast(pl.Int64)
    )
    got = relabel(sets, label_names(written, load_catalogue()))
    assert got["reps"].to_list() == [1, 2, 3]
    assert got["exercise"].to_list() == ["bench", "bench", "bench"]


@pytest.mark.parametrize("name", ["", "   ", "???", "=1+1", "<b>x</b>"])
def test_odd_names_are_kept_as_they_are(name):
    assert labels([("a", name, 1)])["a", name] == name
