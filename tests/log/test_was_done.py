"""Planned and skipped sets are not read as done, however the log says so."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import polars as pl
import pytest

from plateline.log import read_intake
from plateline.log.was_done import was_done

TODAY = dt.date(2026, 11, 25)


def _read(tmp_path: Path, text: str, name: str = "log.csv") -> tuple[list[float], list[str]]:
    """Return the loads that came in, and the column and value of each refused row."""
    (tmp_path / name).write_text(text, "utf-8")
    intake = read_intake(tmp_path / name, today=TODAY)
    counts = [intake.account[k] for k in ("accepted", "rejected", "duplicates", "blank")]
    assert intake.account["rows"] == sum(n for n in counts if isinstance(n, int))
    shown = intake.rejected.select(pl.concat_str("column", "value", separator=" ")).to_series()
    return intake.sets["load_kg"].to_list(), shown.to_list()


@pytest.mark.parametrize(
    ("text", "done"),
    [
        ("Completed", True), ("gemacht", True), ("Ist", True), ("réalisé", True), ("hecho", True),
        ("skipped", False), ("Plan", False), ("geplant", False), ("n\u00e3o feito", False),
        ("ausgefallen", False), ("Non fatto!", False), ("top set", None), ("5", None), ("x", None),
    ],
)  # fmt: skip
def test_words_for_done(text: str, done: bool | None) -> None:
    assert was_done(text) is done


def test_a_status_column_parts_done_from_planned(tmp_path: Path) -> None:
    loads, refused = _read(
        tmp_path,
        "Date,Exercise,Status,kg,Reps\n2025-02-03,Squat,completed,100,5\n"
        "2025-02-03,Squat,skipped,101,5\n2025-02-05,Squat,planned,102,5\n"
        "2025-02-05,Squat,half done,103,5\n2025-02-05,Squat,Done,104,5\n",
    )
    assert loads == [100, 104]
    assert refused == ["done skipped", "done planned", "done half done"]


def test_a_vague_column_of_plan_and_done_is_one_too(tmp_path: Path) -> None:
    loads, refused = _read(
        tmp_path,
        "Datum;Übung;Typ;Gewicht;Wdh\n03.02.2025;Kniebeuge;Plan;100;8\n03.02.2025;Kniebeuge;Ist;95;7\n",
    )
    assert (loads, refused) == ([95], ["done Plan"])


def test_among_set_kinds_a_planned_set_is_refused(tmp_path: Path) -> None:
    loads, refused = _read(
        tmp_path,
        "date,exercise,set_kind,load,reps\n2025-02-03,Squat,working,100,8\n2025-02-03,Squat,top,110,8\n"
        "2025-02-03,Squat,planned,120,8\n",
    )
    assert (loads, refused) == ([100, 110], ["set_kind planned"])


def test_where_only_skipped_sets_are_marked_the_others_were_done(tmp_path: Path) -> None:
    text = "Date,Exercise,kg,Reps,Status\n2025-02-03,Squat,100,5,\n2025-02-05,Squat,105,5,skipped\n"
    loads, refused = _read(tmp_path, text)
    assert (loads, refused) == ([100], ["skipped skipped"])
    said = read_intake(tmp_path / "log.csv", today=TODAY).account["assumptions"]
    assert any("rows in which it is empty are read as done" in s for s in said)  # type: ignore[union-attr]


def test_a_column_of_ticks_for_skipped_sets(tmp_path: Path) -> None:
    text = "Date,Exercise,kg,Reps,Skipped?\n2025-02-03,Squat,100,5,no\n2025-02-05,Squat,105,5,yes\n"
    assert _read(tmp_path, text) == ([100], ["skipped yes"])


def test_a_word_in_place_of_a_load_is_named(tmp_path: Path) -> None:
    text = "Datum;Übung;Gewicht;Wdh\n03.02.2025;Squat;100;5\n20.02.2025;Squat;ausgefallen;\n"
    assert _read(tmp_path, text) == ([100], ["load ausgefallen"])
    assert (
        "no set was done"
        in read_intake(tmp_path / "log.csv", today=TODAY).rejected["reason"].item()
    )


def test_what_is_struck_out_was_not_done(tmp_path: Path) -> None:
    table = (
        "| Date | Exercise | kg | Reps |\n|---|---|---|---|\n| 2025-02-03 | **Squat** | **100** | 5 |\n"
        "| 2025-02-03 | ~~Row~~ | 60 | 8 |\n"
    )
    assert _read(tmp_path, table, "log.md") == ([100], ["exercise ~~Row~~"])
    note = "2025-02-03\n- Squat 100x5\n- ~~Row 60x8~~\n"
    assert _read(tmp_path, note, "note.md") == ([100], ["row ~~Row 60x8~~"])


@pytest.mark.parametrize(
    "header", ["date,exercise,load,reps,note", "Date,Exercise,Weight,Reps,Notes"]
)
def test_a_note_that_says_skipped_is_no_set(tmp_path: Path, header: str) -> None:
    text = (
        f"{header}\n2025-02-03,Squat,100,5,\n2025-02-05,Squat,101,5,Skipped - knee\n"
        "2025-02-07,Squat,102,5,skipped the last set\n"
    )
    assert _read(tmp_path, text) == ([100, 102], ["note Skipped - knee"])
