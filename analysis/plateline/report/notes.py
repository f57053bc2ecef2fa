"""A coach's own words, which stand at the top of a client's page."""

from __future__ import annotations

from pathlib import Path

from plateline.errors import InputFileError

__all__ = ["read_note", "read_notes"]

LONGEST_NOTE_BYTES = 64 * 1024
"""A note is a few paragraphs; something larger is the wrong file."""


def read_note(path: Path) -> str:
    """Read one note as text.

    Raises
    ------
    InputFileError
        When the file cannot be read, is not text, or is far too long for a note.
    """
    try:
        raw = path.read_bytes()
    except OSError as error:
        raise InputFileError(f"The note {path} cannot be read: {error.strerror}.") from None
    if len(raw) > LONGEST_NOTE_BYTES:
        raise InputFileError(
            f"The note {path} has {len(raw)} bytes; at most {LONGEST_NOTE_BYTES} are shown."
        )
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise InputFileError(f"The note {path} is not UTF-8 text.") from None
    return text.replace("\r\n", "\n").replace("\r", "\n").strip()


def read_notes(folder: Path) -> dict[str, str]:
    """Read the notes of a folder, `CLIENT.md` (or `.txt`) each, by client.

    Raises
    ------
    InputFileError
        When the folder is not there or holds no note, or a note cannot be read.
    """
    if not folder.is_dir():
        raise InputFileError(f"There is no folder of notes {folder}.")
    notes = {
        path.stem: read_note(path)
        for path in sorted(folder.iterdir())
        if path.suffix.lower() in {".md", ".txt"} and path.is_file()
    }
    if not notes:
        raise InputFileError(f"{folder} holds no note; each is a file CLIENT.md.")
    return notes
