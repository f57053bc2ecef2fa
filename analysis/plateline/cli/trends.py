"""`plateline trends`: one athlete's trend page from one log."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from plateline.cli.options import logbook_options, logs_argument

__all__ = ["command"]


@click.command(
    name="trends",
    epilog="Example:  plateline trends my_log.csv --out trends.html",
)
@logs_argument(required=False)
@click.option(
    "--out", type=click.Path(path_type=Path, dir_okay=False), default=Path("trends.html"),
    show_default=True, help="The file to write.",
)  # fmt: skip
@logbook_options
def command(logs: tuple[Path, ...], out: Path, **reading: Any) -> None:
    """Write one athlete's trends as one HTML file that opens offline.

    Every lift can be chosen and looked into; with no LOG, one client of the demo logbook is
    shown. The log needs no client column; where it holds several clients, name one with
    --client.
    """
    from plateline.errors import OutputError

    if not out.parent.is_dir():
        raise OutputError(f"{out} cannot be written: there is no folder {out.parent}.")

    from plateline.report.numbers import NBSP, count
    from plateline.report.trends import LONE_ATHLETE, trends_page

    page = trends_page(list(logs) or None, **reading)
    page.write(out)
    of = "" if page.client == LONE_ATHLETE else f" of {page.client}"
    lifts, sets = count(len(page.lift_names), "lift"), count(len(page.frames["sets"]), "set")
    click.echo(f"{lifts}{of} from {sets}: open {out}".replace(NBSP, " "))
    if left := len(page.frames["rejected"]):
        rows = count(left, "row").replace(NBSP, " ")
        click.echo(f"{rows} could not be read; the end of the page says which, and how to mend it.")
