"""Numbered sets of a note that are left unticked, or struck out."""

from __future__ import annotations

from pathlib import Path

from plateline.log import read_intake

NOTE = """2026-03-02
Squat
[x] Set 1: 100x5
[ ] Set 2: 110x3
~~Set 3: 120x2~~
[x] Set 4: 90x5
"""


def test_numbered_sets_count_where_they_are_ticked(tmp_path: Path) -> None:
    path = tmp_path / "note.txt"
    path.write_text(NOTE)
    intake = read_intake([path], client="anna")
    assert intake.sets.select("exercise", "load_kg", "reps").rows() == [
        ("Squat", 100.0, 5),
        ("Squat", 90.0, 5),
    ]
    reasons = dict(intake.rejected.select("source_line", "reason").rows())
    assert reasons.keys() == {4, 5}
    assert "not ticked as done" in reasons[4]
    assert "struck out" in reasons[5]


def test_without_ticks_no_set_is_taken_for_undone(tmp_path: Path) -> None:
    path = tmp_path / "note.txt"
    path.write_text(NOTE.replace("[x] ", "").replace("~~", "").replace("[ ]", "-"))
    assert read_intake([path], client="anna").sets["load_kg"].to_list() == [100, 110, 120, 90]
