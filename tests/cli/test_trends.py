"""`plateline trends` as a person calls it."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from plateline.cli.root import main

LOG = "Date,Exercise,Weight,Reps\n" + "".join(
    f"2026-0{month}-{day:02d},Back squat,{80 + month * 2.5},8\n"
    for month in (1, 2, 3)
    for day in (5, 12, 19, 26)
)


@pytest.fixture
def trends(tmp_path: Path, monkeypatch, capsys):
    """Call the command in a folder that holds `log.csv`; returns exit status and words."""

    def call(*arguments: str) -> tuple[int, str, str]:
        monkeypatch.chdir(tmp_path)
        monkeypatch.setattr(sys, "argv", ["plateline", "trends", *arguments])
        with pytest.raises(SystemExit) as end:
            main()
        said = capsys.readouterr()
        return int(end.value.code or 0), said.out, said.err

    (tmp_path / "log.csv").write_text(LOG)
    return call


def test_one_csv_one_command(trends, tmp_path: Path) -> None:
    status, shown, said = trends("log.csv")
    assert (status, said) == (0, "")
    assert "open trends.html" in shown
    assert "Back squat" in (tmp_path / "trends.html").read_text(encoding="utf-8")


def test_missing_file_is_one_sentence_and_status_two(trends, tmp_path: Path) -> None:
    status, _, said = trends("nowhere.csv")
    assert status == 2
    assert "nowhere.csv" in said
    assert [path.name for path in tmp_path.iterdir()] == ["log.csv"]


def test_folder_that_is_not_there_is_one_sentence(trends) -> None:
    status, _, said = trends("log.csv", "--out", "no/such/place.html")
    assert status == 2
    assert "cannot be written" in said
    assert len(said.strip().splitlines()) == 1


def test_several_clients_are_listed(trends, tmp_path: Path) -> None:
    rows = LOG.splitlines()
    log = [f"client,{rows[0]}", *(f"{'ab'[i % 2]}1,{row}" for i, row in enumerate(rows[1:]))]
    (tmp_path / "log.csv").write_text("\n".join(log))
    status, _, said = trends("log.csv")
    assert status == 2
    assert "'a1', 'b1'" in said
    assert trends("log.csv", "--client", "b1")[0] == 0


def test_help_has_an_example(trends) -> None:
    status, shown, _ = trends("--help")
    assert status == 0
    assert "Example:" in shown
