"""Where the results behind a client's page come from: files, a logbook, or saved results."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from plateline.report.results import Results, compute_results, is_results_folder

if TYPE_CHECKING:
    from plateline.exercises import Logbook

__all__ = ["results_from"]


def results_from(
    source: Logbook | Results | Path | str | Sequence[Path | str] | None,
    client: str | None,
    month: dt.date | None,
) -> Results:
    """Return the results of a month, read or worked out; see `client_report` for the sources.

    Of saved results only the client's own file is opened, where a client is named.
    """
    if isinstance(source, Results):
        return source
    if source is None or isinstance(source, (str, Path, Sequence)):
        paths = _paths(source)
        if client and len(paths) == 1 and is_results_folder(paths[0]):
            return Results.load(paths[0], str(client))
        from plateline.exercises import read_logbook

        source = read_logbook(paths)
    return compute_results(source, month)


def _paths(source: Path | str | Sequence[Path | str] | None) -> list[Path]:
    if source is None or source == "":
        from plateline.places import data_demo

        return [data_demo()]
    if isinstance(source, (str, Path)):
        return [Path(source)]
    return [Path(item) for item in source]
