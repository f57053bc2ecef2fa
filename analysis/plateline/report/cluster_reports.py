"""Reports made on a cluster: a worker computes some clients, runs and seals their notebooks.

Neither the log nor the output folder has to be where the workers are: a part travels there
with its sets, and its pages come back. On the worker the part is made by a process of its own
(`cluster_worker`), by the same crew as on one machine, so a page is the same bytes.
"""

from __future__ import annotations

import datetime as dt
import pickle
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING

from plateline.errors import NoResultError
from plateline.places import notebook
from plateline.report.run_crew import Crew, Finished

if TYPE_CHECKING:
    from plateline.exercises import Logbook
    from plateline.report.cluster import Cluster
    from plateline.report.results import Results, Shared
    from plateline.report.run_tasks import ReportTask

__all__ = ["PART_CLIENTS", "Order", "PartMade", "make_on_cluster", "make_order"]

PART_CLIENTS = 16
"""Clients in a part: enough to be worth a process that takes seconds to start, few enough that
a worker that is killed loses little."""

ORDER, MADE = "order.pickle", "made.pickle"


@dataclass(frozen=True)
class Order:
    """What a worker has to make: the reports of some clients, and all it needs for it."""

    logbook: Logbook = field(repr=False)
    shared: Shared = field(repr=False)
    month: dt.date
    tasks: Sequence[ReportTask]
    ships_with_kit: bool


@dataclass(frozen=True)
class PartMade:
    """What a worker made: the results, how each report came out, and the files by name."""

    results: Results = field(repr=False)
    finished: Sequence[Finished]
    files: dict[str, bytes] = field(repr=False)
    unfinished: dict[str, bytes] = field(repr=False)


def make_order(order: Order, work: Path) -> PartMade:
    """Make the reports of an order in a folder of one's own; runs on a worker's machine."""
    from plateline.report.results import compute_results

    out = work / "out"
    out.mkdir()
    results = compute_results(order.logbook, order.month, shared=order.shared)
    with Crew(1, work) as crew:
        results.save(work / "results")
        tasks = [_here(task, work, out, order.ships_with_kit) for task in order.tasks]
        finished = list(crew.make(tasks))
    written = {
        path.relative_to(out).as_posix(): path.read_bytes()
        for path in sorted(out.rglob("*"))
        if path.is_file()
    }
    stopped = {
        each.task.client: each.task.executed.read_bytes()
        for each in finished
        if each.refusal is not None and each.task.executed.exists()
    }
    asked = {task.client: task for task in order.tasks}
    as_asked = [replace(each, task=asked[each.task.client]) for each in finished]
    return PartMade(results, as_asked, written, stopped)


def _here(task: ReportTask, work: Path, out: Path, ships_with_kit: bool) -> ReportTask:
    """Return a task with this machine's paths."""
    return replace(
        task,
        notebook=notebook("client_report") if ships_with_kit else task.notebook,
        parameters=task.parameters | {"logbook": str(work / "results")},
        executed=work / task.executed.name,
        said=work / task.said.name,
        out=out,
    )


def _on_worker(order: Order) -> PartMade:
    """Make an order in a process of its own, which ends with the worker that asked for it."""
    with tempfile.TemporaryDirectory(prefix="plateline-part-") as name:
        folder = Path(name)
        (folder / ORDER).write_bytes(pickle.dumps(order))
        with (folder / "said.log").open("w") as said:
            process = subprocess.Popen(
                [sys.executable, "-m", "plateline.report.cluster_worker", name],
                stdin=subprocess.PIPE, stdout=said, stderr=said,
            )  # fmt: skip
            try:
                status = process.wait()
            finally:
                process.kill()
                process.wait()
                if process.stdin is not None:
                    process.stdin.close()
        if status:
            words = (folder / "said.log").read_text(errors="replace").strip().splitlines()
            raise NoResultError(f"A part could not be made on a worker: {(words or ['?'])[-1]}")
        return pickle.loads((folder / MADE).read_bytes())


def make_on_cluster(
    cluster: Cluster, logbook: Logbook, shared: Shared, month: dt.date,
    tasks: Sequence[ReportTask], ships_with_kit: bool,
) -> Iterator[PartMade]:  # fmt: skip
    """Make reports on a cluster; yield them part by part, their files put in place.

    Parameters
    ----------
    cluster
        Where to work.
    logbook, shared, month
        As for `compute_results`.
    tasks
        The reports, with the paths of this machine.
    ships_with_kit
        Whether the notebook is the kit's own, which every worker has.
    """
    from plateline.report.results import logbook_of

    def orders() -> Iterator[Order]:
        for start in range(0, len(tasks), PART_CLIENTS):
            some = tasks[start : start + PART_CLIENTS]
            part = logbook_of(logbook, [task.client for task in some])
            yield Order(part, shared, month, some, ships_with_kit)

    for made in cluster.map(_on_worker, orders()):
        for each in made.finished:
            _put(each, made)
        yield made


def _put(finished: Finished, made: PartMade) -> None:
    """Put the files of one report in place, each whole."""
    from plateline.report.run_tasks import put_in_place

    task = finished.task
    for name in finished.written:
        aside = task.out / f".part-{name}"
        for path, content in made.files.items():
            if path == name:
                aside.write_bytes(content)
            elif path.startswith(f"{name}/"):
                aside.mkdir(exist_ok=True)
                (aside / path.removeprefix(f"{name}/")).write_bytes(content)
        put_in_place(aside, task.out / name)
    if task.client in made.unfinished:
        task.executed.write_bytes(made.unfinished[task.client])
