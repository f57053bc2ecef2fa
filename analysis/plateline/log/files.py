"""From a path to text: which files there are, what they are not, and how they are encoded."""

from __future__ import annotations

import mmap
import re
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from plateline.errors import InputFileError

__all__ = [
    "WORKBOOK_ENDINGS",
    "Decoded",
    "check_lines",
    "decode",
    "find_logs",
    "is_store",
    "read_bytes",
    "shown_name",
]

TEXT_ENDINGS = (".csv", ".tsv", ".tab", ".txt", ".md", ".log", ".text", ".psv")
WORKBOOK_ENDINGS = (".xlsx", ".xlsm", ".xlsb", ".xls", ".ods")
COMPANION_NAMES = ("clients.csv", "checkins.csv", "plan.csv", "exercises.csv")
"""Files that stand beside a log in a folder and are no logs."""

LONGEST_LINE = 200_000
"""Bytes in one line beyond which a file is no table (a set takes about 80)."""

MAGIC: tuple[tuple[bytes, str], ...] = (
    (b"%PDF", "a PDF document"),
    (b"\x89PNG", "a picture (PNG)"),
    (b"\xff\xd8\xff", "a picture (JPEG)"),
    (b"GIF8", "a picture (GIF)"),
    (b"BM", "a picture (bitmap)"),
    (b"RIFF", "a picture or sound file"),
    (b"\x1f\x8b", "a gzip archive"),
    (b"7z\xbc\xaf", "a 7z archive"),
    (b"Rar!", "a RAR archive"),
    (b"BZh", "a bzip2 archive"),
    (b"\xfd7zXZ", "an xz archive"),
    (b"SQLite format 3", "a database"),
    (b"PAR1", "a Parquet file"),
    (b"{\\rtf", "a rich-text document"),
)
"""First bytes of common formats, from their public specifications (from memory)."""

HOW_TO_EXPORT = "Export the log as CSV (or XLSX) and give that file."


@dataclass(frozen=True)
class Decoded:
    """The text of a file, without a byte order mark, lines parted by a line feed."""

    text: str
    encoding: str


def find_logs(sources: Iterable[Path | str]) -> list[Path]:
    """Return what to read: each file as given, each folder's `log.csv`, else all its logs by name.

    A folder of Parquet files by client (a logbook that intakes were added to) stays a folder.

    Raises
    ------
    InputFileError
        When a source does not exist, or a folder holds nothing that could be a log.
    """
    found: list[Path] = []
    for source in sources:
        path = Path(source)
        if path.is_dir() and (path / "log.csv").is_file():
            found.append(path / "log.csv")  # a logbook: what else is there stands beside the log
        elif is_store(path):
            found.append(path)
        elif path.is_dir():
            inside = sorted(
                p
                for p in path.iterdir()
                if p.is_file()
                and p.suffix.lower() in TEXT_ENDINGS + WORKBOOK_ENDINGS
                and p.name.lower() not in COMPANION_NAMES
                and not p.name.startswith((".", "~$"))
            )
            if not inside:
                raise InputFileError(
                    f"The folder {path} holds no log; a log is a .csv, .tsv, .txt or .xlsx file."
                )
            found.extend(inside)
        elif path.exists():
            found.append(path)
        else:
            raise InputFileError(f"There is no file {path}.")
    if not found:
        raise InputFileError("No log was given; name at least one file or folder.")
    return list(dict.fromkeys(found))


def is_store(path: Path) -> bool:
    """Say whether a path is a logbook on disk: a folder of Parquet files by client."""
    return path.is_dir() and next(path.glob("*/*.parquet"), None) is not None


def shown_name(path: Path, among: Iterable[Path]) -> str:
    """Return the name that `source_file` carries: the file's, with its folder where two agree."""
    same = [p for p in among if p.name == path.name]
    return path.name if len(same) <= 1 else f"{path.parent.name}/{path.name}"


