"""What every worker needs, imported once in the process that workers are forked from.

That process never touches data: a Polars query, a BLAS call or a chart runtime starts threads,
a fork copies none of them, and the copy waits for ever. Importing is sound; `forkable` says
whether it stayed at that.
"""

from __future__ import annotations

import gc
import importlib
import os
from collections.abc import Iterable
from pathlib import Path

__all__ = ["MODULES", "forkable", "live_pools"]

MODULES = (
    "polars",
    "altair",
    "great_tables",
    "nbconvert",
    "vl_convert",
    "papermill",
    "plateline.report.run_kernel",
    "plateline.report.client",
    "plateline.report.index",
    "plateline.charts",
    "plateline.report.seal",
)
"""Imported before the first fork; a missing one only makes workers slower."""

# Threads of Polars, of its cloud and cleaner runtimes, and of vl-convert's JavaScript runtime.
# Their number says nothing (an allocator keeps threads of its own), their names do.
_POOLS = ("polars", "tokio-rt", "async-exec", "rayon", "v8:", "V8 ", "OpenBLAS")


def live_pools() -> list[str]:
    """Return the names of this process's threads that a fork would not survive (Linux)."""
    names = []
    for entry in Path("/proc/self/task").glob("*/comm"):
        try:
            names.append(entry.read_text().strip())
        except OSError:  # the thread ended meanwhile
            continue
    return sorted(name for name in names if name.startswith(_POOLS))


def _preload(modules: Iterable[str]) -> None:
    for name in modules:
        try:
            importlib.import_module(name)
        except ImportError:
            continue
    # What is imported stays for good: no worker walks it, or copies its pages, to collect.
    gc.collect()
    gc.freeze()


_preload(MODULES)
forkable = not live_pools()
"""Whether workers may be forked from the process that imported this module."""
_imported_by = os.getpid()


def was_forked() -> bool:
    """Tell whether this process is a copy of the one that imported everything."""
    return os.getpid() != _imported_by
