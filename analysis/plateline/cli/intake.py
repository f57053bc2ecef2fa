"""`plateline intake`: read logs and account for every row."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import TYPE_CHECKING

import click

from plateline.cli.options import logbook_options, logs_argument, out_folder

if TYPE_CHECKING:
    import polars as pl

    from plateline.log import Intake

__all__ = ["command"]


@click.command(
    "intake",
    epilog="Example:  plateline intake march.csv april.csv --client anna --out intake",
)
@logs_argument(required=True)
@logbook_options
@out_folder()
@click.option(
    "--into",
    type=click.Path(path_type=Path, file_okay=False),
    help="Add the sets to this logbook too: a folder of Parquet files by client.",
)
@click.option(
    "--save-columns",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Write what the headers were recognised as, as a file for --columns.",
)
def command(
    logs: tuple[Path, ...],
    client: str | None,
    clients: Path | None,
    checkins: Path | None,
    plan: Path | None,
    exercises: Path | None,
    columns: Path | None,
    unit: str | None,
    date_order: str | None,
    out: Path,
    into: Path | None,
    save_columns: Path | None,
) -> None:
    """Read training logs and account for every row.

    Writes sets.parquet, sets.csv, rejected.csv, exercises.csv and intake.json into the folder
    --out. Text that a spreadsheet would run as a formula is written with an apostrophe in the
    CSV files.
    """
    import plateline.exercises  # noqa: F401  here, not on the thread that makes the catalogue
    from plateline.log import read_checkins, read_intake, read_plan, write_columns, write_intake

    beside: list[pl.DataFrame] = []
    units = _client_units(logs, clients, beside)
    with ThreadPoolExecutor(1) as aside:
        # The catalogue is made ready while the log is read.
        catalogue = aside.submit(_catalogue, _own_exercises(logs, exercises))
        intake = read_intake(
            logs, client=client, columns=columns, unit=unit, date_order=date_order,
            client_units=units,
        )  # fmt: skip
    if checkins is not None:
        read_checkins(
            checkins, client=client, unit=unit, client_units=units, date_order=date_order,
            rejected=beside,
        )  # fmt: skip
    planned = None if plan is None else read_plan(plan, date_order=date_order, rejected=beside)
    if save_columns is not None:
        write_columns(intake, save_columns)
    labelled, names = _labelled(intake, planned, catalogue.result())
    written = write_intake(labelled, out, names)
    _report(labelled, written[0].parent)
    _report_beside(beside)
    if not intake.sets.height:
        from plateline.errors import NoResultError

        raise NoResultError(f"No row could be read; {out / 'rejected.csv'} says why, row by row.")
    if into is not None:
        from plateline.log import add_to_logbook

        added = add_to_logbook(intake, into)
        click.echo(
            f"Logbook {into}: {added.sets:,} sets added, {added.already_there:,} were there."
        )


def _client_units(
    logs: tuple[Path, ...], clients: Path | None, rejected: list[pl.DataFrame]
) -> dict[str, str]:
    """Return the unit of each client, from --clients or the logbook folder's own file."""
    from plateline.log import read_clients

    files = [clients] if clients is not None else [p / "clients.csv" for p in logs]
    units: dict[str, str] = {}
    for path in files:
        if path == clients or path.is_file():
            frame = read_clients(path, rejected=rejected)
            units |= {
                c: u for c, u in zip(frame["client"], frame["unit"], strict=True) if u is not None
            }
    return units


def _own_exercises(logs: tuple[Path, ...], exercises: Path | None) -> Path | None:
    """Return the user's own exercises file: the one named, else a logbook folder's."""
    beside = [p / "exercises.csv" for p in logs if (p / "exercises.csv").is_file()]
    return exercises or next(iter(beside), None)


def _catalogue(exercises: Path | None) -> pl.DataFrame:
    """Load the catalogue and make it ready for names."""
    from plateline.exercises import load_catalogue, match_names

    catalogue = load_catalogue(exercises)
    match_names([], catalogue)
    return catalogue


def _labelled(
    intake: Intake, planned: pl.DataFrame | None, catalogue: pl.DataFrame
) -> tuple[Intake, pl.DataFrame]:
    """Name every lift by its client's own most usual spelling, and list all names."""
    from dataclasses import replace

    import polars as pl

    from plateline.exercises.names import label_names, relabel
    from plateline.exercises.reading import written_names
    from plateline.words import PLAN

    plan = pl.DataFrame(schema=dict(PLAN)) if planned is None else planned
    names = label_names(written_names(intake.sets, plan), catalogue)
    sets = relabel(intake.sets, names).select(intake.sets.columns)
    return replace(intake, sets=sets), names


def _report(intake: Intake, folder: Path) -> None:
    account = intake.account
    click.echo(
        f"{account['rows']:,} rows: {account['accepted']:,} accepted, {account['rejected']:,} "
        f"rejected, {account['duplicates']:,} duplicates, {account['blank']:,} blank; "
        f"{account['sets']:,} sets in {folder / 'sets.parquet'}."
    )
    if account["rejected"]:
        click.echo(f"Why rows were rejected: {folder / 'rejected.csv'}.")
    assumptions = account["assumptions"]
    if isinstance(assumptions, list) and assumptions:
        click.echo("Taken for granted:")
        for sentence in assumptions[:20]:
            click.echo(f"  {sentence}")
        if len(assumptions) > 20:
            click.echo(f"  and {len(assumptions) - 20} more in {folder / 'intake.json'}.")


def _report_beside(rejected: list[pl.DataFrame]) -> None:
    """Say which rows of the files beside the log could not be read."""
    rows = [row for frame in rejected for row in frame.iter_rows(named=True)]
    for row in rows[:20]:
        click.echo(
            f"{row['source_file']}, line {row['source_line']}, {row['column']}: {row['reason']}",
            err=True,
        )
    if len(rows) > 20:
        click.echo(f"{len(rows) - 20} more rows beside the log could not be read.", err=True)
