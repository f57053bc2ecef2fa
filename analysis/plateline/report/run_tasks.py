"""What a worker process does: execute one client's notebook, or seal executed notebooks.

A notebook gets a process of its own that ends with it, so nothing leaks from one client to the
next. Pages are sealed by long-lived workers, because the runtime that draws the static
pictures takes as long to start as a page takes to make; it only ever sees finished notebooks.
"""

from __future__ import annotations

import faulthandler
import os
import shutil
import sys
import time
from contextlib import suppress
from dataclasses import dataclass, field
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

from plateline.errors import PlatelineError, system_said

__all__ = [
    "ENDINGS",
    "REPORT_TIMEOUT_S",
    "ReportTask",
    "TaskResult",
    "discard_asides",
    "make_notebook",
    "put_in_place",
    "seal_pages",
]

REPORT_TIMEOUT_S = 300
"""A report takes about a second; one that takes this long hangs."""

WARM_UP_TIMEOUT_S = 120
"""A sealing worker warms up in half a second, some on a busy machine; after this it hangs."""

KERNEL_CHOICE = "PLATELINE_KERNEL"
"""Environment variable: `ordinary` runs notebooks in an ordinary kernel of their own."""


ENDINGS = (".html", ".pdf", "-files", ".ipynb")
"""What the names of a report's files end with, in the order in which they are put in place."""


@dataclass(frozen=True)
class ReportTask:
    """One client's report: what to run, and where its pieces go.

    `parameters` is what the notebook runs with, `shown` what the executed notebook says;
    `executed` and `said` are this run's own files, the results stand in `out` as `stem`.
    """

    client: str
    title: str
    stem: str
    notebook: Path
    parameters: dict[str, Any]
    shown: dict[str, Any]
    executed: Path
    said: Path
    out: Path
    pdf: bool = False
    files: bool = False
    timeout_s: float = REPORT_TIMEOUT_S

    def product(self, ending: str) -> Path:
        """Return the path of one of the report's files, by its ending."""
        return self.out / f"{self.stem}{ending}"

    def aside(self, ending: str) -> Path:
        """Return the path that one of them has until it is whole, which is this run's own.

        Two runs may write into the same folder at once. The ending stays: tools go by it.
        """
        return self.out / f".part-{self.executed.parent.name}-{self.stem}{ending}"


@dataclass(frozen=True)
class TaskResult:
    """How a worker's part of a report went; `refusal` is None where it went well."""

    seconds: float
    refusal: str | None = None
    written: tuple[str, ...] = field(default=())


def make_notebook(task: ReportTask, answer: Connection) -> None:
    """Execute one notebook and end: the whole life of a report's process."""
    from plateline.report.run_processes import begin_worker

    started = time.perf_counter()
    try:
        said = _speak_into(task.said)
        begin_worker(task.said.parent)
        # Also ends a process whose interpreter no longer runs, with a trace of where it hangs.
        faulthandler.dump_traceback_later(task.timeout_s, exit=True, file=said)
        refusal = _execute(task)
    except Exception as error:
        refusal = _told(error)
    answer.send(TaskResult(time.perf_counter() - started, refusal))
    answer.close()


def _execute(task: ReportTask) -> str | None:
    import nbformat

    from plateline.report.run import NotebookStoppedError, run_notebook

    own_process = os.environ.get(KERNEL_CHOICE, "") != "ordinary"
    refusal = None
    try:
        executed = run_notebook(
            task.notebook, task.parameters, shown=task.shown, own_process=own_process
        )
    except NotebookStoppedError as stopped:
        refusal, executed = str(stopped), stopped.notebook
    if executed is not None:
        nbformat.write(executed, task.executed)
    return refusal


def seal_pages(said: Path, tasks: Connection) -> None:
    """Seal one executed notebook after another, until the tasks' connection closes.

    Says first whether this process can be used at all.
    """
    from plateline.report.run_processes import UnsafeForkError, begin_worker

    try:
        log = _speak_into(said)
    except FileNotFoundError:
        return  # the crew was dismissed, and its folder with it, before this process began
    at_work: list[ReportTask] = []
    try:
        begin_worker(said.parent, lambda: [discard_asides(task) for task in at_work])
        is_sound = True
    except UnsafeForkError:
        is_sound = False
    try:
        tasks.send(is_sound)
    except BrokenPipeError:
        return
    if not is_sound:
        return
    from plateline.report.run_seal import seal_task, warm_up

    faulthandler.dump_traceback_later(WARM_UP_TIMEOUT_S, exit=True, file=log)
    warm_up()
    faulthandler.cancel_dump_traceback_later()
    while True:
        try:
            task = tasks.recv()
        except EOFError:
            return
        at_work[:] = [task]
        started = time.perf_counter()
        faulthandler.dump_traceback_later(task.timeout_s, exit=True, file=log)
        try:
            written, refusal = seal_task(task), None
        except Exception as error:
            written, refusal = (), _told(error)
        faulthandler.cancel_dump_traceback_later()
        tasks.send(TaskResult(time.perf_counter() - started, refusal, written))


def _speak_into(path: Path) -> Any:
    """Send this process's standard output and error into a file, also from compiled code."""
    stream = path.open("a", encoding="utf-8", errors="backslashreplace")
    sys.stdout.flush()
    sys.stderr.flush()
    os.dup2(stream.fileno(), 1)
    os.dup2(stream.fileno(), 2)
    return stream


def _told(error: Exception) -> str:
    """Return an error as a sentence, and leave its traceback to the worker's own log."""
    if isinstance(error, PlatelineError):
        return str(error)
    import traceback

    with suppress(OSError):  # a full disk, which may be the error itself
        traceback.print_exception(error, file=sys.stderr)
        sys.stderr.flush()
    if isinstance(error, OSError) and error.strerror:
        return system_said(error)
    return f"{type(error).__name__}: {error}"


def discard_asides(task: ReportTask) -> None:
    """Remove what was written of a report and is not whole."""
    for ending in ENDINGS:
        path = task.aside(ending)
        if path.is_dir():
            shutil.rmtree(path, ignore_errors=True)
        else:
            path.unlink(missing_ok=True)


def put_in_place(aside: Path, final: Path) -> None:
    """Move a finished file or folder to its name in one step, over what stood there."""
    if aside.is_dir():
        if final.exists():
            shutil.rmtree(final)
        aside.rename(final)
    else:
        aside.replace(final)
