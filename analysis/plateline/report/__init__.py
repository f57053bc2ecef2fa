"""Room `report`: one client's results as one object, and the pages made of it.

The names below are loaded when first used: a command that only runs notebooks must not pay
for frames, and a notebook must not pay for the machinery that runs notebooks.
"""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from plateline.report.client import ClientReport, client_report
    from plateline.report.index import ClientRun, build_index
    from plateline.report.results import (
        Results,
        Shared,
        compute_results,
        last_full_month,
        learn_shared,
        logbook_of,
    )

_HOMES = {
    "ClientReport": "plateline.report.client",
    "ClientRun": "plateline.report.index",
    "Results": "plateline.report.results",
    "build_index": "plateline.report.index",
    "client_report": "plateline.report.client",
    "compute_results": "plateline.report.results",
    "Shared": "plateline.report.results",
    "last_full_month": "plateline.report.results",
    "learn_shared": "plateline.report.results",
    "logbook_of": "plateline.report.results",
}

__all__ = [
    "ClientReport",
    "ClientRun",
    "Results",
    "Shared",
    "build_index",
    "client_report",
    "compute_results",
    "last_full_month",
    "learn_shared",
    "logbook_of",
]


def __getattr__(name: str) -> Any:
    if name in _HOMES:
        return getattr(importlib.import_module(_HOMES[name]), name)
    raise AttributeError(f"module 'plateline.report' has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted(__all__)
