from __future__ import annotations

import pytest

from plateline.errors import InputFileError
from plateline.report.notes import LONGEST_NOTE_BYTES, read_note, read_notes


def test_a_note_is_text_without_mark_or_carriage_returns(tmp_path):
    path = tmp_path / "note.md"
    path.write_bytes("\ufeffGrüße,\r\n\r\ncoach\n".encode())
    assert read_note(path) == "Grüße,\n\ncoach"


@pytest.mark.parametrize(
    ("content", "said"),
    [(b"\xff\xfe\x00", "is not UTF-8 text"), (b"x" * (LONGEST_NOTE_BYTES + 1), "at most")],
)
def test_what_is_no_note_is_refused(tmp_path, content, said):
    path = tmp_path / "note.md"
    path.write_bytes(content)
    with pytest.raises(InputFileError, match=said):
        read_note(path)


def test_notes_are_found_by_client(tmp_path):
    (tmp_path / "007.md").write_text("one")
    (tmp_path / "anna.txt").write_text("two")
    (tmp_path / "other.csv").write_text("three")
    assert read_notes(tmp_path) == {"007": "one", "anna": "two"}


def test_a_folder_without_notes_is_said(tmp_path):
    with pytest.raises(InputFileError, match=r"holds no note; each is a file CLIENT\.md"):
        read_notes(tmp_path)
