"""The option that names a cluster, with one wording for every command that takes it."""

from __future__ import annotations

import click

__all__ = ["cluster_option"]

cluster_option = click.option(
    "--cluster",
    metavar="ADDRESS|local",
    help="Work on a Dask cluster: its scheduler's address, or local to start one here.",
)
