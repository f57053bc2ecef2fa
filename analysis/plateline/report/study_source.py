"""Where a study's log comes from: read whole, streamed from a logbook, or gathered on a cluster."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from plateline.exercises.reading import BESIDE
from plateline.exercises.store_parts import open_store
from plateline.log.files import is_store
from plateline.report.cluster_study import PART_CLIENTS, gather_parts
from plateline.report.parts import part_sizes, parts_of

if TYPE_CHECKING:
    from plateline.report.parts import LogPart
    from plateline.study.blocks import BlocksBy
    from plateline.study.study import Study

__all__ = ["studied"]


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

    A partitioned logbook is read some clients at a time, here or on a cluster's workers, so that
    memory does not grow with it; anything else is read whole. The arguments are those of
    `write_study`.
    """
    from plateline.exercises import read_logbook
    from plateline.places import data_demo
    from plateline.study.pseudonyms import last_dates_of, pseudonymous
    from plateline.study.study import run_study

    reading = reading or {}
    if len(logs) == 1 and is_store(logs[0]):
        store = open_store(logs[0], **{what: reading.get(what) for what in BESIDE})
        parts = (
            store.part(some) for some in part_sizes(store.clients, len(store.clients), store.sets)
        )
        study = _by_parts(parts, by, weeks, key, cluster)
    else:
        logbook = read_logbook(list(logs) or data_demo(), **reading)
        if cluster is not None:
            study = _by_parts(parts_of(logbook, PART_CLIENTS), by, weeks, key, cluster)
        elif key is not None:
            last_dates = last_dates_of(logbook, key)
            hidden = pseudonymous(logbook, key)
            study = run_study(hidden, by=by, weeks=weeks, last_dates=last_dates)
        else:
            study = run_study(logbook, by=by, weeks=weeks)
    study.facts["pseudonymous"] = key is not None
    return study


def _by_parts(
    parts: Iterable[LogPart], by: BlocksBy, weeks: float, key: bytes | None, cluster: str | None
) -> Study:
    """Gather part by part, here or on a cluster, whose workers read their own parts."""
    from plateline.report.batch_request import default_jobs
    from plateline.study.study import study_of

    if cluster is None:
        whole = gather_parts(parts, by=by, weeks=weeks, key=key)
    else:
        from plateline.report.cluster import connected

        with connected(cluster, default_jobs()) as found:
            whole = gather_parts(parts, by=by, weeks=weeks, key=key, cluster=found)
    return study_of(whole.gathered, whole.clients, whole.names, by=by, last_dates=whole.last_dates)
