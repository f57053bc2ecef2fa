"""`plateline intake` from outside: files, words and exit status."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import polars as pl
import pytest
from click.testing import CliRunner, Result
from tests.calling import command_apart, imported

from plateline.cli.intake import command
from plateline.errors import PlatelineError
from plateline.places import data_demo

LOG = "Date,Exercise,Set,Weight (lb),Reps\n03/25/2026,Bench Press,1,135,8\n03/25/2026,bench press,2,135,x\n"


def run(*arguments: str | Path) -> Result:
    return CliRunner().invoke(command, [str(a) for a in arguments])


@pytest.fixture
def log(tmp_path: Path) -> Path:
    path = tmp_path / "march.csv"
    path.write_text(LOG)
    return path


def test_the_contract_files_and_the_names(tmp_path: Path, log: Path) -> None:
    result = run(log, "--out", tmp_path / "out", "--client", "007")
    assert result.exit_code == 0, result.output
    assert "2 rows: 1 accepted, 1 rejected" in result.output
    found = sorted(p.name for p in (tmp_path / "out").iterdir())
    assert found == ["exercises.csv", "intake.json", "rejected.csv", "sets.csv", "sets.parquet"]
    assert pl.read_parquet(tmp_path / "out" / "sets.parquet")["client"].to_list() == ["007"]
    with (tmp_path / "out" / "exercises.csv").open(newline="") as file:
        (row,) = csv.DictReader(file)
    assert (row["name"], row["catalogue"]) == ("Bench Press", "Bench press")
    account = json.loads((tmp_path / "out" / "intake.json").read_text())
    assert account["rows"] == 2
    assert any("month-first" in s for s in account["assumptions"])


def test_threads_that_help_import_nothing(tmp_path: Path) -> None:
    """Two threads that import a package and one of its modules can wait for each other for ever."""
    imports = tmp_path / "imports.json"
    words = ("intake", data_demo(), "--out", tmp_path / "out")
    done = command_apart(*words, imports=imports)
    assert done.returncode == 0, done.stderr
    assert not imported(imports)["on_threads"]


def test_the_columns_are_saved_and_used(tmp_path: Path, log: Path) -> None:
    saved = tmp_path / "columns.toml"
    assert run(log, "--out", tmp_path / "a", "--save-columns", saved).exit_code == 0
    assert 'load = "Weight (lb)"' in saved.read_text()
    assert run(log, "--out", tmp_path / "b", "--columns", saved).exit_code == 0
    assert (tmp_path / "a" / "sets.csv").read_bytes() == (tmp_path / "b" / "sets.csv").read_bytes()


def test_a_logbook_is_added_to_once(tmp_path: Path, log: Path) -> None:
    book = tmp_path / "book"
    assert "1 sets added, 0 were there" in run(log, "--out", tmp_path / "a", "--into", book).output
    assert "0 sets added, 1 were there" in run(log, "--out", tmp_path / "a", "--into", book).output
    assert run(book, "--out", tmp_path / "b").exit_code == 0


def test_units_come_from_the_clients_file(tmp_path: Path) -> None:
    (tmp_path / "log.csv").write_text(
        "client,date,exercise,load,reps\nanna,2026-03-02,Squat,100,5\n"
    )
    (tmp_path / "clients.csv").write_text("client,unit\nanna,lb\n")
    run(tmp_path, "--out", tmp_path / "out")
    assert pl.read_parquet(tmp_path / "out" / "sets.parquet")["load_kg"].round(3).to_list() == [
        45.359
    ]


def test_a_refusal_is_a_sentence_and_leaves_nothing(tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    path.write_text("date,exercise,load,reps\n03/04/2026,Squat,100,5\n")
    result = run(path, "--out", tmp_path / "out")
    assert isinstance(result.exception, PlatelineError)
    assert result.exception.exit_status == 2
    assert "--date-order" in str(result.exception)
    assert not (tmp_path / "out").exists()


def test_nothing_readable_ends_with_status_one_and_the_reasons(tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    path.write_text("date,exercise,load,reps\n2026-03-02,Squat,heavy,5\n")
    result = run(path, "--out", tmp_path / "out")
    assert isinstance(result.exception, PlatelineError)
    assert result.exception.exit_status == 1
    assert (tmp_path / "out" / "rejected.csv").exists()


def test_help_has_an_example() -> None:
    assert "Example:" in run("--help").output
