"""Columns side by side: by set, by kind of set, by day, and cells in the order of their header."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from plateline.log import read_intake
from plateline.log.header_pairs import in_short_form, pair_order

TODAY = dt.date(2026, 11, 25)


def _read(tmp_path: Path, text: str, *columns: str) -> list[tuple[object, ...]]:
    """Return some columns of the sets of a log in which every row is accounted for."""
    (tmp_path / "log.csv").write_text(text, "utf-8")
    intake = read_intake(tmp_path / "log.csv", today=TODAY)
    counts = [intake.account[k] for k in ("accepted", "rejected", "duplicates", "blank")]
    assert intake.account["rows"] == sum(n for n in counts if isinstance(n, int))
    return intake.sets.select(columns).rows()


def test_columns_named_by_kinds_of_set(tmp_path: Path) -> None:
    text = (
        "Date,Exercise,Warm-up,Top kg,Top reps,Back-off kg,Back-off reps\n"
        "2025-02-03,Squat,60x5,140,5,110,12\n2025-02-05,Row,,80,8,60,15\n"
    )
    assert _read(tmp_path, text, "set_kind", "load_kg", "reps") == [
        ("warm-up", 60, 5), ("top", 140, 5), ("back-off", 110, 12), ("top", 80, 8), ("back-off", 60, 15),
    ]  # fmt: skip
    text = "Date,Exercise,Top set,Back-off 1,Back-off 2\n2025-02-03,Squat,140x5,110x12,110x10\n"
    assert _read(tmp_path, text, "set_kind", "load_kg", "reps") == [
        ("top", 140, 5), ("back-off", 110, 12), ("back-off", 110, 10),
    ]  # fmt: skip


def test_repeated_counts_of_sets_belong_to_their_own_reps(tmp_path: Path) -> None:
    text = "Date,Exercise,Sets,Reps,kg,Sets,Reps,kg\n2025-02-03,Squat,2,5,100,1,12,80\n"
    done = [(100, 5), (100, 5), (80, 12)]
    assert _read(tmp_path, text, "load_kg", "reps") == done
    text = "Date,Exercise,Sets 1,Reps 1,kg 1,Sets 2,Reps 2,kg 2\n2025-02-03,Squat,2,5,100,1,12,80\n"
    assert _read(tmp_path, text, "load_kg", "reps") == done


def test_reps_below_ordinals_beside_one_load(tmp_path: Path) -> None:
    text = "Dia;Exercício;Carga;1ª série;2ª série\n2025-02-03;Agachamento;70,5;10;9\n"
    assert _read(tmp_path, text, "load_kg", "reps") == [(70.5, 10), (70.5, 9)]


def test_pairs_of_columns_below_days(tmp_path: Path) -> None:
    done = [
        (dt.date(2025, 2, 3), "Squat", 100, 5), (dt.date(2025, 2, 13), "Squat", 105, 4),
        (dt.date(2025, 2, 13), "Row", 60, 9),
    ]  # fmt: skip
    rows = "Squat,100,5,105,4\nRow,,,60,9\n"
    above = ",03.02.2025,,13.02.2025,\nExercise,kg,reps,kg,reps\n"
    below = "Exercise,03.02.2025,,13.02.2025,\n,kg,reps,kg,reps\n"
    for head in (above, below):
        assert _read(tmp_path, head + rows, "date", "exercise", "load_kg", "reps") == done


def test_a_set_that_was_not_finished_does_not_cost_the_others(tmp_path: Path) -> None:
    text = "Date,Exercise,Load 1,Reps 1,Load 2,Reps 2\n2025-02-03,Squat,100,5,DNF,\n"
    assert _read(tmp_path, text, "load_kg", "reps") == [(100, 5)]


def test_places_in_supersets_are_no_numbers_of_sets(tmp_path: Path) -> None:
    text = (
        "Date,#,Exercise,kg,Reps\n2025-02-03,A1,Press,30,12\n2025-02-03,A2,Row,32,12\n"
        "2025-02-03,B,Leg press,150,15\n"
    )
    assert _read(tmp_path, text, "superset") == [("A",), ("A",), (None,)]


@pytest.mark.parametrize(
    ("header", "order"),
    [("kg/Wdh", "load"), ("Weight x reps", "load"), ("Reps x lbs", "reps"), ("Sets x reps", None),
     ("Weight", None), ("kg/lb", None)],
)  # fmt: skip
def test_the_order_that_a_header_gives(header: str, order: str | None) -> None:
    assert pair_order(header) == order


def test_only_cells_of_pairs_follow_the_order_of_their_header() -> None:
    assert in_short_form("80/8 82,5/7", "load") == "80x8 82,5x7"
    assert in_short_form("8x185, 7x190", "reps") == "185x8, 190x7"
    assert in_short_form("3x8x80", "reps") == "3x8x80"
    assert in_short_form("BW/8", "load") == "BW/8"


def test_cells_are_read_in_the_order_and_unit_of_their_header(tmp_path: Path) -> None:
    text = "Datum;Übung;kg/Wdh\n03.02.2025;Bankdrücken;80/8 82,5/7\n"
    assert _read(tmp_path, text, "load_kg", "reps") == [(80, 8), (82.5, 7)]
    text = "Date,Exercise,Reps x lbs\n2025-02-03,Squat,8x100\n2025-02-05,Curl,15x20\n"
    (first, _), (second, reps) = _read(tmp_path, text, "load_kg", "reps")
    assert (first, second) == pytest.approx((45.359237, 9.0718474))
    assert reps == 15


def test_exercises_side_by_side_keep_their_sets(tmp_path: Path) -> None:
    done = [("Squat", 100, 5), ("Bench", 80, 8), ("Row", 60, 9)]
    head = "Date,Exercise,Weight,Reps,Exercise,Weight,Reps\n"
    text = head + "2025-02-03,Squat,100,5,Bench,80,8\n2025-02-05,Row,60,9,,,\n"
    assert _read(tmp_path, text, "exercise", "load_kg", "reps") == done
    head = "Date,Exercise 1,Set 1,Set 2,Exercise 2,Set 1,Set 2\n"
    text = head + "2025-02-03,Squat,100x5,,Bench,80x8,\n2025-02-05,Row,60x9,,,,\n"
    assert _read(tmp_path, text, "exercise", "load_kg", "reps") == done
