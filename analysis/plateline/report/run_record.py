"""The record of a batch, `run.json`: the only output that tells when and how long."""

from __future__ import annotations

import datetime as dt
import hashlib
import json
import os
import platform
from collections.abc import Iterable, Mapping
from contextlib import suppress
from importlib import metadata
from pathlib import Path
from typing import Any

from plateline.errors import OutputError

__all__ = [
    "aside_of",
    "check_output_folder",
    "input_digests",
    "versions",
    "write_record",
    "write_whole",
]

_LIBRARIES = (
    "polars", "numpy", "scipy", "statsmodels", "altair", "vl-convert-python",
    "papermill", "nbclient", "nbconvert", "ipykernel",
)  # fmt: skip


def versions() -> dict[str, str]:
    """Return the versions that a result depends on."""
    from plateline import __version__

    found = {"plateline": __version__, "python": platform.python_version()}
    for name in _LIBRARIES:
        try:
            found[name] = metadata.version(name)
        except metadata.PackageNotFoundError:
            continue
    return found


def input_digests(paths: Iterable[Path]) -> list[dict[str, Any]]:
    """Return name, size and SHA-256 of every input file, in the order given."""
    digests = []
    for path in dict.fromkeys(paths):
        for file in sorted(path.rglob("*")) if path.is_dir() else [path]:
            with suppress(FileNotFoundError):  # something is written there meanwhile, or removed
                if file.is_file():
                    size, digest = file.stat().st_size, _sha256(file)
                    digests.append({"file": str(file), "bytes": size, "sha256": digest})
    return digests


def _sha256(file: Path) -> str:
    with file.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()


def check_output_folder(folder: Path) -> None:
    """Make the folder to write into, and make sure that it can be written.

    Raises
    ------
    OutputError
        When it cannot.
    """
    probe = aside_of(folder / "probe")
    try:
        folder.mkdir(parents=True, exist_ok=True)
        probe.touch()
        probe.unlink()
    except OSError as error:
        reason = (
            "a file stands in the way" if isinstance(error, FileExistsError) else error.strerror
        )
        raise OutputError(
            f"The output folder {folder} cannot be written ({reason}); choose another with --out."
        ) from None


def aside_of(path: Path) -> Path:
    """Return the name of a file until it is whole: this process's own, beside the final one."""
    return path.with_name(f".part-{os.getpid()}-{path.name}")


def write_whole(path: Path, text: str) -> None:
    """Write a text file aside, then put it in place."""
    aside = aside_of(path)
    try:
        aside.write_text(text, encoding="utf-8")
        aside.replace(path)
    except OSError as error:
        aside.unlink(missing_ok=True)
        raise OutputError(f"{path} cannot be written ({error.strerror}).") from None


def write_record(path: Path, record: Mapping[str, Any]) -> None:
    """Write the record as JSON that a person can read."""
    write_whole(path, json.dumps(record, indent=2, ensure_ascii=False, default=_plain) + "\n")


def _plain(value: object) -> str:
    if isinstance(value, (dt.date, dt.datetime)):
        return value.isoformat()
    return str(value)
