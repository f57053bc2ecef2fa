"""Days that stand behind other words, weekdays alone, titles, and what none of them is."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from plateline.log import read_intake
from plateline.log.note_titles import date_in_title, is_title, is_weekday

TODAY = dt.date(2026, 11, 25)


@pytest.mark.parametrize(
    ("line", "day"),
    [
        ("TE 4 – 03.02.25 – Oberkörper", "03.02.25"),
        ("Upper body 3 Feb 2025", "3 Feb 2025"),
        ("Leg day (Mon 03/02/2025)", "Mon 03/02/2025"),
        ("Pull: 2025-02-03", "2025-02-03"),
        ("next test on 3 March 2025", ""),
        ("Printed on 18/02/2025", ""),
        ("Week of 3 February 2025", ""),
        ("Pull day, felt weak 3/10", ""),
        ("Bench 80x8 3 Feb", ""),
        ("Bench 80 kg 3 Feb 2025", ""),
    ],
)
def test_a_heading_may_name_its_day_behind_other_words(line: str, day: str) -> None:
    assert date_in_title(line)[0] == day


@pytest.mark.parametrize("line", ["Wednesday", "Mi - Beine", "Wednesday the 5th", "Monday push"])
def test_a_weekday_alone(line: str) -> None:
    assert is_weekday(line)


@pytest.mark.parametrize(
    "line", ["Mon 3 Feb 2025", "Mo 03.02.", "Mar 3", "Sunny day", "Monday 3x5"]
)
def test_no_weekday_alone(line: str) -> None:
    assert not is_weekday(line)


@pytest.mark.parametrize("line", ["Gym 2025", "Week of 3 February 2025", "Training log 2024/2025"])
def test_titles(line: str) -> None:
    assert is_title(line)


def _read(
    tmp_path: Path, text: str, name: str = "note.txt"
) -> tuple[list[tuple[object, ...]], list[str]]:
    (tmp_path / name).write_text(text, "utf-8")
    intake = read_intake(tmp_path / name, today=TODAY)
    counts = [intake.account[k] for k in ("accepted", "rejected", "duplicates", "blank")]
    assert intake.account["rows"] == sum(n for n in counts if isinstance(n, int))
    sets = intake.sets.select("date", "exercise", "load_kg", "reps").rows()
    return sets, intake.rejected["reason"].to_list()


def test_sets_below_a_bare_weekday_do_not_take_the_date_above(tmp_path: Path) -> None:
    sets, reasons = _read(tmp_path, "3 Feb 2025\nSquat 100x5\nWednesday\nRow 60x8\n")
    assert sets == [(dt.date(2025, 2, 3), "Squat", 100, 5)]
    assert "a weekday" in reasons[0]


def test_a_weekday_below_its_date_is_a_remark(tmp_path: Path) -> None:
    sets, reasons = _read(tmp_path, "7 Feb 2025\nFriday\nRow 60x8\n")
    assert sets == [(dt.date(2025, 2, 7), "Row", 60, 8)]
    assert not reasons


def test_numbers_of_remarks_are_no_sets(tmp_path: Path) -> None:
    text = (
        "3 Feb 2025\nSquat 100x5\nRow 60x8\nFly 12.5x9\nKnee hurts since set 2 (3/10)\nBW 82\n"
        "three sets of five curls\n"
    )
    sets, reasons = _read(tmp_path, text)
    assert [s[1:] for s in sets] == [("Squat", 100, 5), ("Row", 60, 8), ("Fly", 12.5, 9)]
    assert [
        w for w in ("no date", "weighing", "in words") if not any(w in r for r in reasons)
    ] == []


def test_tables_below_dated_headings(tmp_path: Path) -> None:
    text = """# Journal

## 2025-02-03 — Push

| Exercise | Weight | Reps |
|:--|--:|:-:|
| Bench | 80 | 8 |

Felt good.

## Pull (5 Feb 2025)

| Exercise | Weight | Reps |
|:--|--:|:-:|
| Row | 70 | 9 |
"""
    sets, reasons = _read(tmp_path, text, "log.md")
    assert sets == [
        (dt.date(2025, 2, 3), "Bench", 80, 8),
        (dt.date(2025, 2, 5), "Row", 70, 9),
    ]
    assert len(reasons) == 1  # `Felt good.`


@pytest.mark.parametrize("header", ["date,exercise,load,reps", "Date,Exercise,Load,Reps"])
def test_a_banner_alone_is_no_set(tmp_path: Path, header: str) -> None:
    text = f"{header}\nWEEK 1,,,\n2025-02-03,Squat,100,5\n"
    sets, reasons = _read(tmp_path, text, "log.csv")
    assert (len(sets), reasons) == (1, [])


def test_banners_between_rows_are_no_sets(tmp_path: Path) -> None:
    text = (
        "Date,Exercise,Load,Reps\nWEEK 1,,,\n2025-02-03,Squat,100,5\n--- Week 2 (deload) ---,,,\n"
        "2025-02-10,Squat,70,5\nPage 1 of 2,,,\n"
    )
    sets, reasons = _read(tmp_path, text, "log.csv")
    assert [s[2] for s in sets] == [100, 70]
    assert reasons == [
        "The row holds 'Page 1 of 2' and nothing else; a set has a date, an exercise, a load and reps. "
        "If it is a remark, leave it out."
    ]


def test_a_remark_between_sets_names_no_exercise(tmp_path: Path) -> None:
    text = "3 Feb 2025\nSquat\n100x5\nfelt heavy\n105x5\nknee 3/10\n107.5x3\n"
    sets, _ = _read(tmp_path, text)
    assert [s[1:] for s in sets] == [("Squat", 100, 5), ("Squat", 105, 5), ("Squat", 107.5, 3)]
