"""What is asked of a batch of reports."""

from __future__ import annotations

import datetime as dt
import os
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from plateline.places import data_demo

__all__ = ["Request", "default_jobs"]


@dataclass(frozen=True)
class Request:
    """What is asked for; `make_reports` does it.

    Attributes
    ----------
    logs, reading
        What `read_logbook` takes: the sources (none: the demo logbook), and its options.
    out
        The folder to write into.
    month
        First day of the month; None for the last full month of the log.
    one
        Whether one client's report is asked for; otherwise every client's, and an index.
    client
        That client; may be None where the log has one only.
    note, notes
        A coach's own words: for that client, or by client.
    jobs
        Workers that are busy at once.
    cluster
        The address of a Dask scheduler, or `local`; None for this machine alone.
    pdf, files
        Whether to print each page, and to write its tables and charts beside it.
    source
        The notebook to run; None for the one that ships.
    """

    logs: Sequence[Path]
    out: Path
    reading: Mapping[str, Any] = field(default_factory=dict)
    month: dt.date | None = None
    one: bool = False
    client: str | None = None
    note: str = ""
    notes: Mapping[str, str] = field(default_factory=dict)
    jobs: int = 1
    cluster: str | None = None
    pdf: bool = False
    files: bool = False
    source: Path | None = None

    @property
    def sources(self) -> list[Path]:
        """The logs, or the demo logbook where none is given."""
        return list(self.logs) or [data_demo()]


def default_jobs() -> int:
    """Return how many workers this process may keep busy."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1
