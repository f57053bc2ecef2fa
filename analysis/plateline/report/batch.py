"""A batch of reports: read and compute once, then one notebook and one page for each client.

The calling process reads the log and computes what all clients share, while the workers that
will run and seal notebooks get ready beside it. A report that fails becomes a page that says
why, and the batch goes on. Whatever is written is put in place whole.
"""

from __future__ import annotations

import datetime as dt
import os
import tempfile
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import ExitStack, suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from plateline.errors import PlatelineError, UnknownNameError, UsageError
from plateline.places import data_demo, notebook
from plateline.report.paths import page_stems
from plateline.report.run_crew import Crew, Finished
from plateline.report.run_record import (
    check_output_folder,
    input_digests,
    versions,
    write_record,
    write_whole,
)
from plateline.report.run_tasks import ReportTask

if TYPE_CHECKING:
    from plateline.exercises import Logbook
    from plateline.report.cluster import Cluster
    from plateline.report.results import Results, Shared

__all__ = ["Batch", "ClientOutcome", "Request", "default_jobs", "make_reports"]

Progress = Callable[[int, "ClientOutcome | None"], None]


@dataclass(frozen=True)
class Request:
    """What is asked for; `make_reports` does it.

    Attributes
    ----------
    logs, reading
        What `read_logbook` takes: the sources (none: the demo logbook), and its options.
    out
        The folder to write into.
    month
        First day of the month; None for the last full month of the log.
    one
        Whether one client's report is asked for; otherwise every client's, and an index.
    client
        That client; may be None where the log has one only.
    note, notes
        A coach's own words: for that client, or by client.
    jobs
        Workers that are busy at once.
    cluster
        The address of a Dask scheduler, or `local`; None for this machine alone.
    pdf, files
        Whether to print each page, and to write its tables and charts beside it.
    source
        The notebook to run; None for the one that ships.
    """

    logs: Sequence[Path]
    out: Path
    reading: Mapping[str, Any] = field(default_factory=dict)
    month: dt.date | None = None
    one: bool = False
    client: str | None = None
    note: str = ""
    notes: Mapping[str, str] = field(default_factory=dict)
    jobs: int = 1
    cluster: str | None = None
    pdf: bool = False
    files: bool = False
    source: Path | None = None

    @property
    def sources(self) -> list[Path]:
        """The logs, or the demo logbook where none is given."""
        return list(self.logs) or [data_demo()]


@dataclass(frozen=True)
class ClientOutcome:
    """How one client's report came out; `reason` is None where it went well.

    `outcome` is `done`, `no data` (nothing was logged in that month, and the page says so) or
    `failed`; `written` are names in the output folder, the page first.
    """

    client: str
    outcome: str
    reason: str | None = None
    written: tuple[str, ...] = ()
    notebook_s: float = 0.0
    page_s: float = 0.0
    tries: int = 0

    @property
    def page(self) -> str | None:
        """The name of the page."""
        return self.written[0] if self.written else None


@dataclass(frozen=True)
class Batch:
    """How a batch came out: its month, every client's outcome, and the file to open.

    `remarks` are sentences on what was asked for and could not be used.
    """

    month: dt.date
    outcomes: tuple[ClientOutcome, ...]
    open_first: Path
    remarks: tuple[str, ...] = ()

    @property
    def failed(self) -> list[ClientOutcome]:
        """The clients whose report could not be made."""
        return [outcome for outcome in self.outcomes if outcome.outcome == "failed"]


