"""Small notebooks and a small club for tests of what runs notebooks."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import nbformat
import polars as pl

from plateline.places import data_demo
from plateline.report.run_tasks import ReportTask

PARAMETERS = 'client = "nobody"\nlogbook = ""\nmonth = ""\nnote = ""'


def write_notebook(path: Path, *cells: str, parameters: str = PARAMETERS) -> Path:
    """Write a notebook with a parameters cell and these cells."""
    v4 = nbformat.v4
    made = [v4.new_code_cell(parameters, id="parameters", metadata={"tags": ["parameters"]})]
    made += [v4.new_code_cell(source, id=f"cell-{n}") for n, source in enumerate(cells)]
    kernel = {"name": "python3", "display_name": "Python 3", "language": "python"}
    nbformat.write(v4.new_notebook(cells=made, metadata={"kernelspec": kernel}), path)
    return path


def task_for(client: str, notebook: Path, work: Path, out: Path, **changes: Any) -> ReportTask:
    """Return the task of running a small notebook for a client."""
    given = {
        "client": client,
        "title": f"Report of {client}",
        "stem": client,
        "notebook": notebook,
        "parameters": {"client": client},
        "shown": {"client": client},
        "executed": work / f"{client}.ipynb",
        "said": work / f"{client}.log",
        "out": out,
    }
    return ReportTask(**(given | changes))


def write_small_club(folder: Path, clients: int = 3) -> Path:
    """Write a logbook of few clients, two lifts each and four months, from the demo's."""
    folder.mkdir(parents=True)
    who = ("007", "mara", "teo", "dale")[:clients]
    for name in ("clients", "checkins", "plan", "log"):
        kept = pl.read_csv(data_demo() / f"{name}.csv", infer_schema=False).filter(
            pl.col("client").is_in(who)
        )
        if name == "log":
            kept = kept.filter(pl.col("date") >= "2025-12-01")
            counts = kept.group_by("client", "exercise").len()
            most = counts.sort("client", "len", "exercise", descending=[False, True, False])
            both = most.group_by("client", maintain_order=True).head(2)
            kept = kept.join(both, on=["client", "exercise"], how="semi")
        kept.write_csv(folder / f"{name}.csv")
    return folder
