"""`plateline status`: the state of every lift at a date, as a CSV file."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import click

from plateline.cli.options import as_of_option, cluster_option, logbook_options, logs_argument

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
@cluster_option
def command(
    logs: tuple[Path, ...], as_of: dt.date | None, out: Path, cluster: str | None, **options: Any
) -> None:
    """Say for every lift whether it progresses, is stuck or declines, and since when.

    Writes a row per lift: the state with its probabilities, the slope in % a week with a
    90 % interval, since when, and the estimated one-repetition maximum on that day. Only what
    was logged up to the day counts. A partitioned logbook (plateline intake --into) is worked
    on some clients at a time, so it may be of any size.
    """
    if cluster is not None or _is_partitioned(logs):
        _by_parts(logs, as_of, out, cluster, options)
        return
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


def _is_partitioned(logs: tuple[Path, ...]) -> bool:
    from plateline.log.files import is_store

    return len(logs) == 1 and is_store(logs[0])


def _by_parts(
    logs: tuple[Path, ...], as_of: dt.date | None, out: Path, cluster: str | None,
    options: dict[str, Any],
) -> None:  # fmt: skip
    """Write the states of a log part by part, here or on a cluster."""
    import time
    from collections.abc import Iterator
    from contextlib import nullcontext

    import polars as pl

    from plateline.cli.tables import write_csv_parts
    from plateline.errors import NoResultError
    from plateline.report.batch_request import default_jobs
    from plateline.report.cluster import connected
    from plateline.report.cluster_status import status_by_parts
    from plateline.report.parts import open_source
    from plateline.words import LIFT_STATUS, conform

    started = time.perf_counter()
    source = open_source(logs, options)
    day = as_of or source.last_day
    if source.first_day > day:
        raise NoResultError(
            f"There is nothing on or before {day}: the log starts on {source.first_day}."
        )
    counts: dict[str, int] = {}

    def counted(parts: Iterator[pl.DataFrame]) -> Iterator[pl.DataFrame]:
        for status in parts:
            for state, count in status["state"].value_counts().iter_rows():
                counts[state] = counts.get(state, 0) + count
            yield conform(status, LIFT_STATUS)

    place = nullcontext() if cluster is None else connected(cluster, default_jobs())
    with place as found:
        write_csv_parts(counted(status_by_parts(source, day, found)), out)
    lifts, seconds = sum(counts.values()), time.perf_counter() - started
    each = ", ".join(
        f"{counts[state]:,} {state}"
        for state in sorted(counts, key=counts.__getitem__, reverse=True)
    )
    click.echo(f"{out}: {lifts:,} lifts at {day}; {each} ({lifts / seconds:,.0f} lifts a second)")