def default_jobs() -> int:
    """Return how many workers this process may keep busy."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def make_reports(request: Request, progress: Progress | None = None) -> Batch:
    """Make one client's report, or every client's with an index of them.

    Parameters
    ----------
    request
        What is asked for.
    progress
        Called with the number of reports and None once that is known, then with the number
        and the outcome whenever a report is done.

    Raises
    ------
    UsageError
        When the log, the client, the month or the output folder is not there; nothing is
        written then.
    """
    is_new = not request.out.exists()
    check_output_folder(request.out)
    try:
        return _made(request, progress or (lambda _count, _outcome: None))
    except PlatelineError:
        if is_new:
            with suppress(OSError):  # unless something was written
                request.out.rmdir()
        raise


def _made(request: Request, tell: Progress) -> Batch:
    started, clock = dt.datetime.now(dt.UTC), time.perf_counter()
    from plateline.exercises import read_logbook
    from plateline.report.results import Results, last_full_month, learn_shared

    with ExitStack() as stack:
        work = Path(stack.enter_context(tempfile.TemporaryDirectory(prefix="plateline-")))
        makers = _makers(request, work, stack)
        logbook = read_logbook(request.sources, **request.reading)
        month = request.month or last_full_month(logbook.sets)
        plan = _Plan.of(request, logbook, month)
        computing = _Computing(plan, logbook, learn_shared(logbook, month), work)
        first_page_s = 0.0
        count = len(plan.trained) + len(plan.silent)
        tell(count, None)
        outcomes = {}
        for client, reason in plan.silent.items():
            outcomes[client] = _silent(plan, client, reason)
            tell(count, outcomes[client])
        for finished in computing.made_by(makers):
            outcome = _settled(plan, finished)
            outcomes[outcome.client] = outcome
            first_page_s = first_page_s or time.perf_counter() - clock
            tell(count, outcome)
    ordered = tuple(outcomes[client] for client in sorted(outcomes))
    first = ordered[0].page if request.one else "index.html"
    remarks = tuple(
        f"There is a note for {client!r}, but no such client; it is not used."
        for client in sorted(request.notes.keys() - plan.stems.keys())
    )
    batch = Batch(month, ordered, request.out / str(first), remarks)
    if not request.one:
        _write_index(request, Results.merged(computing.parts, computing.shared), ordered)
        timing = {
            "started": started,
            "seconds": round(time.perf_counter() - clock, 3),
            "first_page_s": round(first_page_s, 3),
        }
        write_record(request.out / "run.json", _record(request, logbook, batch, timing))
    return batch


def _makers(request: Request, work: Path, stack: ExitStack) -> Crew | Cluster:
    """Start the crew of this machine, or connect to the cluster, until the stack unwinds."""
    if request.cluster is None:
        return stack.enter_context(Crew(request.jobs, work))
    from plateline.report.cluster import connected

    return stack.enter_context(connected(request.cluster, request.jobs))


FIRST_PART, LARGEST_PART, GROWTH = 1, 256, 16
"""Clients computed at once: so many for each worker first, so that the first pages are soon
there; then ever more, up to what keeps memory small, because each part costs half a second."""


@dataclass
class _Computing:
    """Computes the clients' results part by part, and gives out their tasks as it goes."""

    plan: _Plan
    logbook: Logbook
    shared: Shared
    work: Path
    parts: list[Results] = field(default_factory=list)

    def made_by(self, makers: Crew | Cluster) -> Iterator[Finished]:
        """Have the reports made, and yield each as soon as it is known how it came out."""
        if isinstance(makers, Crew):
            yield from makers.make(self.tasks())
            return
        from plateline.report.cluster_reports import make_on_cluster

        tasks = [self.plan.task(client, self.work) for client in self.plan.trained]
        for made in make_on_cluster(
            makers, self.logbook, self.shared, self.plan.month, tasks,
            ships_with_kit=self.plan.request.source is None,
        ):  # fmt: skip
            self.parts.append(made.results)
            yield from made.finished

    def tasks(self) -> Iterator[ReportTask]:
        """Yield the tasks of all clients, each after its results are saved."""
        from plateline.report.results import compute_results, logbook_of

        left, size = list(self.plan.trained), FIRST_PART * self.plan.request.jobs
        while left:
            chosen, left = left[:size], left[size:]
            size = min(size * GROWTH, LARGEST_PART)
            part = logbook_of(self.logbook, chosen)
            results = compute_results(part, self.plan.month, shared=self.shared)
            results.save(self.work / "results")
            self.parts.append(results)
            for client in chosen:
                yield self.plan.task(client, self.work)


@dataclass(frozen=True)
class _Plan:
    """Who gets a report and who a page that says why not, and under which names."""

    request: Request
    month: dt.date
    stems: Mapping[str, str]
    names: Mapping[str, str]
    trained: Sequence[str]
    silent: Mapping[str, str]

    @classmethod
    def of(cls, request: Request, logbook: Logbook, first: dt.date) -> _Plan:
        """Look who trained in the month.

        Raises
        ------
        UnknownNameError
            When the client asked for is in neither the log nor the clients file.
        UsageError
            When nobody (or not the client asked for) logged a set in the month.
        """
        from plateline.report.months import month_end, month_name

        spans = {
            client: (begin, end, count)
            for client, begin, end, count in _spans(logbook, first, month_end(first))
        }
        known = sorted({*spans, *logbook.clients["client"].to_list()})
        silent = {
            client: _why_silent(spans.get(client), month_name(first))
            for client in known
            if client not in spans or not spans[client][2]
        }
        if request.one:
            chosen = _the_one(request.client, known)
            if chosen in silent:
                raise UsageError(f"Client {chosen!r}: {silent[chosen]}")
            known, silent = [chosen], {}
        elif len(silent) == len(known):
            dates = logbook.sets["date"]
            raise UsageError(
                f"Nobody logged a set in {month_name(first)}; the log runs from "
                f"{dates.min()} to {dates.max()}."
            )
        names = dict(logbook.clients.select("client", "name").iter_rows())
        return cls(
            request=request,
            month=first,
            stems=page_stems({*spans, *logbook.clients["client"].to_list()}, first),
            names={client: names.get(client) or client for client in known},
            trained=[client for client in known if client not in silent],
            silent=silent,
        )

    def title(self, client: str) -> str:
        """Return the title of a client's page."""
        from plateline.report.months import month_name

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


