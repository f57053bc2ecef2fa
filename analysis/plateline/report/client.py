"""One client's month as one object: a method a cell, each with its sentence."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import polars as pl

from plateline.errors import UsageError
from plateline.report.blocks import Block, Gallery, paragraphs
from plateline.report.months import month_end, previous_month
from plateline.report.numbers import Units
from plateline.report.opening import opening_block
from plateline.report.results import Results, compute_results, is_results_folder
from plateline.report.tables_lifts import accessory_table, lift_table, records_table
from plateline.words import Role

if TYPE_CHECKING:
    from plateline.charts import Figure
    from plateline.exercises import Logbook

__all__ = ["ClientReport", "client_report"]


class ClientReport:
    """The month of one client. Make one with :func:`client_report`.

    Every method returns something a notebook cell shows: a `Block` (sentences and tables), or
    a `Gallery` (figures one below the other). All of them have a defined result when the log
    is short or something was never logged.
    """

    def __init__(self, results: Results, client: str, note: str = "") -> None:
        self.results = results.of(client)
        self.client = client
        self.month = results.month
        self.note = note
        self.facts = self._frame("clients").row(0, named=True)
        self.units = Units(self.facts["unit"] or "kg", self.facts["load_step_kg"])
        self.last_day = month_end(self.month)

    def _frame(self, name: str) -> pl.DataFrame:
        return self.results.frames[name]

    def _lifts(self, role: Role) -> list[dict[str, Any]]:
        return self._frame("lifts").filter(role=role.value).to_dicts()

    # What a cell shows, in the order of the page ------------------------------------------

    def opening(self) -> Block:
        """Title, the coach's note, three sentences on the month, and what needs a decision."""
        return opening_block(
            self.facts,
            self._frame("lifts").to_dicts(),
            self.month,
            self.units,
            note=self.note,
            in_the_way="",
            decision="",
            urgency="carry on",
        )

    def lifts(self) -> Block:
        """Show the lifts, most in need of attention first, and the month's records."""
        lifts = [row for row in self._lifts(Role.PROGRESSION) if self._is_current(row)]
        names = {row["exercise"] for row in lifts}
        records = [row for row in self._frame("records").to_dicts() if row["exercise"] in names]
        return (
            lift_table(lifts, self._frame("curves"), self.units, self.last_day)
            + accessory_table(self._frame("accessories").to_dicts(), self.units)
            + records_table(records, self.units)
        )

    def _is_current(self, row: dict[str, Any]) -> bool:
        return row["last_date"] >= previous_month(self.month)

    def trends(self) -> Gallery:
        """The trend of each progression lift, then accessory work by reps and volume."""
        return Gallery([])

    def work(self) -> Gallery:
        """Where the work landed: hard sets a muscle against plan, positions, zones, effort."""
        return Gallery([])

    def fatigue(self) -> Gallery:
        """Fatigue, readiness, and body mass against the phase's aim."""
        return Gallery([])

    def plan(self) -> Block:
        """Plan against done."""
        return paragraphs([])

    def next_month(self) -> Block:
        """Loads per prescription, levers for stuck lifts in order, what to leave alone."""
        return paragraphs([])

    def data_notes(self) -> Block:
        """Rejected rows, assumptions, doubts, what was not logged, how often we were right."""
        return paragraphs([])

    def methods(self) -> Block:
        """Methods in one paragraph with sources, and cautions."""
        return paragraphs([])

    # What is written next to the page ------------------------------------------------------

    def tables(self) -> dict[str, pl.DataFrame]:
        """Return every table of the page as a frame, by a file name without ending."""
        return {name: frame for name, frame in self.results.frames.items()}

    def figures(self) -> dict[str, Figure]:
        """Return every chart of the page, by a file name without ending."""
        return {}


def client_report(
    source: Logbook | Results | Path | str | Sequence[Path | str] | None = None,
    client: str | None = None,
    month: dt.date | str | None = None,
    *,
    note: str = "",
) -> ClientReport:
    """Return one client's report for a month.

    Parameters
    ----------
    source
        A logbook folder or log files, a `Logbook`, a `Results`, or a folder written by
        `Results.save`; left out, the demo logbook.
    client
        The client's id, as text; may be left out where the log has one client only.
    month
        Any day of the month, or text like `2026-03`; left out, the log's last full month.
        Saved results know their month.
    note
        The coach's own words, shown at the top as plain paragraphs.

    Raises
    ------
    UsageError
        When there are several clients and none is named, or the client does not exist.
    NoResultError
        When there is nothing to report.
    """
    results = _results(source, client, month)
    chosen = str(client) if client not in (None, "") else None
    if chosen is None:
        if len(results.clients) > 1:
            shown = ", ".join(repr(name) for name in results.clients[:8])
            raise UsageError(f"The log has {len(results.clients)} clients; name one of {shown}.")
        chosen = results.clients[0]
    return ClientReport(results, chosen, note)


def _results(
    source: Logbook | Results | Path | str | Sequence[Path | str] | None,
    client: str | None,
    month: dt.date | str | None,
) -> Results:
    if isinstance(source, Results):
        return source
    if source is None or isinstance(source, (str, Path)) or isinstance(source, Sequence):
        paths = _paths(source)
        if client and len(paths) == 1 and is_results_folder(paths[0]):
            return Results.load(paths[0], str(client))
        from plateline.exercises import read_logbook

        source = read_logbook(paths)
    return compute_results(source, month)


def _paths(source: Path | str | Sequence[Path | str] | None) -> list[Path]:
    if source is None or source == "":
        from plateline.places import data_demo

        return [data_demo()]
    if isinstance(source, (str, Path)):
        return [Path(source)]
    return [Path(item) for item in source]
