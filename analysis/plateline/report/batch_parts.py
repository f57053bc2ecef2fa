"""A batch's work in parts: computed here or on a cluster, and handed to whoever makes pages."""

from __future__ import annotations

import importlib
from collections.abc import Generator, Iterator
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from threading import Lock
from typing import TYPE_CHECKING

from plateline.errors import NoResultError
from plateline.report.parts import compute_part, part_sizes
from plateline.report.run_crew import Crew, Finished

if TYPE_CHECKING:
    from plateline.report.batch_plan import Plan
    from plateline.report.cluster import Cluster
    from plateline.report.parts import Source
    from plateline.report.results import Results, Shared
    from plateline.report.run_tasks import ReportTask

__all__ = ["Parts"]

FIRST_PART, LARGEST_PART, GROWTH = 1, 256, 4
"""Clients computed at once: one first, so that the first page is soon there; then ever more, up to
what keeps memory small, because each part costs half a second, but no more at a time than are
computed while the workers are busy with those before."""

_ON_THREADS = (
    "plateline.report.compute",
    "plateline.report.index",
    "scipy.special",
    "polars._utils.parquet",
)
"""What is first needed on the thread that computes parts beside the crew's work."""


@dataclass
class Parts:
    """Has the reports made part by part, and keeps of each part's results what the index shows.

    Attributes
    ----------
    plan, source, shared
        Who gets a report, of what log, and what the parts have to know of the whole.
    work
        This run's own folder.
    shown
        The results, of each part that is done, that the index shows.
    """

    plan: Plan
    source: Source
    shared: Shared
    work: Path
    shown: list[Results] = field(default_factory=list)
    _saving: Lock = field(default_factory=Lock)
    _is_over: bool = False

    def made_by(self, makers: Crew | Cluster) -> Generator[Finished]:
        """Have the reports made, and yield each as soon as it is known how it came out."""
        if isinstance(makers, Crew):
            _import_for_threads()
            try:
                yield from makers.make(self._tasks())
            finally:
                with self._saving:
                    self._is_over = True
            return
        from plateline.report.cluster_reports import make_on_cluster

        tasks = [self.plan.task(client, self.work) for client in self.plan.trained]
        for made in make_on_cluster(
            makers, self.source, self.shared, self.plan.month, tasks,
            ships_with_kit=self.plan.request.source is None,
        ):  # fmt: skip
            self.shown.append(made.shown)
            yield from made.finished

    def _tasks(self) -> Iterator[ReportTask]:
        """Yield the tasks of all clients, each after its results are saved."""
        from plateline.report.index import for_index

        left, size = list(self.plan.trained), FIRST_PART
        while left:
            chosen = next(part_sizes(left, size, self.source.sets))
            left = left[len(chosen) :]
            size = min(size * GROWTH, LARGEST_PART)
            results = compute_part(self.source.part(chosen), self.shared, self.plan.month)
            with self._saving:
                if self._is_over:  # the batch was stopped, and its folder goes
                    return
                _save(results, self.work / "results")
            self.shown.append(for_index(results))
            for client in chosen:
                yield self.plan.task(client, self.work)


def _save(results: Results, folder: Path) -> None:
    from polars.exceptions import PolarsError

    try:
        results.save(folder)
    except (OSError, PolarsError) as error:
        raise NoResultError(
            f"What was computed cannot be kept in the temporary folder {folder.parent} ({error}); "
            "make room there, or name another folder in TMPDIR."
        ) from None


def _import_for_threads() -> None:
    """Import, on this thread, what the one that computes would otherwise import.

    Python locks each module while it is imported. Two threads that import a package and one of
    its modules can each hold what the other waits for, which ends in an error or not at all.
    """
    for name in _ON_THREADS:
        with suppress(ImportError):  # one of them is Polars' own affair
            importlib.import_module(name)
