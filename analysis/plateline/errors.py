"""The errors that a person may meet, as one tree.

    PlatelineError              anything the kit refuses, with a sentence that says what to do
    ├── UsageError              the call itself is wrong (exit status 2)
    │   ├── InputFileError      a file cannot be read, or is not what it should be
    │   ├── MissingColumnError  a needed column is not there; names what is
    │   ├── UnknownNameError    a client, exercise or option value that does not exist
    │   ├── AmbiguousDateError  day and month cannot be told apart; asks for the order
    │   └── OutputError         the output place cannot be written
    └── NoResultError           the call is right, but there is nothing to work on (exit status 1)

Every message is one sentence or two: what is wrong, where, and what would be accepted.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable

__all__ = [
    "AmbiguousDateError",
    "InputFileError",
    "MissingColumnError",
    "NoResultError",
    "OutputError",
    "PlatelineError",
    "UnknownNameError",
    "UsageError",
    "system_said",
]


class PlatelineError(Exception):
    """Anything the kit refuses; `exit_status` is what a command then ends with."""

    exit_status = 1

    def _render_traceback_(self) -> list[str]:
        """Return what a notebook shows (asked for by IPython): the sentence, not the way to it."""
        return [str(self)]


class UsageError(PlatelineError):
    """The call itself is wrong: an argument, a file, a name."""

    exit_status = 2


class InputFileError(UsageError):
    """A file cannot be read, or is not what it should be."""


class MissingColumnError(UsageError):
    """A needed column is not in the file."""


class UnknownNameError(UsageError):
    """A client, exercise or option value that does not exist."""

    @classmethod
    def among(cls, what: str, name: str, known: Iterable[str]) -> UnknownNameError:
        """Say that `name` is not known, with the closest of `known` or a short list of them."""
        names = sorted(set(known))
        close = difflib.get_close_matches(name, names, n=3, cutoff=0.6)
        if close:
            hint = f"Did you mean {' or '.join(repr(c) for c in close)}?"
        elif names:
            shown = ", ".join(repr(n) for n in names[:8])
            hint = f"There is {shown}{' and more' if len(names) > 8 else ''}."
        else:
            hint = "There is none at all."
        return cls(f"There is no {what} {name!r}. {hint}")


class AmbiguousDateError(UsageError):
    """Dates can be read day-first and month-first, and nothing in the file settles it."""


class OutputError(UsageError):
    """The output place cannot be written."""


class NoResultError(PlatelineError):
    """The call is right, but there is nothing to work on."""


def system_said(error: OSError) -> str:
    """Return what the system refused as a sentence: `No space left on device (out/a.html).`."""
    where = f" ({error.filename})" if error.filename else ""
    return f"{error.strerror or error}{where}."
