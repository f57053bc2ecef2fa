"""A batch of reports: read and compute once, then one notebook and one page for each client.

The calling process reads the log and computes what all clients share, while the workers that
will run and seal notebooks get ready beside it. A report that fails becomes a page that says
why, and the batch goes on. Whatever is written is put in place whole.
"""

from __future__ import annotations

import datetime as dt
import tempfile
import time
from collections.abc import Callable, Mapping
from contextlib import ExitStack, closing, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from plateline.report import batch_outcomes
from plateline.report.batch_outcomes import ClientOutcome
from plateline.report.batch_request import Request, default_jobs
from plateline.report.run_crew import Crew
from plateline.report.run_record import check_output_folder, write_record, write_whole

if TYPE_CHECKING:
    from plateline.report.batch_parts import Parts
    from plateline.report.batch_plan import Plan
    from plateline.report.cluster import Cluster

__all__ = ["Batch", "ClientOutcome", "Request", "default_jobs", "make_reports"]

Progress = Callable[[int, "ClientOutcome | None"], None]


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
    try:
        check_output_folder(request.out)
        return _made(request, progress or (lambda _count, _outcome: None))
    except BaseException:
        if is_new:
            with suppress(OSError):  # unless something was written
                request.out.rmdir()
        raise


def _made(request: Request, tell: Progress) -> Batch:
    clock = _Clock()
    with ExitStack() as stack:
        work = Path(stack.enter_context(tempfile.TemporaryDirectory(prefix="plateline-")))
        # Before anything is imported here: the workers' parent imports meanwhile.
        makers = _makers(request, work, stack)
        import polars as pl

        from plateline.report.batch_parts import Parts
        from plateline.report.batch_plan import Plan
        from plateline.report.parts import open_source
        from plateline.report.results import last_full_month

        source = open_source(request.sources, dict(request.reading))
        days = pl.DataFrame({"date": [source.first_day, source.last_day]})
        month = request.month or last_full_month(days)
        plan = Plan.of(request, source, month)
        parts = Parts(plan, source, source.shared(month), work)
        outcomes = _outcomes(plan, parts, makers, clock, tell)
    ordered = tuple(outcomes[client] for client in sorted(outcomes))
    first = ordered[0].page if request.one else "index.html"
    remarks = tuple(
        f"There is a note for {client!r}, but no such client; it is not used."
        for client in sorted(request.notes.keys() - plan.stems.keys())
    )
    batch = Batch(month, ordered, request.out / str(first), remarks)
    if not request.one:
        from plateline.report.batch_record import record

        _write_index(plan, parts, batch)
        write_record(request.out / "run.json", record(plan, source, batch, clock.timing()))
    return batch


def _outcomes(
    plan: Plan, parts: Parts, makers: Crew | Cluster, clock: _Clock, tell: Progress
) -> dict[str, ClientOutcome]:
    """Make every report, and tell of each as it is done."""
    count = len(plan.trained) + len(plan.silent)
    tell(count, None)
    outcomes = {}
    for client, reason in plan.silent.items():
        outcomes[client] = batch_outcomes.silent(plan, client, reason)
        tell(count, outcomes[client])
    with closing(parts.made_by(makers)) as made:
        for finished in made:
            outcome = batch_outcomes.made(plan, finished)
            outcomes[outcome.client] = outcome
            clock.first_page()
            tell(count, outcome)
    return outcomes


class _Clock:
    """When a batch began, and how long it took until its first page and its end."""

    def __init__(self) -> None:
        self._started, self._clock = dt.datetime.now(dt.UTC), time.perf_counter()
        self._first_page_s = 0.0

    def first_page(self) -> None:
        """Note that a page is there."""
        self._first_page_s = self._first_page_s or time.perf_counter() - self._clock

    def timing(self) -> Mapping[str, object]:
        """Return what the record tells of time."""
        return {
            "started": self._started,
            "seconds": round(time.perf_counter() - self._clock, 3),
            "first_page_s": round(self._first_page_s, 3),
        }


def _makers(request: Request, work: Path, stack: ExitStack) -> Crew | Cluster:
    """Start the crew of this machine, or connect to the cluster, until the stack unwinds."""
    if request.cluster is None:
        return stack.enter_context(Crew(request.jobs, work))
    from plateline.report.cluster import connected

    return stack.enter_context(connected(request.cluster, request.jobs))


def _write_index(plan: Plan, parts: Parts, batch: Batch) -> None:
    from plateline.report.index import ClientRun, build_index
    from plateline.report.results import Results

    runs = [ClientRun(outcome.client, outcome.page, outcome.reason) for outcome in batch.outcomes]
    text = build_index(Results.merged(parts.shown, parts.shared), runs)
    write_whole(plan.request.out / "index.html", text)
