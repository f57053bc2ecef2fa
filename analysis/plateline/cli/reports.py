"""`plateline reports`: every client's monthly report, and the page that says who comes first."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from plateline.cli.options import (
    check_printing,
    cluster_option,
    logbook_options,
    logs_argument,
    page_options,
)

if TYPE_CHECKING:
    from plateline.report.batch import Batch, ClientOutcome

__all__ = ["command"]


@click.command(
    name="reports",
    epilog="Example:  plateline reports club --month 2026-03 --out reports",
)
@logs_argument(required=False)
@logbook_options
@page_options(one=False)
@click.option(
    "--jobs", type=click.IntRange(min=1), help="Reports made at once; left out, one a core."
)
@cluster_option
def command(
    logs: tuple[Path, ...], month: dt.date | None, out: Path, client: str | None,
    note: Path | None, pdf: bool, files: bool, jobs: int | None, cluster: str | None,
    **reading: Any,
) -> int:  # fmt: skip
    """Make every client's monthly report, and an index: who needs attention first.

    LOG is a CSV file with one row per set, or a folder that holds log.csv and what belongs to
    it; with no LOG, the demo club is used.
    """
    from plateline.report.batch import Request, default_jobs, make_reports
    from plateline.report.notes import read_notes

    request = Request(
        logs=logs, out=out, reading={**reading, "client": client}, month=month,
        notes=read_notes(note) if note else {}, jobs=jobs or default_jobs(), cluster=cluster,
        pdf=pdf, files=files,
    )  # fmt: skip
    if pdf and cluster is None:
        check_printing()
    with _Bar() as bar:
        batch = make_reports(request, bar)
    _say(batch)
    return 1 if batch.failed else 0


class _Bar:
    """The progress bar, on standard error; silent where nobody watches a terminal."""

    def __init__(self) -> None:
        self._bar: Any = None

    def __enter__(self) -> _Bar:
        return self

    def __exit__(self, *exception: object) -> None:
        if self._bar is not None:
            self._bar.close()

    def __call__(self, count: int, outcome: ClientOutcome | None) -> None:
        if self._bar is None:
            from tqdm import tqdm

            self._bar = tqdm(total=count, unit="report", disable=None, leave=False)
        if outcome is not None:
            self._bar.set_postfix_str(outcome.client[:24], refresh=False)
            self._bar.update()


def _say(batch: Batch) -> None:
    for remark in batch.remarks:
        click.echo(f"plateline: {remark}", err=True)
    for outcome in batch.failed:
        click.echo(f"plateline: {outcome.client}: {outcome.reason}", err=True)
    done = sum(outcome.outcome == "done" for outcome in batch.outcomes)
    silent = sum(outcome.outcome == "no data" for outcome in batch.outcomes)
    parts = [f"{done} report{'' if done == 1 else 's'}"]
    parts += [f"{silent} without data that month"] if silent else []
    parts += [f"{len(batch.failed)} that could not be made"] if batch.failed else []
    click.echo(f"{', '.join(parts)}. Open {batch.open_first}")
