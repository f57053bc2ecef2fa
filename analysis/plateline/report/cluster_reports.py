"""Reports made on a cluster: a worker computes some clients, runs and seals their notebooks.

Neither the log nor the output folder has to be where the workers are: a part of a log in memory
travels there with its sets, a part of a partitioned logbook is read there, and the pages come
back. On the worker the part is made by a process of its own (`cluster_hand`), by the same crew
as on one machine, so a page is the same bytes.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING

from plateline.places import notebook
from plateline.report.parts import compute_part, part_sizes
from plateline.report.run_crew import Crew, Finished

if TYPE_CHECKING:
    from plateline.report.cluster import Cluster
    from plateline.report.parts import LogPart, Source
    from plateline.report.results import Results, Shared
    from plateline.report.run_tasks import ReportTask

__all__ = ["PART_CLIENTS", "Order", "PartMade", "make_on_cluster", "make_order"]

PART_CLIENTS = 16
"""Most clients in a part: enough that what every part costs is not felt, few enough that a
worker that is killed loses little."""

PARTS_A_WORKER = 3
"""Parts for each worker where the clients are few, so that none waits long for the last."""


@dataclass(frozen=True)
class Order:
    """What a worker has to make: the reports of some clients, and all it needs for it."""

    part: LogPart = field(repr=False)
    shared: Shared = field(repr=False)
    month: dt.date
    tasks: Sequence[ReportTask]
    ships_with_kit: bool


@dataclass(frozen=True)
class PartMade:
    """What a worker made: what the index shows, how each report came out, the files by name."""

    shown: Results = field(repr=False)
    finished: Sequence[Finished]
    files: dict[str, bytes] = field(repr=False)
    unfinished: dict[str, bytes] = field(repr=False)


def make_order(order: Order, work: Path, crew: Crew) -> PartMade:
    """Make the reports of an order in a folder of one's own; runs on a worker's machine."""
    from plateline.report.index import for_index

    out = work / "out"
    out.mkdir()
    results = compute_part(order.part, order.shared, order.month)
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
    return PartMade(for_index(results), as_asked, written, stopped)


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


def make_on_cluster(
    cluster: Cluster, source: Source, shared: Shared, month: dt.date,
    tasks: Sequence[ReportTask], ships_with_kit: bool,
) -> Iterator[PartMade]:  # fmt: skip
    """Make reports on a cluster; yield them part by part, their files put in place.

    Parameters
    ----------
    cluster
        Where to work.
    source, shared, month
        The log, what its parts have to know of the whole, and the first day of the month.
    tasks
        The reports, with the paths of this machine.
    ships_with_kit
        Whether the notebook is the kit's own, which every worker has.
    """
    from plateline.report.cluster_hand import make_by_hand

    by_client = {task.client: task for task in tasks}
    size = max(1, min(PART_CLIENTS, len(tasks) // (PARTS_A_WORKER * cluster.threads)))
    # What only parts in memory need of the whole is cut for each, not sent to all.
    orders = (
        Order(
            source.part(some), shared.for_clients(some), month,
            [by_client[client] for client in some], ships_with_kit,
        )
        for some in part_sizes(list(by_client), size, source.sets)
    )  # fmt: skip
    for made in cluster.map(make_by_hand, orders):
        for each in made.finished:
            _put(each, made)
        yield made


def _put(finished: Finished, made: PartMade) -> None:
    """Put the files of one report in place, each whole."""
    from plateline.report.run_tasks import discard_asides, put_in_place

    task = finished.task
    try:
        for name in finished.written:
            aside = task.aside(name.removeprefix(task.stem))
            for path, content in made.files.items():
                if path == name:
                    aside.write_bytes(content)
                elif path.startswith(f"{name}/"):
                    aside.mkdir(exist_ok=True)
                    (aside / path.removeprefix(f"{name}/")).write_bytes(content)
            put_in_place(aside, task.out / name)
    except OSError:
        discard_asides(task)
        raise
    if task.client in made.unfinished:
        task.executed.write_bytes(made.unfinished[task.client])
