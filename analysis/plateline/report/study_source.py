"""Where a study's log comes from: read whole, streamed from a logbook, or gathered on a cluster."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import polars as pl

from plateline.exercises.store_parts import Store, is_store, open_store
from plateline.report.cluster_study import merged

if TYPE_CHECKING:
    from plateline.exercises import Logbook
    from plateline.study.blocks import BlocksBy
    from plateline.study.study import Study

__all__ = ["studied"]

PORTION_BYTES = 4_000_000
"""Bytes of Parquet that are read at once: about half a million sets."""

BESIDE = ("clients", "checkins", "plan", "exercises")


def studied(
    logs: Sequence[Path],
    *,
    by: BlocksBy = "rep range",
    weeks: float = 8.0,
    key: bytes | None = None,
    reading: Mapping[str, Any] | None = None,
    cluster: str | None = None,
) -> Study:
    """Return the study of logs; of the demo logbook where none is named.

    A partitioned logbook is streamed, some clients at a time, so that memory does not grow
    with it; anything else is read whole. The arguments are those of `write_study`.
    """
    from plateline.exercises import read_logbook
    from plateline.places import data_demo
    from plateline.study.pseudonyms import pseudonymous
    from plateline.study.study import run_study

    reading = reading or {}
    if len(logs) == 1 and is_store(logs[0]) and cluster is None:
        named = {what: reading.get(what) for what in BESIDE}
        study = _streamed(open_store(logs[0], **named), by, weeks, key)
    else:
        logbook = read_logbook(list(logs) or data_demo(), **reading)
        if key is not None:
            logbook = pseudonymous(logbook, key)
        if cluster is None:
            study = run_study(logbook, by=by, weeks=weeks)
        else:
            study = _on_cluster(logbook, by, weeks, cluster)
    study.facts["pseudonymous"] = key is not None
    return study


def _streamed(store: Store, by: BlocksBy, weeks: float, key: bytes | None) -> Study:
    from plateline.study.portions import gather
    from plateline.study.pseudonyms import pseudonymous
    from plateline.study.study import study_of

    gathered, clients, names = [], [], []
    for some in _portions(store):
        part = store.part(some).read()
        if key is not None:
            part = pseudonymous(part, key)
        gathered.append(
            gather(
                [part.sets], catalogue=part.catalogue, checkins=part.checkins, plan=part.plan,
                by=by, weeks=weeks,
            )
        )  # fmt: skip
        clients.append(part.clients)
        names.append(part.names)
    return study_of(merged(gathered), pl.concat(clients), pl.concat(names), by=by)


def _portions(store: Store) -> Iterator[list[str]]:
    """Yield the ids of clients whose files make up a portion."""
    some: list[str] = []
    size = 0
    for member in store.members:
        some.append(member.client)
        size += sum(f.stat().st_size for f in (store.path / member.folder).glob("*.parquet"))
        if size >= PORTION_BYTES:
            yield some
            some, size = [], 0
    if some:
        yield some


def _on_cluster(logbook: Logbook, by: BlocksBy, weeks: float, cluster: str) -> Study:
    from plateline.report.batch import default_jobs
    from plateline.report.cluster import connected
    from plateline.report.cluster_study import gather_on_cluster
    from plateline.study.study import study_of

    with connected(cluster, default_jobs()) as found:
        gathered = gather_on_cluster(found, logbook, by=by, weeks=weeks)
    return study_of(gathered, logbook.clients, logbook.names, by=by)
