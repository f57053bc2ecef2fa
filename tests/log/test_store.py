"""The logbook on disk: added to, never rewritten, whole after a crash, readable by others."""

from __future__ import annotations

import datetime as dt
import os
import signal
import subprocess
import sys
from pathlib import Path

import polars as pl
import pytest

from plateline.errors import OutputError
from plateline.log import Intake, add_to_logbook, client_folder, read_intake
from plateline.words import SETS

TODAY = dt.date(2026, 11, 25)


def log(path: Path, clients: list[str], month: int, sessions: int = 6) -> Intake:
    lines = ["client,date,exercise,set_order,load,reps"]
    for client in clients:
        for day in range(1, sessions + 1):
            lines += [
                f'"{client}",2026-{month:02d}-{day:02d},Squat,{s},{100 + day},5' for s in (1, 2, 3)
            ]
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return read_intake(path, today=TODAY)


def contents(logbook: Path) -> dict[str, bytes]:
    return {str(p.relative_to(logbook)): p.read_bytes() for p in sorted(logbook.rglob("*.parquet"))}


def test_what_was_added_is_read_back(tmp_path: Path) -> None:
    march, april = log(tmp_path / "m.csv", ["anna", "007"], 3), log(tmp_path / "a.csv", ["anna"], 4)
    add_to_logbook(march, tmp_path / "book")
    add_to_logbook(april, tmp_path / "book")
    back = read_intake(tmp_path / "book", today=TODAY)
    both = read_intake([tmp_path / "m.csv", tmp_path / "a.csv"], today=TODAY)
    key = ["client", "date", "set_order"]
    assert back.sets.sort(key).equals(both.sets.sort(key))
    assert back.sets["client"].unique().sort().to_list() == ["007", "anna"]


def test_the_same_export_twice_changes_no_byte(tmp_path: Path) -> None:
    march = log(tmp_path / "m.csv", ["anna", "ben"], 3)
    first = add_to_logbook(march, tmp_path / "book")
    before = contents(tmp_path / "book")
    again = add_to_logbook(march, tmp_path / "book")
    assert (first.sets, first.already_there) == (36, 0)
    assert (again.sets, again.already_there, again.files) == (0, 36, ())
    assert contents(tmp_path / "book") == before


def test_old_files_are_never_touched(tmp_path: Path) -> None:
    add_to_logbook(log(tmp_path / "m.csv", ["anna"], 3), tmp_path / "book")
    before = contents(tmp_path / "book")
    add_to_logbook(log(tmp_path / "a.csv", ["anna"], 4), tmp_path / "book")
    after = contents(tmp_path / "book")
    assert before.items() < after.items()


@pytest.mark.filterwarnings("ignore:The inplace keyword")  # dask's own call into pandas
def test_other_programs_read_it_as_it_is(tmp_path: Path) -> None:
    import duckdb
    from dask import dataframe

    book = tmp_path / "book"
    add_to_logbook(log(tmp_path / "m.csv", ["007", "012"], 3), book)
    add_to_logbook(log(tmp_path / "a.csv", ["007"], 4), book)
    assert pl.read_parquet(book).height == 54
    assert pl.read_parquet(book)["client"].unique().sort().to_list() == ["007", "012"]
    found = duckdb.sql(
        f"select client, count(*) from '{book}/**/*.parquet' group by 1 order by 1"
    ).fetchall()
    assert found == [("007", 36), ("012", 18)]
    frame = dataframe.read_parquet(str(book)).compute()
    assert len(frame) == 54
    assert sorted(frame["client"].unique()) == ["007", "012"]
    assert set(SETS) < set(frame.columns)


@pytest.mark.parametrize(
    "name",
    ["../../x", "/etc/passwd", "con", "a/b", "..", "Anna", "=x", "a" * 300, "名前", "a\\b"],
)
def test_no_name_leaves_the_logbook(tmp_path: Path, name: str) -> None:
    book = tmp_path / "deep" / "book"
    add_to_logbook(log(tmp_path / "m.csv", [name], 3), book)
    outside = [p for p in tmp_path.rglob("*.parquet") if book not in p.parents]
    assert outside == []
    assert read_intake(book, today=TODAY).sets["client"].unique().to_list() == [name]


def test_names_that_look_alike_have_their_own_folders() -> None:
    names = ["anna", "Anna", "anna ", "ANNA", "an na", "an-na", "äna", "ana"]
    folders = [client_folder(n) for n in names]
    assert len({f.casefold() for f in folders}) == len(names)


def test_a_foreign_folder_is_left_alone(tmp_path: Path) -> None:
    march = log(tmp_path / "m.csv", ["anna"], 3)
    (tmp_path / "data").mkdir()
    march.sets.write_parquet(tmp_path / "data" / "mine.parquet")
    with pytest.raises(OutputError, match="no part of a logbook"):
        add_to_logbook(march, tmp_path / "data")
    with pytest.raises(OutputError, match="is a file"):
        add_to_logbook(march, tmp_path / "m.csv")


def test_two_intakes_at_once_are_kept_apart(tmp_path: Path) -> None:
    march = log(tmp_path / "m.csv", ["anna"], 3)
    aside = tmp_path / ".book.intake"
    aside.mkdir()
    (aside / "process").write_text(str(os.getppid()))
    with pytest.raises(OutputError, match="Another intake"):
        add_to_logbook(march, tmp_path / "book")
    (aside / "process").write_text("999999999")
    assert add_to_logbook(march, tmp_path / "book").sets == 18


CHILD = """
import datetime as dt, os, signal, sys
from pathlib import Path
import polars as pl
from plateline.log import add_to_logbook, read_intake

calls = 0
def killed_at(owner, name, last):
    real = getattr(owner, name)
    def step(*args, **kwargs):
        global calls
        calls += 1
        if calls == last:
            os.kill(os.getpid(), signal.SIGKILL)
        return real(*args, **kwargs)
    setattr(owner, name, step)

log, book, step, last = sys.argv[1:]
owner = {"write_parquet": pl.DataFrame, "replace": Path}[step]
killed_at(owner, step, int(last))
add_to_logbook(read_intake(log, today=dt.date(2026, 11, 25)), book)
"""


@pytest.mark.slow
def test_a_killed_intake_leaves_the_old_logbook_whole(tmp_path: Path) -> None:
    """Kill while files are written aside, before the first is moved in, and half-way through."""
    clients = [f"client{i:02d}" for i in range(8)]
    march = log(tmp_path / "m.csv", clients, 3)
    log(tmp_path / "a.csv", clients, 4)
    april = read_intake(tmp_path / "a.csv", today=TODAY)
    old = march.sets.height
    children: list[tuple[Path, int, subprocess.Popen[bytes]]] = []
    for step, last, added in (("write_parquet", 3, 0), ("replace", 1, 0), ("replace", 5, 4)):
        book = tmp_path / f"{step}{last}" / "book"
        add_to_logbook(march, book)
        command = [sys.executable, "-c", CHILD, str(tmp_path / "a.csv"), str(book), step, str(last)]
        children.append((book, added, subprocess.Popen(command)))
    for book, added, child in children:
        before = {n: d for n, d in contents(book).items() if "2026-03" in n}
        assert child.wait(timeout=60) == -signal.SIGKILL
        assert before.items() <= contents(book).items(), "an old file was lost or changed"
        assert pl.read_parquet(book).height == old + added * 18
        assert (book.parent / ".book.intake").exists(), "the kill came before the work"
        add_to_logbook(april, book)
        assert pl.read_parquet(book).height == 2 * old
        assert not (book.parent / ".book.intake").exists()
