"""Duplicates: within a file by set order, between exports by the n-th equal set."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from plateline.log import Intake, read_intake

TODAY = dt.date(2026, 11, 25)
MARCH = "date,exercise,set_order,load,reps\n2026-03-02,Squat,1,100,5\n2026-03-02,Squat,2,100,5\n2026-03-30,Squat,1,105,5\n"
APRIL = "date,exercise,set_order,load,reps\n2026-03-30,Squat,1,105,5\n2026-04-02,Squat,1,107.5,5\n"


def read(tmp_path: Path, *texts: str) -> Intake:
    paths = []
    for number, text in enumerate(texts):
        paths.append(tmp_path / f"export{number}.csv")
        paths[-1].write_text(text)
    return read_intake(paths, today=TODAY)


def counts(intake: Intake) -> tuple[object, ...]:
    return tuple(
        intake.account[k] for k in ("rows", "accepted", "rejected", "duplicates", "blank", "sets")
    )


def test_overlapping_exports_count_once(tmp_path: Path) -> None:
    intake = read(tmp_path, MARCH, APRIL)
    assert counts(intake) == (5, 4, 0, 1, 0, 4)
    assert intake.sets["source_file"].to_list() == ["export0.csv"] * 3 + ["export1.csv"]
    assert any("more than one file" in s for s in intake.account["assumptions"])  # type: ignore[union-attr]


def test_the_same_export_twice_changes_nothing(tmp_path: Path) -> None:
    once, twice = read(tmp_path, MARCH), read(tmp_path, MARCH, MARCH)
    assert twice.sets.equals(once.sets)
    assert counts(twice) == (6, 3, 0, 3, 0, 3)


def test_the_same_line_twice_with_a_set_order_counts_once(tmp_path: Path) -> None:
    line = "2026-03-02,Squat,1,100,5\n"
    assert counts(read(tmp_path, f"date,exercise,set_order,load,reps\n{line}{line}")) == (
        2,
        1,
        0,
        1,
        0,
        1,
    )


def test_three_equal_sets_without_a_set_order_are_three(tmp_path: Path) -> None:
    line = "2026-03-02,Squat,100,5\n"
    text = f"date,exercise,load,reps\n{line * 3}"
    assert counts(read(tmp_path, text)) == (3, 3, 0, 0, 0, 3)
    assert counts(read(tmp_path, text, text)) == (6, 3, 0, 3, 0, 3)
    longer = f"date,exercise,load,reps\n{line * 4}"
    assert counts(read(tmp_path, text, longer)) == (7, 4, 0, 3, 0, 4)


def test_two_sessions_of_a_day_are_told_apart_by_time(tmp_path: Path) -> None:
    text = "date,exercise,set_order,load,reps\n2026-03-02 07:00,Squat,1,100,5\n2026-03-02 18:00,Squat,1,100,5\n"
    assert counts(read(tmp_path, text)) == (2, 2, 0, 0, 0, 2)
    assert counts(read(tmp_path, text, text)) == (4, 2, 0, 2, 0, 2)


def test_another_set_order_is_another_set(tmp_path: Path) -> None:
    one = "date,exercise,set_order,load,reps\n2026-03-02,Squat,1,100,5\n"
    two = "date,exercise,set_order,load,reps\n2026-03-02,Squat,2,100,5\n"
    assert counts(read(tmp_path, one, two)) == (2, 2, 0, 0, 0, 2)


def test_exports_in_two_units_and_dialects_meet(tmp_path: Path) -> None:
    german = "Datum;Übung;Satz;Gewicht kg;Wdh\n25.03.2026;Squat;1;102,1;5\n"
    american = "Date,Exercise,Set,Weight (lb),Reps\n03/25/2026,Squat,1,225,5\n"
    assert counts(read(tmp_path, german, american)) == (2, 1, 0, 1, 0, 1)


def test_a_compact_row_that_stands_in_two_exports_is_one_duplicate_row(tmp_path: Path) -> None:
    text = "date,exercise,sets\n2026-03-02,Squat,3x5@100\n"
    assert counts(read(tmp_path, text, text)) == (2, 1, 0, 1, 0, 3)


def test_two_clients_never_share_a_set(tmp_path: Path) -> None:
    text = "client,date,exercise,set_order,load,reps\n{c},2026-03-02,Squat,1,100,5\n"
    assert counts(read(tmp_path, text.format(c="anna"), text.format(c="ben"))) == (2, 2, 0, 0, 0, 2)
