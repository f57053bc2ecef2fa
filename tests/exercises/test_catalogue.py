"""The catalogue: whole, consistent, and the user's own file on top of it."""

from __future__ import annotations

from pathlib import Path

import polars as pl
import pytest

from plateline.errors import InputFileError, MissingColumnError
from plateline.exercises import EQUIPMENT, LATERALITIES, MUSCLES, load_catalogue
from plateline.exercises.normal import normalise, sorted_words
from plateline.words import CATALOGUE, Position


@pytest.fixture(scope="module")
def catalogue() -> pl.DataFrame:
    return load_catalogue()


def own(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "exercises.csv"
    path.write_text(text, encoding="utf-8")
    return path


def test_it_has_the_columns_of_the_contract(catalogue):
    assert catalogue.columns == [*CATALOGUE, "own"]
    assert dict(catalogue.schema) == {**CATALOGUE, "own": pl.List(pl.String)}


def test_it_is_large_enough_in_every_kind_of_equipment(catalogue):
    assert catalogue.height >= 150
    counts = dict(catalogue["equipment"].value_counts().iter_rows())
    least = {"barbell": 30, "dumbbell": 30, "machine": 30, "cable": 25, "body-weight": 25}
    assert {kind: counts[kind] for kind in least if counts[kind] < least[kind]} == {}


def test_every_value_is_a_word_of_its_vocabulary(catalogue):
    assert set(catalogue["equipment"]) <= set(EQUIPMENT)
    assert set(catalogue["laterality"]) <= set(LATERALITIES)
    assert set(catalogue["position"]) <= {p.value for p in Position}
    used = set(catalogue["direct"].explode()) | set(catalogue["indirect"].explode().drop_nulls())
    assert used == set(MUSCLES)


def test_no_cell_that_is_needed_is_empty(catalogue):
    needed = catalogue.drop("aliases", "indirect", "substitutes", "own")
    assert needed.null_count().sum_horizontal().item() == 0
    assert catalogue["direct"].list.len().min() >= 1


def test_no_muscle_is_direct_and_indirect_or_named_twice(catalogue):
    for direct, indirect in catalogue.select("direct", "indirect").iter_rows():
        both = [*direct, *indirect]
        assert len(both) == len(set(both)), both


def test_every_muscle_but_the_smallest_has_a_direct_exercise_for_two_kinds_of_equipment(catalogue):
    kinds = catalogue.explode("direct").group_by("direct").agg(pl.col("equipment").n_unique())
    few = set(kinds.filter(pl.col("equipment") < 2)["direct"])
    assert few <= {"shins", "neck", "hip flexors"}


def test_only_dumbbells_and_kettlebells_are_held_one_hand(catalogue):
    one = catalogue.filter(pl.col("laterality").str.contains("one-hand"))
    assert set(one["equipment"]) <= {"dumbbell", "kettlebell"}


def test_only_lifts_that_move_the_body_have_a_share_of_it(catalogue):
    body = catalogue.filter(equipment="body-weight")
    external = {"Neck flexion", "Neck extension"}
    assert set(body.filter(body_mass_share=0)["exercise"]) == external
    assert catalogue.filter(pl.col("body_mass_share") > 0)["body_mass_share"].max() <= 1


def test_shares_of_body_mass_that_were_measured(catalogue):
    """Peak force over body mass: Ebben et al. 2011, J Strength Cond Res 25:2891-2894.

    Values from memory: 0.64 regular, 0.70 feet on a 30 cm box, 0.55 hands on it, 0.49 knees.
    """
    share = dict(catalogue.select("exercise", "body_mass_share").iter_rows())
    assert share["Push-up"] == 0.64
    assert share["Feet-elevated push-up"] == 0.70
    assert share["Incline push-up"] == 0.55
    assert share["Knee push-up"] == 0.49


def test_shares_of_squats_and_calf_raises_follow_from_segment_masses(catalogue):
    """Male segment masses of de Leva 1996, J Biomech 29:1223-1230 (from memory).

    Shank 4.33 %, foot 1.37 % of body mass. A squat moves all but shanks and feet, a calf
    raise all but the feet (whose heels rise a little), a single-leg squat all but one
    shank and foot.
    """
    share = dict(catalogue.select("exercise", "body_mass_share").iter_rows())
    shank, foot = 0.0433, 0.0137
    assert share["Body-weight squat"] == pytest.approx(1 - 2 * (shank + foot), abs=0.02)
    assert share["Body-weight calf raise"] == pytest.approx(1 - 2 * foot, abs=0.03)
    assert share["Single-leg squat"] == pytest.approx(1 - shank - foot, abs=0.05)


def test_substitutes_exist_and_go_both_ways(catalogue):
    table = dict(catalogue.select("exercise", "substitutes").iter_rows())
    for exercise, substitutes in table.items():
        assert exercise not in substitutes
        assert len(substitutes) == len(set(substitutes))
        for other in substitutes:
            assert other in table, f"{exercise}: {other} is not in the catalogue"
            assert exercise in table[other], f"{other} does not name {exercise}"


def test_substitutes_have_the_same_movement_muscle_and_position_with_other_equipment(catalogue):
    rows = {row["exercise"]: row for row in catalogue.iter_rows(named=True)}
    for row in rows.values():
        for name in row["substitutes"]:
            other = rows[name]
            assert other["pattern"] == row["pattern"]
            assert other["direct"][0] == row["direct"][0]
            assert other["position"] == row["position"]
            assert other["equipment"] != row["equipment"]


def test_the_big_lifts_have_substitutes(catalogue):
    table = dict(catalogue.select("exercise", "substitutes").iter_rows())
    for lift in ("Back squat", "Bench press", "Romanian deadlift", "Overhead press", "Barbell row"):
        assert table[lift], lift


def test_no_name_stands_for_two_exercises(catalogue):
    owner: dict[str, str] = {}
    for exercise, aliases in catalogue.select("exercise", "aliases").iter_rows():
        for name in [exercise, *aliases]:
            key = normalise(name)
            assert owner.setdefault(key, exercise) == exercise, f"{name}: {owner[key]}, {exercise}"


def test_no_alias_hides_a_variant(catalogue):
    """A grip, a rope or a tempo makes a lift of its own, so no alias may say it away."""
    words = {
        "grip",
        "wide",
        "close",
        "narrow",
        "rope",
        "underhand",
        "overhand",
        "neutral",
        "reverse",
        "alternating",
        "paused",
        "tempo",
        "deficit",
        "band",
        "chain",
        "stance",
        "low",
        "high",
    }
    always = {("Face pull", "rope face pull"), ("Band pull-apart", "Band pull-apart")}
    for exercise, aliases in catalogue.select("exercise", "aliases").iter_rows():
        keys = {sorted_words(normalise(name)): name for name in [exercise, *aliases]}
        for key, name in keys.items():
            rest = " ".join(w for w in key.split() if w not in words)
            assert rest == key or rest not in keys or (exercise, name) in always, (exercise, name)


def test_frequent_lifts_have_names_in_other_languages(catalogue):
    names = dict(catalogue.select("exercise", "aliases").iter_rows())
    for lift, words in {
        "Bench press": (
            "Bankdruecken",
            "developpe couche",
            "press de banca",
            "panca piana",
            "supino",
        ),
        "Back squat": ("Kniebeuge", "sentadilla", "agachamento"),
        "Deadlift": ("Kreuzheben", "souleve de terre", "peso muerto", "stacco"),
    }.items():
        assert set(words) <= set(names[lift])


def test_names_are_sorted_and_the_file_is_plain(catalogue):
    assert catalogue["exercise"].is_sorted()
    shipped = Path(__import__("plateline").__file__).parent / "exercises" / "catalogue.csv"
    assert b"\r" not in shipped.read_bytes()


def test_own_rows_are_added(tmp_path):
    mine = load_catalogue(own(tmp_path, "exercise,direct,position\nLog press,triceps;chest,mid\n"))
    row = mine.row(by_predicate=pl.col("exercise") == "Log press", named=True)
    assert row["direct"] == ["triceps", "chest"]
    assert row["own"] == ["Log press"]
    assert mine.height == load_catalogue().height + 1


def test_own_rows_override_cell_by_cell(tmp_path):
    mine = load_catalogue(own(tmp_path, "exercise,load_step_kg\nbench  PRESS,1.25\n"))
    row = mine.row(by_predicate=pl.col("exercise") == "bench  PRESS", named=True)
    assert row["load_step_kg"] == 1.25
    assert row["direct"] == ["chest"]
    assert "Bench press" not in set(mine["exercise"])


def test_what_the_own_file_does_not_name_stays_as_it_ships(tmp_path):
    mine = load_catalogue(own(tmp_path, "exercise,load_step_kg\nbench press,1.25\n"))
    others = pl.col("exercise").str.to_lowercase() != "bench press"
    assert mine.filter(others).equals(load_catalogue().filter(others))


def test_an_own_alias_is_taken_from_the_catalogue(tmp_path):
    mine = load_catalogue(own(tmp_path, "exercise,aliases,direct\nMy squat,Squat,quadriceps\n"))
    table = dict(mine.select("exercise", "aliases").iter_rows())
    assert table["My squat"] == ["Squat"]
    assert "squat" not in {a.lower() for a in table["Back squat"]}


def test_an_own_alias_that_is_a_catalogue_name_takes_its_place_and_keeps_its_muscles(tmp_path):
    mine = load_catalogue(own(tmp_path, "exercise,aliases\nHip drive,Hip thrust\n"))
    row = mine.row(by_predicate=pl.col("exercise") == "Hip drive", named=True)
    assert "Hip thrust" not in set(mine["exercise"])
    assert row["direct"] == ["glutes"]
    assert row["own"] == ["Hip drive", "Hip thrust"]


def test_an_own_row_that_lists_an_alias_stands_beside_the_entry(tmp_path):
    mine = load_catalogue(own(tmp_path, "exercise,aliases\nComp bench,BP\nGym bench,flat bench\n"))
    table = {r["exercise"]: r for r in mine.iter_rows(named=True)}
    assert table["Gym bench"]["direct"] == ["chest"]
    assert table["Gym bench"]["aliases"] == ["flat bench"]
    assert "flat bench" not in table["Comp bench"]["aliases"]


def test_an_empty_own_file_changes_nothing(tmp_path):
    assert load_catalogue(own(tmp_path, "exercise,direct\n")).equals(load_catalogue())


@pytest.mark.parametrize(
    ("text", "error", "words"),
    [
        ("name,direct\nA,chest\n", MissingColumnError, ["'exercise'", "'name'"]),
        ("exercise,position\nA,bottom\n", InputFileError, ["line 2", "'bottom'", "lengthened"]),
        ("exercise,laterality\nA,mid\nB,both\n", InputFileError, ["line 2", "'mid'"]),
        ("exercise,body_mass_share\nA,64\n", InputFileError, ["'64'", "from 0 to 1"]),
        ("exercise,load_step_kg\nA,much\n", InputFileError, ["'much'", "number"]),
        ("exercise,load_step_kg\nA,nan\n", InputFileError, ["'nan'", "number"]),
        ("exercise\nSquat jump\nsquat-jumps\n", InputFileError, ["line 3", "twice"]),
        ("", InputFileError, ["empty"]),
    ],
)
def test_a_wrong_own_file_is_refused_with_a_sentence(tmp_path, text, error, words):
    with pytest.raises(error) as refusal:
        load_catalogue(own(tmp_path, text))
    for word in words:
        assert word in str(refusal.value)


def test_a_file_that_a_german_spreadsheet_saved_is_read(tmp_path):
    path = tmp_path / "mine.csv"
    path.write_bytes(
        "\ufeffExercise;Direct;Laterality;Load_step_kg;Note\r\n"
        "Drücken am Gerät;Pecs, triceps;Bilateral;2,5;x\r\n".encode("utf-8")
    )
    row = load_catalogue(path).row(
        by_predicate=pl.col("exercise") == "Drücken am Gerät", named=True
    )
    assert row["direct"] == ["chest", "triceps"]
    assert row["load_step_kg"] == 2.5
    path.write_bytes("exercise;direct\r\nDrücken am Gerät;chest\r\n".encode("cp1252"))
    assert "Drücken am Gerät" in set(load_catalogue(path)["exercise"])


def test_a_row_that_is_too_long_is_refused_with_its_line(tmp_path):
    with pytest.raises(InputFileError, match="line 3 has 3 cells under 2 columns"):
        load_catalogue(own(tmp_path, "exercise,direct\nA,chest\nB,chest,lats\n"))


def test_a_missing_or_binary_own_file_is_refused(tmp_path):
    with pytest.raises(InputFileError, match="no exercises file"):
        load_catalogue(tmp_path / "none.csv")
    (tmp_path / "picture.csv").write_bytes(b"\xff\xd8\xff\xe0\x00picture")
    with pytest.raises(InputFileError, match="picture"):
        load_catalogue(tmp_path / "picture.csv")
