"""A refused row, as it is kept."""

from __future__ import annotations

from plateline.log.rows import Row
from plateline.log.values import Unreadable

__all__ = ["Rejected", "rejected_row"]

LONGEST_VALUE = 200
LONGEST_ROW = 2000
"""Characters of a cell and of a row that are kept: enough to find them, whatever the file held."""

Rejected = tuple[str, int, str, str, str, str]
"""A row of REJECTED."""


def rejected_row(file: str, row: Row, fault: Unreadable, reason: str | None = None) -> Rejected:
    """Return a row of REJECTED.

    Parameters
    ----------
    file, row
        Where it stands, and its text.
    fault
        Which cell could not be read, and why.
    reason
        What to say instead of the fault's own words.
    """
    return (
        file,
        row.line,
        fault.column or "row",
        (fault.value or "")[:LONGEST_VALUE],
        reason or fault.reason,
        row.text[:LONGEST_ROW],
    )
