"""Tables without a header: read where their cells allow one reading, else refused."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from plateline.errors import InputFileError
from plateline.log import Intake, read_intake

TODAY = dt.date(2026, 11, 25)


def read(tmp_path: Path, text: str, **options: object) -> Intake:
    path = tmp_path / "log.csv"
    path.write_text(text, encoding="utf-8")
    return read_intake(path, today=TODAY, **options)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("rows", "sets"),
    [
        ("2026-03-02,Squat,100,5\n2026-03-04,Bench,80,8\n", [("Squat", 100, 5), ("Bench", 80, 8)]),
        ("2026-03-02,Squat,5,100\n2026-03-04,Bench,8,80\n", [("Squat", 100, 5), ("Bench", 80, 8)]),
        (
            "2026-03-02,Curl,12.5,12\n2026-03-04,Curl,15,12\n",
            [("Curl", 12.5, 12), ("Curl", 15, 12)],
        ),
        ("2026-03-02,Dip,BW,12\n2026-03-04,Dip,BW+5,9\n", [("Dip", 0, 12), ("Dip", 5, 9)]),
        (
            "2026-03-02,Curl,12 kg,12\n2026-03-04,Curl,14 kg,9\n",
            [("Curl", 12, 12), ("Curl", 14, 9)],
        ),
        ("2026-03-02,Squat,100x5\n2026-03-04,Bench,80x8\n", [("Squat", 100, 5), ("Bench", 80, 8)]),
    ],
)
def test_one_possible_reading_is_taken_and_told(
    tmp_path: Path, rows: str, sets: list[tuple[str, float, int]]
) -> None:
    intake = read(tmp_path, rows)
    assert intake.sets.select("exercise", "load_kg", "reps").rows() == sets
    assert "log.csv has no header; by its cells, column 1 as date" in str(
        intake.account["assumptions"]
    )


@pytest.mark.parametrize(
    "rows",
    [
        "2026-03-02,Curl,12,10\n2026-03-04,Curl,12,12\n",  # which is which?
        "ann,2026-03-02,Squat,100,5\nbob,2026-03-04,Bench,80,8\n",  # client, session or exercise?
        "2026-03-02,Squat,100,5,8\n2026-03-04,Bench,80,8,9\n",  # RPE, RIR or sets?
        "Squat,100,5\nBench,80,8\n",  # when?
        "2026-03-02,2026-03-03,Squat,100,5\n2026-03-04,2026-03-05,Bench,80,8\n",
        "2026-03-02,Squat,100,5\n",
        "2026-03-02,Squat,100,5\n2026-03-02,x\n2026-03-02,Bench\n",
    ],
)
def test_two_possible_readings_are_refused_with_what_to_do(tmp_path: Path, rows: str) -> None:
    with pytest.raises(InputFileError, match=r"Add a first line like .* --columns FILE.toml"):
        read(tmp_path, rows)


def test_what_was_recognised_can_be_saved_and_read_again(tmp_path: Path) -> None:
    rows = "2026-03-02,Squat,5,100\n2026-03-04,Bench,8,80\n"
    first = read(tmp_path, rows)
    saved = tmp_path / "columns.toml"
    saved.write_text(first.columns_toml, encoding="utf-8")
    assert read(tmp_path, rows, columns=saved).sets.equals(first.sets)
