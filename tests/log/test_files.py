"""Bytes to text, folders to files, and what is refused before it is read."""

from __future__ import annotations

from pathlib import Path

import pytest

from plateline.errors import InputFileError
from plateline.log.files import decode, find_logs, read_bytes, shown_name

TEXT = "Datum;Übung;Gewicht\n02.03.2026;Bankdrücken;82,5\n"


@pytest.mark.parametrize(
    ("encoding", "name"),
    [("utf-8", "UTF-8"), ("utf-8-sig", "UTF-8"), ("utf-16", "UTF-16"), ("utf-16-le", "UTF-16"),
     ("utf-16-be", "UTF-16"), ("utf-32", "UTF-32"), ("cp1252", "Windows-1252")],
)  # fmt: skip
def test_encodings_are_told_by_their_bytes(encoding: str, name: str) -> None:
    decoded = decode(TEXT.encode(encoding), "log.csv")
    assert (decoded.text, decoded.encoding) == (TEXT, name)


@pytest.mark.parametrize("end", ["\r\n", "\r", "\n"])
def test_line_ends_are_one(end: str) -> None:
    assert decode(TEXT.replace("\n", end).encode(), "log.csv").text == TEXT


@pytest.mark.parametrize(
    ("head", "what"),
    [(b"%PDF-1.7", "PDF"), (b"\x89PNG\r\n", "picture"), (b"\xff\xd8\xff\xe0", "picture"), (b"\x1f\x8b\x08", "gzip"),
     (b"PK\x03\x04", "zip"), (b"<html><table>", "web page"), (b"PAR1", "Parquet"), (b"", "empty"), (b"\xef\xbb\xbf \n", "empty")],
)  # fmt: skip
def test_other_kinds_of_file_are_named(tmp_path: Path, head: bytes, what: str) -> None:
    path = tmp_path / "log.csv"
    path.write_bytes(head + (b"" if what == "empty" else b"x" * 100))
    with pytest.raises(InputFileError, match=what):
        read_bytes(path)


def test_a_folder_gives_its_logs_and_not_what_stands_beside_them(tmp_path: Path) -> None:
    for name in (
        "b.csv",
        "a.xlsx",
        "clients.csv",
        "plan.csv",
        "notes.pdf",
        ".hidden.csv",
        "~$a.xlsx",
    ):
        (tmp_path / name).write_text("x")
    assert [p.name for p in find_logs([tmp_path])] == ["a.xlsx", "b.csv"]
    (tmp_path / "log.csv").write_text("x")
    assert [p.name for p in find_logs([tmp_path])] == ["log.csv"]
    (tmp_path / "empty").mkdir()
    with pytest.raises(InputFileError, match="holds no log"):
        find_logs([tmp_path / "empty"])


def test_files_of_one_name_are_told_apart() -> None:
    paths = [Path("march/log.csv"), Path("april/log.csv"), Path("may.csv")]
    assert [shown_name(p, paths) for p in paths] == ["march/log.csv", "april/log.csv", "may.csv"]
