"""Plateline: from a training log to an honest monthly answer.

The public names below are loaded when first used, so ``import plateline`` costs nothing
that is not asked for. Files and rooms behind them may move; these names do not.
"""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING, Any

from plateline.errors import PlatelineError

if TYPE_CHECKING:
    from plateline.exercises import load_catalogue, read_log, read_logbook
    from plateline.load import weekly_load, weekly_muscles
    from plateline.report import client_report
    from plateline.strength import e1rm, lift_records
    from plateline.trend import backtest, lift_curves, lift_status, targets

__version__ = "0.1.0"

_HOMES = {
    "backtest": "plateline.trend",
    "client_report": "plateline.report",
    "e1rm": "plateline.strength",
    "lift_curves": "plateline.trend",
    "lift_records": "plateline.strength",
    "lift_status": "plateline.trend",
    "load_catalogue": "plateline.exercises",
    "read_log": "plateline.exercises",
    "read_logbook": "plateline.exercises",
    "targets": "plateline.trend",
    "weekly_load": "plateline.load",
    "weekly_muscles": "plateline.load",
}

__all__ = [
    "PlatelineError",
    "__version__",
    "backtest",
    "client_report",
    "e1rm",
    "lift_curves",
    "lift_records",
    "lift_status",
    "load_catalogue",
    "read_log",
    "read_logbook",
    "targets",
    "weekly_load",
    "weekly_muscles",
]


def __getattr__(name: str) -> Any:
    if name in _HOMES:
        return getattr(importlib.import_module(_HOMES[name]), name)
    raise AttributeError(f"module 'plateline' has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted(__all__)