def read_bytes(path: Path) -> bytes:
    """Read a file, or say in a sentence why it is not a log.

    Raises
    ------
    InputFileError
        When the file cannot be read, is empty, is of a kind that holds no table, or has a line
        that is too long to be a row.
    """
    try:
        data = path.read_bytes()
    except OSError as fault:
        raise InputFileError(f"{path} cannot be read: {fault.strerror}.") from fault
    nothing = b"\x00 \t\r\n\xef\xbb\xbf\xff\xfe"
    if not data[:4096].strip(nothing) and not data.strip(nothing):
        raise InputFileError(f"{path} is empty; a log has one row per set.")
    head = data[:512].lstrip()
    for magic, what in MAGIC:
        if data.startswith(magic) and (magic != b"BM" or b"\x00" in head):
            raise InputFileError(f"{path} is {what}, not a table. {HOW_TO_EXPORT}")
    if data.startswith(b"PK\x03\x04") and path.suffix.lower() not in WORKBOOK_ENDINGS:
        raise InputFileError(
            f"{path} is a zip archive (or a workbook with another ending). Unpack it, or name a "
            "workbook .xlsx, and give what is inside."
        )
    opening = head[:200].lower()
    if opening.startswith((b"<!doctype", b"<html", b"<?xml", b"<table", b"<svg")):
        raise InputFileError(f"{path} is a web page or XML, not a table. {HOW_TO_EXPORT}")
    if path.suffix.lower() not in WORKBOOK_ENDINGS:
        check_lines(data, path)
    return data


def check_lines(data: bytes | mmap.mmap, path: Path) -> None:
    """Refuse a file with a line that no row of a log can fill.

    Raises
    ------
    InputFileError
        With the line and its length.
    """
    end = b"\n" if data.find(b"\n") >= 0 else b"\r"
    start = 0
    while len(data) - start > LONGEST_LINE:
        last = data.rfind(end, start, start + LONGEST_LINE)
        if last < 0:
            line = bytes(data[:start]).count(end) + 1
            stop = data.find(end, start)
            size = (stop if stop >= 0 else len(data)) - start
            raise InputFileError(
                f"{path}, line {line} has {size:,} bytes; no row of a log is that long. Check that "
                "the file has line ends."
            )
        start = last + 1


def decode(data: bytes, name: str) -> Decoded:
    """Decode bytes: a byte order mark, UTF-16 without one, UTF-8, else Windows-1252.

    Raises
    ------
    InputFileError
        When the bytes are no text.
    """
    encoding, text = _decode(data, name)
    text = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
    return Decoded(text, encoding)


def _decode(data: bytes, name: str) -> tuple[str, str]:
    if data.startswith((b"\xff\xfe\x00\x00", b"\x00\x00\xfe\xff")):
        return "UTF-32", data.decode("utf-32", errors="replace")
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return "UTF-16", data.decode("utf-16", errors="replace")
    sample = data[:4000]
    if b"\x00" in sample:
        even, odd = sample[0::2].count(0), sample[1::2].count(0)
        half = len(sample) / 2
        if odd > 0.4 * half and even < 0.1 * half:
            return "UTF-16", data.decode("utf-16-le", errors="replace")
        if even > 0.4 * half and odd < 0.1 * half:
            return "UTF-16", data.decode("utf-16-be", errors="replace")
    controls = len(re.findall(rb"[\x00-\x08\x0e-\x1a\x1c-\x1f]", sample))
    if controls > 0.02 * len(sample) + 2:
        raise InputFileError(f"{name} is not a text file. {HOW_TO_EXPORT}")
    try:
        return "UTF-8", data.decode("utf-8")
    except UnicodeDecodeError:
        # Every byte means something in Windows-1252 but five; those become U+FFFD, and the
        # row they stand in is seen by the reader of names.
        return "Windows-1252", data.decode("cp1252", errors="replace")
