"""Lines of a clean log: counted, and some of them taken out by their numbers."""

from __future__ import annotations

import datetime as dt
import random
from pathlib import Path

import pytest

from plateline.log import clean, clean_chunks, read_intake

TODAY = dt.date(2026, 11, 25)


@pytest.mark.parametrize("end", ["\n", "\r\n"])
@pytest.mark.parametrize("has_header", [True, False])
@pytest.mark.parametrize("piece", [1, 3, 50, 10_000])
def test_lines_are_counted_and_found(
    monkeypatch: pytest.MonkeyPatch, end: str, has_header: bool, piece: int
) -> None:
    monkeypatch.setattr(clean_chunks, "COUNT_BYTES", piece)
    chance = random.Random(piece)
    for is_open in (True, False):
        rows = [f"{i}{'é' * chance.randrange(3)}{'x' * chance.randrange(6)}" for i in range(30)]
        text = end.join([*(["header"] * has_header), *rows]) + end * (not is_open)
        first = 2 if has_header else 17
        chunk = clean_chunks.Chunk(text.encode(), first, Path("log.csv") if has_header else None)
        assert chunk.lines() == len(rows)
        wanted = sorted(chance.sample(range(30), 12))
        found = [t.decode().rstrip("\r") for t in chunk.texts(first + i for i in wanted)]
        assert found == [rows[i] for i in wanted]


def test_a_few_odd_rows_are_taken_in_as_many_are(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    rows = [
        f"2026-03-{1 + i % 28:02d},{' Squat' if i in (0, 7, 8, 299) else 'Squat'},{100 + i % 9},5"
        for i in range(300)
    ]
    path = tmp_path / "log.csv"
    path.write_text("date,exercise,load,reps\n" + "\n".join(rows) + "\n")
    few = read_intake(path, today=TODAY)
    monkeypatch.setattr(clean, "MOST_CUTS", 0)
    assert few.sets.equals(read_intake(path, today=TODAY).sets)
    assert few.sets["exercise"].unique().to_list() == ["Squat"]
