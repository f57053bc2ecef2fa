"""`plateline trends` as a person calls it."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from click.testing import CliRunner

from plateline.cli.trends import command

LOG = "Date,Exercise,Weight,Reps\n" + "".join(
    f"2026-0{month}-{day:02d},Back squat,{80 + month * 2.5},8\n"
    for month in (1, 2, 3)
    for day in (5, 12, 19, 26)
)


def plateline(*arguments: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "plateline", "trends", *arguments],
        cwd=cwd, capture_output=True, text=True, check=False,
    )  # fmt: skip


def test_one_csv_one_command(tmp_path: Path) -> None:
    (tmp_path / "log.csv").write_text(LOG)
    done = plateline("log.csv", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    assert "open trends.html" in done.stdout
    assert done.stderr == ""
    assert "Back squat" in (tmp_path / "trends.html").read_text(encoding="utf-8")


def test_missing_file_is_one_sentence_and_status_two(tmp_path: Path) -> None:
    done = plateline("nowhere.csv", cwd=tmp_path)
    assert done.returncode == 2
    assert "nowhere.csv" in done.stderr
    assert "Traceback" not in done.stderr
    assert list(tmp_path.iterdir()) == []


def test_folder_that_is_not_there_is_one_sentence(tmp_path: Path) -> None:
    (tmp_path / "log.csv").write_text(LOG)
    done = plateline("log.csv", "--out", "no/such/place.html", cwd=tmp_path)
    assert done.returncode == 2
    assert "cannot be written" in done.stderr
    assert len(done.stderr.strip().splitlines()) == 1


def test_several_clients_are_listed(tmp_path: Path) -> None:
    rows = LOG.splitlines()
    log = [f"client,{rows[0]}", *(f"{'ab'[i % 2]}1,{row}" for i, row in enumerate(rows[1:]))]
    (tmp_path / "log.csv").write_text("\n".join(log))
    done = plateline("log.csv", cwd=tmp_path)
    assert done.returncode == 2
    assert "'a1', 'b1'" in done.stderr
    named = plateline("log.csv", "--client", "b1", cwd=tmp_path)
    assert named.returncode == 0, named.stderr


def test_help_has_an_example() -> None:
    shown = CliRunner().invoke(command, ["--help"])
    assert shown.exit_code == 0
    assert "Example:" in shown.output