def _spans(logbook: Logbook, first: dt.date, last: dt.date) -> list[tuple[Any, ...]]:
    """Return client, first and last date, and the number of sets in the month."""
    import polars as pl

    date = pl.col("date")
    spans = logbook.sets.group_by("client").agg(
        date.min().alias("begin"), date.max().alias("end"), date.is_between(first, last).sum()
    )
    return spans.rows()


def _why_silent(span: tuple[Any, ...] | None, month: str) -> str:
    if span is None:
        return "The log has no set of this client."
    return f"No set was logged in {month}; the log runs from {span[0]} to {span[1]}."


def _as_seen_from(out: Path, sources: Sequence[Path]) -> str | list[str]:
    """Return the log as the executed notebook finds it: by a path from its own folder."""
    seen = []
    for path in sources:
        try:
            seen.append(Path(os.path.relpath(path.resolve(), out.resolve())).as_posix())
        except ValueError:  # another drive
            seen.append(path.resolve().as_posix())
    return seen[0] if len(seen) == 1 else seen


def _settled(plan: _Plan, finished: Finished) -> ClientOutcome:
    """Return a worker's result as an outcome, with a page that says why where it failed."""
    task = finished.task
    written, reason = finished.written, finished.refusal
    if reason is not None:
        written = (_page_that_says(plan, task.client, f"This report could not be made. {reason}"),)
        if task.executed.exists():
            # As far as it got, with a mark at the cell that failed: for whoever mends it.
            text = task.executed.read_text(encoding="utf-8")
            write_whole(task.product(".ipynb"), text)
            written += (task.product(".ipynb").name,)
    return ClientOutcome(
        client=task.client,
        outcome="done" if reason is None else "failed",
        reason=reason,
        written=written,
        notebook_s=round(finished.notebook_s, 3),
        page_s=round(finished.page_s, 3),
        tries=finished.tries,
    )


def _silent(plan: _Plan, client: str, reason: str) -> ClientOutcome:
    return ClientOutcome(client, "no data", reason, (_page_that_says(plan, client, reason),))


def _page_that_says(plan: _Plan, client: str, sentence: str) -> str:
    """Write a page of one sentence; return its name."""
    from markupsafe import Markup

    from plateline.report.page import page_markup

    section = Markup('<section><p class="pl-caution">{}</p></section>').format(sentence)
    path = plan.request.out / f"{plan.stems[client]}.html"
    write_whole(path, page_markup(title=plan.title(client), sections=[section]))
    return path.name


def _write_index(request: Request, results: Results, outcomes: Sequence[ClientOutcome]) -> None:
    from plateline.report.index import ClientRun, build_index

    runs = [ClientRun(outcome.client, outcome.page, outcome.reason) for outcome in outcomes]
    write_whole(request.out / "index.html", build_index(results, runs))


def _record(
    request: Request, logbook: Logbook, batch: Batch, timing: Mapping[str, Any]
) -> dict[str, Any]:
    """Return what `run.json` holds."""
    reading = {name: value for name, value in request.reading.items() if value is not None}
    return {
        "versions": versions(),
        "parameters": {
            "logs": request.sources,
            "month": f"{batch.month:%Y-%m}",
            **reading,
            "jobs": request.jobs,
            "pdf": request.pdf,
            "files": request.files,
        },
        "inputs": input_digests([*logbook.inputs, *_companions(reading)]),
        "rows": logbook.account,
        "clients": [
            {
                "client": outcome.client,
                "outcome": outcome.outcome,
                "reason": outcome.reason,
                "files": list(outcome.written),
                "tries": outcome.tries,
            }
            for outcome in batch.outcomes
        ],
        "timing": {
            **timing,
            "clients": {
                outcome.client: {"notebook_s": outcome.notebook_s, "page_s": outcome.page_s}
                for outcome in batch.outcomes
            },
        },
    }


def _companions(reading: Mapping[str, Any]) -> list[Path]:
    """Return the files named beside the log; a logbook's own are among its inputs."""
    return [value for value in reading.values() if isinstance(value, Path)]
