"""A worker process as its crew sees it: the line to it, and the task that it is at."""

from __future__ import annotations

import time
from dataclasses import dataclass
from multiprocessing import connection
from multiprocessing.process import BaseProcess

from plateline.report.run_tasks import ReportTask, TaskResult

__all__ = ["GRACE_S", "START_S", "Finished", "Hand", "Work"]

GRACE_S = 10
"""Beyond the time limit, in which a worker ends itself and says where it hung."""

START_S = 120
"""How long a worker may take to start on a busy machine."""


@dataclass(frozen=True)
class Finished:
    """How one report came out: what was written, or why not, and where the time went."""

    task: ReportTask
    refusal: str | None
    written: tuple[str, ...] = ()
    notebook_s: float = 0.0
    page_s: float = 0.0
    tries: int = 1


@dataclass
class Work:
    """A task under way."""

    task: ReportTask
    tries: int = 1
    notebook_s: float = 0.0

    def finished(
        self, refusal: str | None, written: tuple[str, ...] = (), page_s: float = 0.0
    ) -> Finished:
        """Return how it came out."""
        return Finished(self.task, refusal, written, self.notebook_s, page_s, self.tries)


class Hand:
    """A worker process, the line to it, and what it is at."""

    def __init__(self, process: BaseProcess, line: connection.Connection) -> None:
        self.process = process
        self.line = line
        self.work: Work | None = None
        self._since = 0.0

    def take(self, work: Work) -> None:
        """Note the task that it is given, and when."""
        self.work, self._since = work, time.monotonic()

    def at_work(self) -> Work:
        """Return the task it is at."""
        if self.work is None:
            raise RuntimeError("A worker answered that had no task.")
        return self.work

    def overdue(self) -> bool:
        """Tell whether it took too long and did not end itself."""
        limit = self.work.task.timeout_s + GRACE_S if self.work else float("inf")
        return time.monotonic() - self._since > limit

    def answer(self) -> TaskResult | None:
        """Return what the worker said; None where it ended without a word."""
        try:
            return self.line.recv() if self.line.poll() else None
        except (EOFError, OSError):
            return None

    def is_sound(self) -> bool:
        """Wait until a fresh sealing worker says whether it can be used."""
        try:
            return self.line.poll(START_S) and self.line.recv()
        except (EOFError, OSError):
            return False

    def dismiss(self) -> None:
        """End it, whatever it is at.

        The process object is not closed: where the interpreter ends, it asks after the workers
        on another thread, and may not be told that one is closed.
        """
        self.line.close()
        self.process.kill()
        self.process.join()
