"""Arguments and options that several commands share, with one wording each."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import click

__all__ = [
    "as_of_option",
    "check_printing",
    "cluster_option",
    "logbook_options",
    "logs_argument",
    "month_option",
    "out_folder",
    "page_options",
]

F = TypeVar("F", bound=Callable[..., Any])

_FILE = click.Path(path_type=Path, dir_okay=False)


def logs_argument(*, required: bool) -> Callable[[F], F]:
    """Take the LOG arguments: files, or a folder that holds a logbook."""
    return click.argument(
        "logs", metavar="LOG..." if required else "[LOG]...", nargs=-1, required=required,
        type=click.Path(path_type=Path),
    )  # fmt: skip


def logbook_options(command: F) -> F:
    """Add the options that say what stands beside the log, and how to read it."""
    options = [
        click.option(
            "--client",
            help="Whose rows these are, where the log names nobody; whose page, where it names many.",
        ),
        click.option("--clients", type=_FILE, help="The clients file (CSV)."),
        click.option("--checkins", type=_FILE, help="The check-ins file (CSV)."),
        click.option("--plan", type=_FILE, help="The plan file (CSV)."),
        click.option("--exercises", type=_FILE, help="Your own exercises, on top of the kit's."),
        click.option("--columns", type=_FILE, help="A TOML file that names the log's columns."),
        click.option("--unit", type=click.Choice(["kg", "lb"]), help="Unit of bare loads."),
        click.option(
            "--date-order", type=click.Choice(["dmy", "mdy", "ymd"]),
            help="Order of day, month and year where a date can be read two ways.",
        ),
    ]  # fmt: skip
    for option in reversed(options):
        command = option(command)
    return command


def page_options(*, one: bool) -> Callable[[F], F]:
    """Add what the commands that make reports share: where to, of what month, and what beside it.

    Parameters
    ----------
    one
        Whether the command makes one page; a note is then a file, otherwise a folder of them.
    """
    page = "the page" if one else "each page"
    note = (
        "A text file with your own words for the client; they stand at the top."
        if one
        else "A folder with your own words: CLIENT.md for each client you have some for."
    )
    options = [
        month_option,
        out_folder("reports"),
        click.option(
            "--note", help=note,
            type=click.Path(path_type=Path, dir_okay=not one, file_okay=one),
        ),
        click.option(
            "--pdf", is_flag=True, help=f"Print {page} to PDF as well (needs a browser)."
        ),
        click.option(
            "--files", is_flag=True, help=f"Write every table and chart beside {page}."
        ),
    ]  # fmt: skip

    def add(command: F) -> F:
        for option in reversed(options):
            command = option(command)
        return command

    return add


def check_printing() -> None:
    """Refuse to print where no browser is, before anything is read or written.

    Raises
    ------
    UsageError
        When there is no browser.
    """
    from plateline.report.pdf import find_browser

    find_browser()


class WhenType(click.ParamType):
    """A calendar day or month, in the one form of ISO 8601 that is accepted."""

    def __init__(self, what: str, form: str, example: str) -> None:
        self.name = form
        self._what = what
        self._example = example

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> dt.date:
        """Return the day, or the first one of the month."""
        if isinstance(value, dt.date):
            return value
        pattern = {"YYYY-MM-DD": "%Y-%m-%d", "YYYY-MM": "%Y-%m"}[self.name]
        try:
            return dt.datetime.strptime(value, pattern).date()
        except ValueError:
            self.fail(
                f"{value!r} is not a {self._what}; write it like {self._example}.", param, ctx
            )


month_option = click.option(
    "--month",
    type=WhenType("month", "YYYY-MM", "2026-03"),
    help="The month; left out, the last full month in the log.",
)
as_of_option = click.option(
    "--as-of",
    type=WhenType("date", "YYYY-MM-DD", "2026-03-31"),
    help="The day to look from; left out, the last day in the log.",
)


cluster_option = click.option(
    "--cluster", metavar="ADDRESS|local",
    help="Work on a Dask cluster: its scheduler's address, or local to start one here.",
)  # fmt: skip


def out_folder(default: str | None = None) -> Callable[[F], F]:
    """Take the folder to write into."""
    # For click a default of None is a default: an option that has one is never missed.
    given = {} if default is None else {"default": default, "show_default": True}
    return click.option(
        "--out", type=click.Path(path_type=Path, file_okay=False), required=default is None,
        help="The folder to write into.", **given,
    )  # fmt: skip
