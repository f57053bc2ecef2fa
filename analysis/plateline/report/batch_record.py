"""What `run.json` tells of a batch: with what, from what, and how each report came out."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from plateline.report.run_record import input_digests, versions

if TYPE_CHECKING:
    from plateline.report.batch import Batch
    from plateline.report.batch_plan import Plan
    from plateline.report.parts import Source

__all__ = ["record"]


def record(plan: Plan, source: Source, batch: Batch, timing: Mapping[str, Any]) -> dict[str, Any]:
    """Return what `run.json` holds; only `timing` differs between two runs of the same."""
    request = plan.request
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
        "inputs": input_digests([*source.inputs, *_companions(reading)]),
        "rows": source.account(plan.spans),
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
