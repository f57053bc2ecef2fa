"""`plateline intake`: read logs and account for every row."""

from __future__ import annotations

from pathlib import Path

import click

from plateline.cli.options import logbook_options, logs_argument, out_folder

__all__ = ["command"]


@click.command(
    "intake",
    epilog="Example:  plateline intake march.csv april.csv --client anna --out intake",
)
@logs_argument(required=True)
@logbook_options
@out_folder()
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
) -> None:
    """Read training logs and account for every row.

    Writes sets.parquet, sets.csv, rejected.csv and intake.json into the folder --out.
    """
    from plateline.log import read_clients, read_intake, write_intake

    client_units = {}
    if clients is not None:
        table = read_clients(clients)
        client_units = {
            c: u for c, u in zip(table["client"], table["unit"], strict=True) if u is not None
        }
    intake = read_intake(
        logs, client=client, columns=columns, unit=unit, date_order=date_order,
        client_units=client_units,
    )  # fmt: skip
    write_intake(intake, out)
    account = intake.account
    click.echo(
        f"{account['rows']} rows: {account['accepted']} accepted, {account['rejected']} rejected, "
        f"{account['duplicates']} duplicates, {account['blank']} blank. "
        f"{account['sets']} sets in {out / 'sets.parquet'}."
    )
