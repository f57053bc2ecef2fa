"""`plateline study`: rep range against progress, over many lifters."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from plateline.cli.options import cluster_option, logbook_options, logs_argument, out_folder
from plateline.errors import UsageError

__all__ = ["command"]


@click.command(
    name="study",
    epilog="Example:  plateline study club --out study",
)
@logs_argument(required=False)
@logbook_options
@out_folder("study")
@click.option(
    "--blocks", type=click.Choice(["rep range", "plan", "weeks"]), default="rep range",
    show_default=True, help="What makes a block of training.",
)  # fmt: skip
@click.option(
    "--block-weeks", type=float, default=8.0, show_default=True,
    help="Length of a block, where blocks are by weeks.",
)  # fmt: skip
@click.option(
    "--pseudonymous", is_flag=True,
    help="Replace client ids by keyed hashes, drop names and notes, shift dates.",
)  # fmt: skip
@click.option(
    "--key", type=click.Path(path_type=Path, dir_okay=False),
    help="A file with a secret key for --pseudonymous; left out, a fresh one that is not kept.",
)  # fmt: skip
@cluster_option
def command(
    logs: tuple[Path, ...], out: Path, blocks: Any, block_weeks: float, pseudonymous: bool,
    key: Path | None, cluster: str | None, **reading: Any,
) -> None:  # fmt: skip
    """Study how the rate of progress goes with the rep range a lift was trained in.

    Writes study.html (the page), study.ipynb, effects.csv (every effect of every model) and
    blocks.csv (one row per lifter, lift and block). With no LOG, the demo club is studied:
    eight lifters, far too few for an answer, and the page says so.
    """
    if key is not None and not pseudonymous:
        raise UsageError("--key is for --pseudonymous; give both, or neither.")
    from plateline.report.study_files import write_study
    from plateline.study.pseudonyms import read_key

    study = write_study(
        logs, out, by=blocks, weeks=block_weeks,
        key=read_key(key) if pseudonymous else None, reading=reading, cluster=cluster,
    )  # fmt: skip
    facts = study.facts
    click.echo(
        f"{facts['used_lifters']:,} lifters, {facts['used_blocks']:,} blocks, "
        f"{study.effects.height} effects: open {out / 'study.html'}"
    )
