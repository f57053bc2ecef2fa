"""What every worker needs, imported once in the process that workers are forked from.

That process never touches data: a Polars query, a BLAS call or a chart runtime starts threads,
a fork copies none of them, and the copy waits for ever. Importing is sound; `forkable` says
whether it stayed at that.
"""

from __future__ import annotations

import gc
import importlib
import os
import re
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import Any

__all__ = ["MODULES", "forkable", "live_pools", "was_forked"]

MODULES = (
    "polars",
    "polars.selectors",
    "jinja2",
    "mistune",
    "bleach",
    "vl_convert",
    "papermill",
    "ipykernel.debugger",
    "ipykernel.inprocess.ipkernel",
    "IPython.core.application",
    "IPython.core.completerlib",
    "IPython.core.crashhandler",
    "IPython.core.logger",
    "IPython.core.oinspect",
    "sqlite3",
    "tornado.platform.asyncio",
    "plateline.report.run_kernel",
    "plateline.report.client",
    "plateline.report.index",
    "plateline.charts",
    "plateline.report.seal",
)
"""Imported before the first fork; a missing one only makes workers slower."""

# Pools of Polars (its workers, its readers), of vl-convert's JavaScript runtime, and of ZeroMQ.
# The number of threads says nothing: importing Polars alone starts some of its allocator and a
# cleaner (`polars-ooc-clea`) that a copy does not miss. BLAS libraries start none, because
# `run_processes` asks them for one thread.
_POOL = re.compile(r"polars-\d|tokio-r|async-executor|rayon|V8 |ZMQbg")


def live_pools() -> list[str]:
    """Return the names of this process's threads that a fork would not survive (Linux)."""
    names = []
    for entry in Path("/proc/self/task").glob("*/comm"):
        try:
            names.append(entry.read_text().strip())
        except OSError:  # the thread ended meanwhile
            continue
    return sorted(name for name in names if _POOL.match(name))


def _preload(modules: Iterable[str]) -> None:
    for name in modules:
        try:
            importlib.import_module(name)
        except ImportError:
            continue
    import nbformat

    nbformat.validate(nbformat.v4.new_notebook())  # builds the validator, once
    # What is imported stays for good: no worker walks it, or copies its pages, to collect.
    gc.collect()
    gc.freeze()


def _keep_quiet_when_called_off(
    kind: type[BaseException], error: BaseException, trace: Any
) -> None:
    """Say nothing where the caller ended before it had told a worker what to do."""
    if kind is not EOFError:
        sys.__excepthook__(kind, error, trace)


_preload(MODULES)
sys.excepthook = _keep_quiet_when_called_off
forkable = not live_pools()
"""Whether workers may be forked from the process that imported this module."""
_imported_by = os.getpid()


def was_forked() -> bool:
    """Tell whether this process is a copy of the one that imported everything."""
    return os.getpid() != _imported_by
