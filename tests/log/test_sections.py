"""Several tables in one file, plans beside what was done, and tables without a header."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from plateline.errors import InputFileError
from plateline.log import read_intake
from plateline.log.headers import read_header
from plateline.log.kinds import kind_behind

TODAY = dt.date(2026, 11, 25)


def _read(
    tmp_path: Path, text: str, *columns: str, name: str = "log.csv"
) -> tuple[list[tuple[object, ...]], list[str]]:
    (tmp_path / name).write_text(text, "utf-8")
    intake = read_intake(tmp_path / name, today=TODAY)
    counts = [intake.account[k] for k in ("accepted", "rejected", "duplicates", "blank")]
    assert intake.account["rows"] == sum(n for n in counts if isinstance(n, int))
    return intake.sets.select(columns).rows(), intake.rejected["reason"].to_list()


def test_a_later_header_in_another_order_counts_for_the_rows_below_it(tmp_path: Path) -> None:
    text = (
        "Progression lifts\nDate,Exercise,Weight,Reps\n2025-02-03,Squat,100,5\n\nAccessories\n"
        "Date,Exercise,Reps,Weight\n2025-02-03,Leg curl,15,30\n"
    )
    sets, _ = _read(tmp_path, text, "exercise", "load_kg", "reps", "source_line")
    assert sets == [("Squat", 100, 5, 3), ("Leg curl", 30, 15, 7)]


def test_a_later_table_that_is_no_log_is_refused_row_by_row(tmp_path: Path) -> None:
    text = (
        "Date,Exercise,Weight,Reps\n2025-02-03,Squat,100,5\n\nDate,Exercise,Reps,Mood\n"
        "2025-02-03,Run,1,good\n"
    )
    sets, reasons = _read(tmp_path, text, "exercise")
    assert sets == [("Squat",)]
    assert "begins on line 4" in reasons[0]
    assert "no column for load" in reasons[0]


def test_the_plan_stands_beside_what_was_done(tmp_path: Path) -> None:
    text = "Date,Exercise,Weight,Reps,Actual Reps\n2025-02-03,Squat,100,5,4\n"
    assert _read(tmp_path, text, "load_kg", "reps")[0] == [(100, 4)]
    text = "Datum;Übung;Soll kg;Soll Wdh;Ist kg;Ist Wdh\n03.02.2025;Kniebeuge;100;8;95;7\n"
    assert _read(tmp_path, text, "load_kg", "reps")[0] == [(95, 7)]
    text = "Date,Exercise,Plan,Done\n2025-02-03,Squat,3x5@100,100x4\n"
    assert _read(tmp_path, text, "load_kg", "reps")[0] == [(100, 4)]


@pytest.mark.parametrize(
    ("header", "column"),
    [("Ist kg", "load"), ("Poids réel", "load"), ("Actual RPE", "rpe"), ("Soll kg", "ignored"),
     ("Reps prévues", "ignored"), ("Target RPE", "ignored"), ("Plan", "ignored")],
)  # fmt: skip
def test_headers_say_what_was_planned(header: str, column: str) -> None:
    assert read_header(header).column == column


@pytest.mark.parametrize("gap", ["\t", "   "])
def test_rows_without_a_header_are_no_note(tmp_path: Path, gap: str) -> None:
    rows = [("2025-02-03", "Squat", "100", "5", "2"), ("2025-02-05", "Bench press", "80", "8", "1")]
    text = "".join(gap.join(row) + "\n" for row in rows)
    with pytest.raises(InputFileError, match="which column is which"):
        _read(tmp_path, text, "reps", name="log.txt")


def test_an_effort_in_words_names_its_column(tmp_path: Path) -> None:
    text = "2025-02-03 | Squat | 100 kg | 5 | RPE 8\n2025-02-05 | Bench | 80 kg | 8 | RPE 9\n"
    sets, _ = _read(tmp_path, text, "load_kg", "reps", "rir", name="log.txt")
    assert sets == [(100, 5, 2), (80, 8, 1)]


def test_lines_of_one_cell_are_exercises_with_their_sets(tmp_path: Path) -> None:
    text = 'Datum;Training\n20.02.2025;"Kniebeuge 100kg 5/5/4\nRudern 60 kg: 10, 9"\n'
    sets, _ = _read(tmp_path, text, "exercise", "reps")
    assert sets == [
        ("Kniebeuge", 5),
        ("Kniebeuge", 5),
        ("Kniebeuge", 4),
        ("Rudern", 10),
        ("Rudern", 9),
    ]


def test_headers_over_lines_below_titles(tmp_path: Path) -> None:
    text = (
        'Export\nAthlete: Mara\n\n"Date\n(dd/mm/yyyy)","Exercise\nname","Weight\n(kg)",Reps\n'
        '23/02/2025,Squat,"100,5",5\n28/02/2025,Squat,"101,5",5\n'
    )
    sets, _ = _read(tmp_path, text, "client", "load_kg")
    assert sets == [("Mara", 100.5), ("Mara", 101.5)]


@pytest.mark.parametrize("header", ["date,exercise,load,reps", "Date,Exercise,Weight,Reps"])
def test_a_kind_behind_a_name_is_no_part_of_it(tmp_path: Path, header: str) -> None:
    text = f"{header}\n2025-02-03,Squat (warm-up),60,8\n2025-02-03,Squat - top set,110,8\n"
    sets, _ = _read(tmp_path, text, "exercise", "set_kind")
    assert sets == [("Squat", "warm-up"), ("Squat", "top")]


@pytest.mark.parametrize(
    "name", ["Back-off squat", "Leg press (machine)", "Squat (heavy)", "Warm-up"]
)
def test_other_words_belong_to_the_name(name: str) -> None:
    assert kind_behind(name) is None


@pytest.mark.parametrize("header", ["date,exercise,load,reps", "Date,Exercise,Weight,Reps"])
def test_sums_are_no_exercise(tmp_path: Path, header: str) -> None:
    text = f"{header}\n2025-02-03,Squat,60,8\n2025-02-03,Total,480,8\n"
    assert _read(tmp_path, text, "exercise") == ([("Squat",)], [])


def test_means_in_the_column_of_set_numbers_are_no_sets(tmp_path: Path) -> None:
    text = "Datum;Übung;Satz;kg;Wdh\n03.02.2025;Squat;1;60;8\n03.02.2025;Squat;Ø;60;8\n03.02.2025;Squat;Summe;;8\n"
    assert _read(tmp_path, text, "load_kg") == ([(60,)], [])


def test_days_of_a_month_that_the_title_names(tmp_path: Path) -> None:
    text = "Februar 2025;;;\nTag;Übung;kg;Wdh\n3;Kniebeuge;100;5\n17;Kniebeuge;105;5\n"
    sets, _ = _read(tmp_path, text, "date")
    assert sets == [(dt.date(2025, 2, 3),), (dt.date(2025, 2, 17),)]


def test_what_stands_above_is_parted_name_by_name(tmp_path: Path) -> None:
    text = "Client: Lena M.;;Unit: lb;;\n\nDate;Exercise;Weight;Reps;\n13.02.2025;Squat;100;5;\n"
    sets, _ = _read(tmp_path, text, "client", "load_kg")
    assert sets == [("Lena M.", 45.359237)]


def test_sets_that_were_counted_otherwise_are_refused(tmp_path: Path) -> None:
    text = "Date,Exercise,Sets x Reps,Load,Done sets\n2025-02-03,Squat,3x15,24,2\n2025-02-03,Row,3x15,24,3\n"
    sets, reasons = _read(tmp_path, text, "exercise")
    assert sets == [("Row",)] * 3
    assert "holds 3 sets, but the row counts 2" in reasons[0]


def test_assistance_in_a_column_of_its_own(tmp_path: Path) -> None:
    text = (
        "Date,Exercise,Weight,Reps,Assistance (kg)\n2025-02-03,Pull-up,,8,20\n2025-02-03,Pull-up,0,8,17.5\n"
        "2025-02-03,Pull-up,5,8,\n2025-02-03,Pull-up,5,8,20\n"
    )
    sets, reasons = _read(tmp_path, text, "load_kg")
    assert sets == [(-20,), (-17.5,), (5,)]
    assert "write one of them" in reasons[0]


def test_the_column_without_a_header_names_the_exercise(tmp_path: Path) -> None:
    text = "### Mon 3 Feb 2025\n| | kg | reps |\n|---|---|---|\n| Squat | 100 | 5 |\n| Bench | 80 | 8 |\n"
    sets, _ = _read(tmp_path, text, "date", "exercise", name="log.md")
    assert sets == [(dt.date(2025, 2, 3), "Squat"), (dt.date(2025, 2, 3), "Bench")]


def test_a_numbered_set_is_no_day_of_september(tmp_path: Path) -> None:
    text = "2025-02-03\nSquat\nSet 1: 100 kg, 5 reps, RPE 8\nSet 2: 90 kg, 8 reps\n"
    sets, _ = _read(tmp_path, text, "date", "load_kg", "reps", "rir", name="note.txt")
    assert sets == [(dt.date(2025, 2, 3), 100, 5, 2), (dt.date(2025, 2, 3), 90, 8, None)]


def test_reps_with_a_decimal_comma_are_not_two_sets(tmp_path: Path) -> None:
    text = "Datum;Übung;Gewicht;Wdh\n03.02.2025;Bank;82,5;6,5\n03.02.2025;Bank;80;8,8\n"
    sets, reasons = _read(tmp_path, text, "load_kg", "reps")
    assert sets == [(80, 8), (80, 8)]
    assert "half rep" in reasons[0]


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("note.txt", "2025-02-03\n1. Squat 100x5\n2) Bench 80x8\n"),
        (
            "log.csv",
            "date,exercise,load,reps\n2025-02-03,1. Squat,100,5\n2025-02-03,2) Bench,80,8\n",
        ),
    ],
)
def test_numbers_of_a_list_are_no_part_of_names(tmp_path: Path, name: str, text: str) -> None:
    assert _read(tmp_path, text, "exercise", name=name)[0] == [("Squat",), ("Bench",)]


def test_json_is_called_so(tmp_path: Path) -> None:
    with pytest.raises(InputFileError, match="is JSON"):
        _read(tmp_path, '[{"date":"2025-02-03","exercise":"Squat","load":100,"reps":5}]\n', "reps")
