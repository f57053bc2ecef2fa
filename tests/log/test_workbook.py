"""Workbooks: dates stay dates, rows keep their numbers, sheets without a log are left out."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import xlsxwriter

from plateline.log import read_clients, read_intake

TODAY = dt.date(2026, 11, 25)


def test_a_workbook_with_an_offset_table_and_a_second_sheet(tmp_path: Path) -> None:
    path = tmp_path / "log.xlsx"
    book = xlsxwriter.Workbook(str(path))
    day = book.add_format({"num_format": "dd.mm.yyyy"})
    sheet = book.add_worksheet("März")
    for column, text in enumerate(["Datum", "Übung", "Gewicht (kg)", "Wdh", "RIR"], 1):
        sheet.write(2, column, text)
    for row, values in enumerate(
        [("Kniebeuge", 102.5, 5, 2), ("Klimmzug", "BW+10", "10/8", "")], 3
    ):
        sheet.write_datetime(row, 1, dt.datetime(2026, 3, 2), day)
        for column, value in enumerate(values, 2):
            sheet.write(row, column, value)
    book.add_worksheet("Info").write(0, 0, "hello")
    hidden = book.add_worksheet("old")
    hidden.write_row(0, 0, ["date", "exercise", "load", "reps"])
    hidden.write_row(1, 0, ["2020-01-01", "Squat", 50, 5])
    hidden.hide()
    book.close()
    intake = read_intake(path, today=TODAY)
    assert intake.sets.select(
        "date", "exercise", "load_kg", "reps", "rir", "source_line"
    ).rows() == [
        (dt.date(2026, 3, 2), "Kniebeuge", 102.5, 5, 2.0, 4),
        (dt.date(2026, 3, 2), "Klimmzug", 10.0, 8, None, 5),
    ]
    assert any("Info" in s for s in intake.account["assumptions"])  # type: ignore[union-attr]


def test_reps_that_became_dates_are_refused_with_the_cause(tmp_path: Path) -> None:
    path = tmp_path / "log.xlsx"
    book = xlsxwriter.Workbook(str(path))
    sheet = book.add_worksheet()
    sheet.write_row(0, 0, ["date", "exercise", "load", "reps"])
    sheet.write_row(1, 0, ["2026-03-02", "Split squat", 20])
    sheet.write_datetime(1, 3, dt.datetime(2026, 10, 8), book.add_format({"num_format": "d mmm"}))
    book.close()
    assert (
        "spreadsheet has changed them" in read_intake(path, today=TODAY).rejected["reason"].item()
    )


def test_the_clients_may_be_a_workbook_too(tmp_path: Path) -> None:
    path = tmp_path / "clients.xlsx"
    book = xlsxwriter.Workbook(str(path))
    sheet = book.add_worksheet()
    sheet.write_row(0, 0, ["Kunde", "Einheit", "Phase"])
    sheet.write_row(1, 0, ["007", "lbs", "cut"])
    book.close()
    assert read_clients(path).select("client", "unit", "phase").rows() == [("007", "lb", "lose")]


def test_sheets_are_named_by_their_day_or_month(tmp_path: Path) -> None:
    path = tmp_path / "days.xlsx"
    book = xlsxwriter.Workbook(str(path))
    for title, header, row in (
        ("03.02.2025", ["Exercise", "kg", "Reps"], ["Squat", 100, 5]),
        ("Mar 2025", ["Day", "Exercise", "kg", "Reps"], [17, "Bench", 80, 8]),
    ):
        sheet = book.add_worksheet(title)
        sheet.write_row(0, 0, header)
        sheet.write_row(1, 0, row)
    book.close()
    assert read_intake(path, today=TODAY).sets["date"].to_list() == [
        dt.date(2025, 2, 3), dt.date(2025, 3, 17),
    ]  # fmt: skip
