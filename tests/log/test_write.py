"""What an intake writes: whole or not at all, and nothing a spreadsheet would run."""

from __future__ import annotations

import csv
import datetime as dt
import json
import random
from pathlib import Path

import polars as pl
import pytest

from plateline.errors import OutputError
from plateline.log import read_intake, spreadsheet_safe, write_intake
from plateline.log.csv_file import FEWEST_ROWS, write_csv
from plateline.words import SETS

HERE = Path(__file__).parent
TODAY = dt.date(2026, 11, 25)


def test_the_contract_files_are_written(tmp_path: Path) -> None:
    intake = read_intake(HERE / "logs" / "bad_rows.csv", today=TODAY)
    written = write_intake(intake, tmp_path / "out")
    assert [p.name for p in written] == ["intake.json", "rejected.csv", "sets.csv", "sets.parquet"]
    assert pl.read_parquet(tmp_path / "out" / "sets.parquet").equals(intake.sets)
    account = json.loads((tmp_path / "out" / "intake.json").read_text(encoding="utf-8"))
    assert list(account) == [
        "rows",
        "accepted",
        "rejected",
        "duplicates",
        "blank",
        "sets",
        "assumptions",
    ]
    with (tmp_path / "out" / "rejected.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert list(rows[0]) == ["source_file", "source_line", "column", "value", "reason", "row"]
    assert len(rows) == account["rejected"]
    assert rows[0]["row"] == "ana,2026-03-02,Squat,inf,5,2"


def test_no_cell_starts_a_formula(tmp_path: Path) -> None:
    write_intake(read_intake(HERE / "logs" / "hostile_text.csv", today=TODAY), tmp_path)
    with (tmp_path / "sets.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    texts = [r[c] for r in rows for c in ("client", "exercise", "note")]
    assert not [t for t in texts if t.startswith(("=", "+", "-", "@", "\t", "\r"))]
    assert "'=1+1" in texts
    clean = pl.read_parquet(tmp_path / "sets.parquet")
    assert "=1+1" in clean["note"].to_list(), "the table itself keeps what was written"


def test_numbers_stay_numbers_and_texts_come_back() -> None:
    frame = pl.DataFrame({"load_kg": [-20.0], "note": ["-20"], "file": [" =1"], "plain": ["a=b"]})
    safe = spreadsheet_safe(frame)
    assert safe.row(0) == (-20.0, "'-20", "' =1", "a=b")


def test_a_rejected_row_is_safe_too(tmp_path: Path) -> None:
    log = tmp_path / "log.csv"
    log.write_text("date,exercise,load,reps\n2026-03-02,Squat,=1+1,5\n")
    write_intake(read_intake(log, today=TODAY), tmp_path / "out")
    text = (tmp_path / "out" / "rejected.csv").read_text(encoding="utf-8")
    assert "'=1+1" in text
    assert ",=1+1" not in text.split("\n", 1)[1].replace('"2026-03-02,Squat,=1+1,5"', "")


def test_a_place_that_cannot_be_written_is_named(tmp_path: Path) -> None:
    intake = read_intake(HERE / "logs" / "italian.csv", today=TODAY)
    (tmp_path / "file").write_text("x")
    with pytest.raises(OutputError, match="file"):
        write_intake(intake, tmp_path / "file")


def test_writing_twice_gives_the_same_bytes(tmp_path: Path) -> None:
    intake = read_intake(HERE / "logs" / "german_sheet.csv", today=TODAY)
    for name in ("a", "b"):
        write_intake(intake, tmp_path / name)
    for path in (tmp_path / "a").iterdir():
        assert path.read_bytes() == (tmp_path / "b" / path.name).read_bytes(), path.name
    assert {p.name for p in (tmp_path / "a").iterdir()} == {
        "sets.parquet",
        "sets.csv",
        "rejected.csv",
        "intake.json",
    }


@pytest.mark.parametrize(
    "loads",
    [
        [100.0, -20.0, None, 102.5, 0.125],
        [45.359237, 100.0, None],
        [1e-7, 1e300, -1e16, 0.1],
        [None, None],
        [3000.0, 2.5, -3000.0],
    ],
)
def test_numbers_are_written_as_the_library_writes_them(
    tmp_path: Path, loads: list[float | None]
) -> None:
    frame = pl.DataFrame(
        {"load_kg": loads, "note": ["a"] * len(loads)}, schema_overrides={"load_kg": pl.Float64}
    )
    write_csv(frame, tmp_path / "sets.csv")
    assert (tmp_path / "sets.csv").read_text() == frame.write_csv()


def many_rows(seed: int) -> pl.DataFrame:
    """Return rows enough to be looked up: columns that repeat, with and without gaps, and that do not."""
    chance = random.Random(seed)
    rows = FEWEST_ROWS + seed
    few = lambda *cells: pl.Series([chance.choice(cells) for _ in range(rows)])  # noqa: E731
    return pl.DataFrame(
        {
            "client": sorted(few("007", "=cmd", "Zoë, B.").to_list()),
            "date": few(dt.date(2026, 1, 5), dt.date(2025, 12, 31), None),
            "exercise": few("Squat", "-20", 'the "dip"', "", "two\nlines", None),
            "set_kind": few("top", "drop", None).cast(SETS["set_kind"]),
            "superset": pl.Series([None] * rows, dtype=pl.String),
            "load_kg": few(-20.0, 0.0, 2.5, 102.5, 300.0, None),
            "reps": few(-3, 0, 8, 12, None).cast(pl.Int32),
            "rir": few(0.1, 1.0, 2.0),
            "rest_s": pl.Series([120.0] * rows),
            "feel": few(1e300, 1.5, None),
            "note": pl.Series([f"=n{chance.random()}" for _ in range(rows)]),
            "file": pl.Series(["log.csv"] * rows),
            "line": pl.int_range(rows, eager=True),
        }
    )


@pytest.mark.parametrize("seed", range(3))
def test_cells_that_are_looked_up_are_those_that_are_spelt(tmp_path: Path, seed: int) -> None:
    frame = many_rows(seed)
    write_csv(frame, tmp_path / "sets.csv")
    assert (tmp_path / "sets.csv").read_text() == spreadsheet_safe(frame).write_csv()


def test_a_frame_whose_rows_are_all_alike_keeps_them(tmp_path: Path) -> None:
    frame = pl.DataFrame({"a": ["x"] * FEWEST_ROWS, "b": [1.5] * FEWEST_ROWS})
    write_csv(frame, tmp_path / "sets.csv")
    assert (tmp_path / "sets.csv").read_text() == frame.write_csv()


@pytest.mark.parametrize("note", ["plain", 'say "go"', "one, two", "one\ntwo", ""])
def test_cells_are_quoted_where_one_needs_it(tmp_path: Path, note: str) -> None:
    frame = pl.DataFrame({"note": [note, None, "x"], "other": ["a", "b", "c"]})
    write_csv(frame, tmp_path / "sets.csv")
    assert (tmp_path / "sets.csv").read_text() == frame.write_csv()
