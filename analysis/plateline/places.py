"""Where the files that ship with the kit are: the demo logbook and the notebooks."""

from __future__ import annotations

from pathlib import Path

from plateline.errors import InputFileError

__all__ = ["data_demo", "notebook"]

_PACKAGE = Path(__file__).resolve().parent


def _shipped(relative: str) -> Path:
    """Find a shipped path: inside an installed wheel, or at the top of a checkout."""
    candidates = (_PACKAGE / "_shipped" / relative, _PACKAGE.parents[1] / relative)
    for candidate in candidates:
        if candidate.exists():
            return candidate
    raise InputFileError(
        f"The kit's own {relative} is missing from this installation; reinstall plateline."
    )


def data_demo() -> Path:
    """Return the folder of the demo logbook."""
    return _shipped("data_demo")


def notebook(name: str) -> Path:
    """Return the path of a shipped notebook, by its name without the ending."""
    return _shipped(f"notebooks/{name}.ipynb")
