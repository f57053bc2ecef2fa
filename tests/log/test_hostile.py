"""Hostile files: refused or read within seconds, and nothing leaves the output folder."""

from __future__ import annotations

import datetime as dt
import time
import zipfile
from pathlib import Path

import pytest

from plateline.errors import InputFileError, PlatelineError
from plateline.log import read_intake, write_intake

TODAY = dt.date(2026, 11, 25)
SECONDS = 20.0
"""A bound against hanging, an order above what these files take on a slow machine."""


def read(path: Path) -> None:
    started = time.monotonic()
    try:
        read_intake(path, today=TODAY)
    except PlatelineError as refusal:
        assert len(str(refusal)) < 1500  # noqa: PT017
    assert time.monotonic() - started < SECONDS


def test_a_line_of_fifty_megabytes(tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    path.write_bytes(b"date,exercise,load,reps\n2026-03-02,Squat,100," + b"5" * 50_000_000 + b"\n")
    started = time.monotonic()
    with pytest.raises(InputFileError, match="line 2 has 50,000"):
        read_intake(path, today=TODAY)
    assert time.monotonic() - started < SECONDS


@pytest.mark.parametrize("row", ["h", "a,", "date,exercise,load,reps,", "1,", '"",', "12/3/2026,"])
def test_a_hundred_thousand_columns(tmp_path: Path, row: str) -> None:
    path = tmp_path / "log.csv"
    path.write_text(row * 100_000 + "\n" + "1," * 100_000 + "\n")
    read(path)


def test_a_row_of_a_hundred_thousand_cells_in_a_good_file(tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    path.write_text("date,exercise,load,reps\n2026-03-02,Squat,100,5\n" + "x," * 100_000 + "\n")
    with pytest.raises(InputFileError, match="line 3"):
        read_intake(path, today=TODAY)


@pytest.mark.parametrize(
    "body",
    [
        '"' * 200_000,
        "2026-03-02,Squat,100,5\n" * 2000 + '"',
        ('2026-03-02,"Squat,100,5\n') * 20_000,
        "(" * 900_000,
        "2026-03-02,Squat," + "1x" * 900 + ",5\n",
        "2026-03-02,Squat," + "100x5," * 300 + ",5\n",
        "2026-03-02,Squat,100," + "5-" * 5000 + "\n",
        "2026-03-02," + "A" * 90_000 + ",100,5\n",
        ("\u202e" * 1000 + ",") * 50,
        " " * 900_000,
        "2026-03-02,Squat," + " " * 50_000 + "x,5\n",
        "2026-03-02,Squat," + "1" * 50_000 + ",5\n",
        "2026-03-02,Squat,100," + "0:" * 20_000 + "\n",
        "a b " * 100_000 + ",b,c,d\n",
        "\x00" * 10_000 + "\n",
    ],
)
def test_cells_made_to_hang_a_parser(tmp_path: Path, body: str) -> None:
    path = tmp_path / "log.csv"
    path.write_text("date,exercise,load,reps\n" + body, encoding="utf-8")
    read(path)
    path.write_text(body, encoding="utf-8")
    read(path)


def test_many_distinct_odd_cells(tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    rows = "".join(f"2026-03-02,Squat,{i}x{i}x{i},{i}-{i + 1}\n" for i in range(3_000))
    path.write_text("date,exercise,load,reps\n" + rows)
    read(path)


def test_no_client_name_writes_outside(tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    path.write_text("client,date,exercise,load,reps\n../../escape,2026-03-02,../Squat,100,5\n")
    write_intake(read_intake(path, today=TODAY), tmp_path / "a" / "b" / "out")
    found = {str(p.relative_to(tmp_path)) for p in tmp_path.rglob("*") if p.is_file()}
    assert all(f == "log.csv" or f.startswith("a/b/out/") for f in found)


def test_marks_that_turn_text_round_are_taken_off(tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    path.write_text(
        "client,date,exercise,load,reps\nan\u202ena\u200b,2026-03-02,Squ\x00at,100,5\n",
        encoding="utf-8",
    )
    sets = read_intake(path, today=TODAY).sets
    assert sets.select("client", "exercise").row(0) == ("anna", "Squat")


def test_a_workbook_that_unpacks_without_end_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "log.xlsx"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("big", b"\0" * 2**20)
        # What the archive says of itself is all that is looked at: nothing is unpacked.
        packed.infolist()[0].file_size = 3 * 2**30
    with pytest.raises(InputFileError, match="GiB"):
        read_intake(path, today=TODAY)


def test_a_workbook_that_is_none_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "log.xlsx"
    path.write_text("date,exercise\n")
    with pytest.raises(InputFileError, match="no workbook"):
        read_intake(path, today=TODAY)
