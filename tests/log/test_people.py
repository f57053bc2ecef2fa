"""Headings, labels and sheets that name people, and those that do not."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
import xlsxwriter

from plateline.errors import InputFileError, MissingColumnError
from plateline.log import Intake, read_intake
from plateline.log.people import are_people, can_name_person, titles_log

TODAY = dt.date(2026, 11, 25)
HEADER = ["date", "exercise", "load", "reps"]


@pytest.mark.parametrize("text", ["Anna", "Jan-Ole", "Mia K", "Zoë"])
def test_words_that_can_be_names(text: str) -> None:
    assert can_name_person(text)


@pytest.mark.parametrize(
    "text", ["Push", "Oberkörper", "Week 3", "Tabelle1", "Februar", "Plan", "Monday", "A", "felt heavy", "3.2.2026", "Urlaub"]
)  # fmt: skip
def test_words_that_are_none(text: str) -> None:
    assert not can_name_person(text)


def test_two_who_do_the_same_on_a_day_are_two_people() -> None:
    day = [("2026-02-03", "Squat")]
    assert are_people({"Anna": [*day, ("2026-02-05", "Row")], "Bert": day})
    assert are_people({"Anna": day, "Bert": day})
    assert not are_people({"Anna": day, "Bert": [("2026-02-03", "Row")]})
    assert not are_people({"Push": [*day, ("2026-02-05", "Row")], "Pull": day})
    assert not are_people({"Anna": day, "Bert": [("2026-03-03", "Squat")]})


@pytest.mark.parametrize("text", ["My training log", "Trainingskarte 2026", "Week 3", "Full body"])
def test_titles_are_no_exercises(text: str) -> None:
    assert titles_log(text)


@pytest.mark.parametrize("text", ["Squat", "Back squat", "Chest press", "Bankdrücken", "Leg press"])
def test_exercises_are_no_titles(text: str) -> None:
    assert not titles_log(text)


def book(path: Path, sheets: dict[str, list[list[object]]], header: list[str]) -> Intake:
    made = xlsxwriter.Workbook(str(path))
    for title, rows in sheets.items():
        sheet = made.add_worksheet(title)
        sheet.write_row(0, 0, header)
        for number, row in enumerate(rows, 1):
            sheet.write_row(number, 0, row)
    made.close()
    return read_intake(path, today=TODAY)


def test_sheets_of_several_people_are_theirs(tmp_path: Path) -> None:
    rows: dict[str, list[list[object]]] = {
        "Anna": [["2026-02-03", "Squat", 50, 8]], "Bernd": [["2026-02-03", "Squat", 90, 8]],
    }  # fmt: skip
    intake = book(tmp_path / "a.xlsx", rows, HEADER)
    assert intake.sets.select("client", "load_kg").rows() == [("Anna", 50.0), ("Bernd", 90.0)]
    said = intake.account["assumptions"]
    assert "a.xlsx [Anna]: the client is 'Anna', as the sheet's title says." in said  # type: ignore[operator]
    named = read_intake(tmp_path / "a.xlsx", client="kim", today=TODAY)
    assert named.sets["client"].to_list() == ["kim", "kim"]


def test_a_copied_sheet_is_nobody_elses(tmp_path: Path) -> None:
    rows: list[list[object]] = [["2026-02-03", "Squat", 50, 8]]
    intake = book(tmp_path / "a.xlsx", {"Anna": rows, "Kopie": rows}, HEADER)
    assert set(intake.sets["client"]) == {"me"}


def test_sheets_by_week_are_one_persons(tmp_path: Path) -> None:
    rows: dict[str, list[list[object]]] = {
        "Anfang": [["2026-02-03", "Squat", 50, 8]], "Ende": [["2026-02-10", "Squat", 55, 8]],
    }  # fmt: skip
    assert set(book(tmp_path / "a.xlsx", rows, HEADER).sets["client"]) == {"me"}


def test_a_sheet_may_be_named_after_its_exercise(tmp_path: Path) -> None:
    rows: dict[str, list[list[object]]] = {
        "Squat": [["2026-02-03", 100, 5]], "Bench press": [["2026-02-03", 70, 5]],
    }  # fmt: skip
    intake = book(tmp_path / "a.xlsx", rows, ["date", "load", "reps"])
    assert intake.sets.select("exercise", "load_kg").rows() == [
        ("Squat", 100.0),
        ("Bench press", 70.0),
    ]
    with pytest.raises(MissingColumnError, match="no column for exercise"):
        book(
            tmp_path / "b.xlsx",
            {"Tabelle1": rows["Squat"], "Tabelle2": rows["Squat"]},
            ["date", "load", "reps"],
        )


def test_a_sheet_that_plans_is_left_out(tmp_path: Path) -> None:
    rows: dict[str, list[list[object]]] = {
        "Plan": [["2026-02-03", "Squat", 100, 8]], "Ist": [["2026-02-03", "Squat", 100, 6]],
    }  # fmt: skip
    intake = book(tmp_path / "a.xlsx", rows, HEADER)
    assert intake.sets["reps"].to_list() == [6]
    assert any("[Plan] was left out" in s for s in intake.account["assumptions"])  # type: ignore[union-attr]
    with pytest.raises(InputFileError, match="plans, as their titles say"):
        book(tmp_path / "b.xlsx", {"Plan": rows["Plan"], "Soll": rows["Plan"]}, HEADER)


def test_labels_that_may_be_people_are_asked_about(tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    path.write_text(
        "Anna;;;;;Bert;;;;\nDate;Exercise;kg;Reps;;Date;Exercise;kg;Reps\n"
        "2026-02-03;Squat;100;5;;2026-02-03;Leg press;105;5\n"
    )
    with pytest.raises(MissingColumnError, match="'Anna' and 'Bert', which can be clients"):
        read_intake(path, today=TODAY)
    path.write_text(
        path.read_text().replace("Anna", "Client: Anna").replace("Bert", "Client: Bert")
    )
    assert read_intake(path, today=TODAY).sets["client"].to_list() == ["Anna", "Bert"]
    path.write_text(
        path.read_text().replace("Client: Anna", "Push").replace("Client: Bert", "Pull")
    )
    assert read_intake(path, today=TODAY).sets["client"].to_list() == ["me", "me"]
