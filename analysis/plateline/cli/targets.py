"""`plateline targets`: the load for N repetitions with R in reserve, as a CSV file."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import click

from plateline.cli.options import as_of_option, logbook_options, logs_argument

EXAMPLE = """
Example:  plateline targets data_demo --as-of 2026-03-31 --reps 8 --rir 2 --out targets.csv
"""


@click.command(epilog=EXAMPLE)
@logs_argument(required=True)
@as_of_option
@click.option("--reps", type=click.IntRange(1, 60), required=True, help="Repetitions to do.")
@click.option("--rir", type=click.FloatRange(0, 10), required=True, help="Repetitions left over.")
@click.option(
    "--out",
    type=click.Path(path_type=Path, dir_okay=False),
    default="targets.csv",
    show_default=True,
    help="The CSV file to write.",
)
@logbook_options
def command(
    logs: tuple[Path, ...], as_of: dt.date | None, reps: int, rir: float, out: Path, **options: Any
) -> None:
    """Say what load each lift can take for so many repetitions with so many in reserve.

    Writes a row per lift with an 80 % interval, in kg, not rounded to plates: the external
    load, per hand for dumbbells; for pull-ups and the like what to add to body mass, or to
    take off it where negative. The load is what the log supports on an ordinary day, not
    advice: start lower after a break, and stop for pain.
    """
    from plateline.cli.tables import read_for, write_csv
    from plateline.trend import targets
    from plateline.words import TARGETS, conform

    book, day = read_for(logs, as_of, options)
    loads = targets(
        book.sets, reps=reps, rir=rir, as_of=day, catalogue=book.catalogue,
        checkins=book.checkins, plan=book.plan,
    )  # fmt: skip
    write_csv(conform(loads, TARGETS), out)
    click.echo(f"{out}: {loads.height} lifts, {reps} repetitions with {rir:g} in reserve at {day}")
