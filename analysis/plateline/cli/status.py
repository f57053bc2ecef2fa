"""`plateline status`: the state of every lift at a date, as a CSV file."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import click

from plateline.cli.options import as_of_option, logbook_options, logs_argument

EXAMPLE = """
Example:  plateline status data_demo --as-of 2026-03-31 --out status.csv
"""


@click.command(epilog=EXAMPLE)
@logs_argument(required=True)
@as_of_option
@click.option(
    "--out",
    type=click.Path(path_type=Path, dir_okay=False),
    default="status.csv",
    show_default=True,
    help="The CSV file to write.",
)
@logbook_options
def command(logs: tuple[Path, ...], as_of: dt.date | None, out: Path, **options: Any) -> None:
    """Say for every lift whether it progresses, is stuck or declines, and since when.

    Writes a row per lift: the state with its probabilities, the slope in % a week with a
    90 % interval, since when, and the estimated one-repetition maximum on that day. Only what
    was logged up to the day counts.
    """
    from plateline.cli.tables import read_for, write_csv
    from plateline.trend import lift_status
    from plateline.words import LIFT_STATUS, conform

    book, day = read_for(logs, as_of, options)
    status = lift_status(
        book.sets, day, catalogue=book.catalogue, checkins=book.checkins, clients=book.clients,
        plan=book.plan,
    )  # fmt: skip
    write_csv(conform(status, LIFT_STATUS), out)
    counts = status["state"].value_counts(sort=True).rows()
    click.echo(
        f"{out}: {status.height} lifts at {day}; " + ", ".join(f"{n} {s}" for s, n in counts)
    )
