"""`plateline demo`: write the demo logbook again."""

from __future__ import annotations

from pathlib import Path

import click

from plateline.cli.options import out_folder

__all__ = ["command"]


@click.command("demo", epilog="Example:  plateline demo --out my_demo")
@out_folder()
def command(out: Path) -> None:
    """Write the demo logbook again, byte for byte.

    Eight invented clients over nine months: log.csv, clients.csv, checkins.csv and
    plan.csv, and truth.csv with what is true of them.
    """
    from plateline.demo import write_demo

    for path in write_demo(out):
        click.echo(f"{path}  {path.stat().st_size:,} bytes")
