"""`plateline report`: one client's monthly report."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import click

from plateline.cli.options import check_printing, logbook_options, logs_argument, page_options

__all__ = ["command"]


@click.command(
    name="report",
    epilog="Example:  plateline report club/log.csv --client anna --month 2026-03 --out reports",
)
@logs_argument(required=False)
@logbook_options
@page_options(one=True)
def command(
    logs: tuple[Path, ...], month: dt.date | None, out: Path, client: str | None,
    note: Path | None, pdf: bool, files: bool, **reading: Any,
) -> int:  # fmt: skip
    """Make one client's monthly report from training logs.

    LOG is a CSV file with one row per set, or a folder that holds log.csv and what belongs to
    it; with no LOG, the demo club is used. The client may be left out where the log has one.
    """
    from plateline.report.batch import Request, make_reports
    from plateline.report.notes import read_note

    request = Request(
        logs=logs, out=out, reading={**reading, "client": client}, month=month,
        one=True, client=client, note=read_note(note) if note else "", pdf=pdf, files=files,
    )  # fmt: skip
    if pdf:
        check_printing()
    batch = make_reports(request)
    for outcome in batch.failed:
        click.echo(f"plateline: {outcome.reason}", err=True)
    click.echo(f"Open {batch.open_first}")
    return 1 if batch.failed else 0
