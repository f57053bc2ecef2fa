"""Who gets a report and who a page that says why not, and under which names."""

from __future__ import annotations

import datetime as dt
import os
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from plateline.errors import UnknownNameError, UsageError
from plateline.places import notebook
from plateline.report.months import month_name
from plateline.report.numbers import NBSP, day
from plateline.report.paths import page_stems
from plateline.report.run_tasks import ReportTask

if TYPE_CHECKING:
    from plateline.report.batch_request import Request
    from plateline.report.parts import Source, Span

__all__ = ["Plan"]


@dataclass(frozen=True)
class Plan:
    """Who gets a report and who a page that says why not, and under which names.

    Attributes
    ----------
    request, month
        What is asked for, and the first day of the month.
    stems, names
        By client: the name of the page without ending, and the client's own name.
    trained
        The clients who get a report.
    silent
        The clients who logged nothing in the month, with the reason that their page gives.
    spans
        When each client that was looked at trained.
    """

    request: Request
    month: dt.date
    stems: Mapping[str, str]
    names: Mapping[str, str]
    trained: Sequence[str]
    silent: Mapping[str, str]
    spans: Sequence[Span]

    @classmethod
    def of(cls, request: Request, source: Source, month: dt.date) -> Plan:
        """Look who trained in the month.

        Raises
        ------
        UnknownNameError
            When the client asked for is in neither the log nor the clients file.
        UsageError
            When nobody (or not the client asked for) logged a set in the month.
        """
        people = source.beside.clients
        everybody = sorted({*source.clients, *people["client"].to_list()})
        known = [_the_one(request.client, everybody)] if request.one else everybody
        spans = source.spans(month, _logged(source, known))
        seen = {span.client: span for span in spans}
        silent = {
            client: _why_silent(seen.get(client), month)
            for client in known
            if client not in seen or not seen[client].sets_in_month
        }
        if request.one and silent:
            raise UsageError(f"Client {known[0]!r}: {silent[known[0]]}")
        if len(silent) == len(known):
            raise UsageError(
                f"Nobody logged a set in {month_name(month)}; the log "
                f"{_runs(source.first_day, source.last_day)}."
            )
        names = dict(people.select("client", "name").iter_rows())
        return cls(
            request=request,
            month=month,
            stems=page_stems(everybody, month),
            names={client: names.get(client) or client for client in known},
            trained=[client for client in known if client not in silent],
            silent=silent,
            spans=spans,
        )

    def title(self, client: str) -> str:
        """Return the title of a client's page."""
        return f"{self.names[client]}, {month_name(self.month)}"

    def task(self, client: str, work: Path) -> ReportTask:
        """Return what a worker has to know to make a client's report."""
        request, stem = self.request, self.stems[client]
        shared = {
            "client": client,
            "month": f"{self.month:%Y-%m}",
            "note": request.note if request.one else request.notes.get(client, ""),
        }
        return ReportTask(
            client=client,
            title=self.title(client),
            stem=stem,
            notebook=request.source or notebook("client_report"),
            parameters={"logbook": str(work / "results"), **shared},
            shown={"logbook": _as_seen_from(request.out, request.sources), **shared},
            executed=work / f"{stem}.ipynb",
            said=work / f"{stem}.log",
            out=request.out,
            pdf=request.pdf,
            files=request.files,
        )


def _logged(source: Source, known: Collection[str]) -> list[str]:
    """Return those that are in the log itself, not in the clients file only."""
    return [client for client in known if client in source.first_days]


def _the_one(client: str | None, known: Sequence[str]) -> str:
    if client is None:
        if len(known) == 1:
            return known[0]
        shown = ", ".join(repr(name) for name in known[:8])
        more = " and more" if len(known) > 8 else ""
        raise UsageError(
            f"The log has {len(known)} clients; name one with --client: {shown}{more}."
        )
    if client not in known:
        raise UnknownNameError.among("client", client, known)
    return client


def _why_silent(span: Span | None, month: dt.date) -> str:
    if span is None:
        return "The log has no set of this client."
    return f"No set was logged in {month_name(month)}; the log {_runs(span.first, span.last)}."


def _runs(first: dt.date, last: dt.date) -> str:
    """Say from when to when a log runs, with blanks that any terminal can show."""
    if first == last:
        said = f"has no other day than {day(first, year=True)}"
    else:
        said = f"runs from {day(first, year=True)} to {day(last, year=True)}"
    return said.replace(NBSP, " ")


def _as_seen_from(out: Path, sources: Sequence[Path]) -> str | list[str]:
    """Return the log as the executed notebook finds it: by a path from its own folder."""
    seen = []
    for path in sources:
        try:
            seen.append(Path(os.path.relpath(path.resolve(), out.resolve())).as_posix())
        except ValueError:  # another drive
            seen.append(path.resolve().as_posix())
    return seen[0] if len(seen) == 1 else seen
