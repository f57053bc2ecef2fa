"""The page of all clients: who needs a decision first, and why."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from markupsafe import Markup

from plateline.report.months import month_name
from plateline.report.results import Results

__all__ = ["ClientRun", "build_index"]


@dataclass(frozen=True)
class ClientRun:
    """How one client's report came out.

    Attributes
    ----------
    client
        The client's id.
    page
        The page, relative to the index; None where it could not be made.
    error
        The sentence that says why, where it failed.
    """

    client: str
    page: str | None = None
    error: str | None = None


def build_index(results: Results, runs: Sequence[ClientRun]) -> str:
    """Return the whole index page, one HTML text that loads nothing.

    Parameters
    ----------
    results
        The results of all clients.
    runs
        How each client's report came out; a failed one is a row with its reason.
    """
    rows = Markup("").join(
        Markup('<li><a href="{}">{}</a> {}</li>').format(
            run.page or "", run.client, run.error or ""
        )
        for run in runs
    )
    return str(
        Markup(
            "<!doctype html><html lang=en><title>{0}</title><h1>{0}</h1><ul>{1}</ul></html>"
        ).format(f"Clients, {month_name(results.month)}", rows)
    )


def write_index(results: Results, runs: Sequence[ClientRun], path: Path) -> None:
    """Write the index page aside, then put it in place."""
    aside = path.with_name(path.name + ".part")
    aside.write_text(build_index(results, runs), encoding="utf-8")
    aside.replace(path)
