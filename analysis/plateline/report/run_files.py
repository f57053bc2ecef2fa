"""The files beside a page: every table as CSV, every chart as PNG and SVG."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import polars as pl
import polars.selectors as cs

from plateline.report.paths import file_names

if TYPE_CHECKING:
    from plateline.report.run_tasks import ReportTask

__all__ = ["write_files"]


def write_files(task: ReportTask, folder: Path) -> None:
    """Write the tables and charts of one client's report into a new folder."""
    from plateline.report.client import client_report

    parameters = task.parameters
    report = client_report(
        parameters["logbook"], parameters["client"], parameters["month"], note=parameters["note"]
    )
    folder.mkdir(parents=True, exist_ok=True)
    tables, figures = report.tables(), report.figures()
    # Some are called by a lift, and a lift by whatever the client writes.
    names = file_names([*tables, *figures])
    for name, frame in tables.items():
        _flat(frame).write_csv(folder / f"{names[name]}.csv")
    for name, figure in figures.items():
        figure.save(folder / f"{names[name]}.svg")
        figure.save(folder / f"{names[name]}.png")


def _flat(frame: pl.DataFrame) -> pl.DataFrame:
    """Return a frame that CSV can hold: lists become text, parts divided by semicolons."""
    return frame.with_columns(
        cs.list().cast(pl.List(pl.String)).list.join("; "),
        cs.struct().struct.json_encode(),
    )
