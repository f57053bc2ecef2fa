"""How worker processes are started: forked from a parent that has imported everything.

The parent is Python's own fork server: a process that imports `run_preload` and then forks a
worker for each request. It works whatever the calling process has already done, because that
process is not the one that is copied. Where a fork is not safe (Windows, macOS) or has turned
out not to be, workers start afresh, import what they need, and give the same result later.
"""

from __future__ import annotations

import contextlib
import importlib
import multiprocessing
import os
import shutil
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterator
from multiprocessing import connection
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:  # Windows has no fork server to import
    from multiprocessing.context import ForkServerContext, SpawnContext

__all__ = [
    "WORKER",
    "UnsafeForkError",
    "begin_worker",
    "deaf_to_interrupts",
    "start_method",
    "worker_context",
]

CHOICE = "PLATELINE_WORKERS"
"""Environment variable: `fork` or `fresh` settles how workers start."""

WORKER = "plateline-worker"
"""The name of every worker process."""

_PRELOAD = "plateline.report.run_preload"
_ONE_THREAD = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS")

REMOVALS, REMOVAL_PAUSE_S = 20, 0.1
"""How often, and after what pauses, a worker tries to remove the run's folder with the others."""


class UnsafeForkError(RuntimeError):
    """The parent of this worker had thread pools when it was forked."""


def start_method() -> str:
    """Return `forkserver` where forking is sound on this platform, else `spawn`."""
    choice = os.environ.get(CHOICE, "")
    able = "forkserver" in multiprocessing.get_all_start_methods()
    if choice == "fresh" or not able:
        return "spawn"
    # macOS can fork, but its own frameworks may not be used in the copy.
    return "forkserver" if choice == "fork" or sys.platform.startswith("linux") else "spawn"


def worker_context(method: str | None = None) -> ForkServerContext | SpawnContext:
    """Return the context that starts workers, its fork server already importing."""
    # Workers share the cores among themselves; none may bring a pool of threads.
    for name in _ONE_THREAD:
        os.environ.setdefault(name, "1")
    # Said on standard error by every kernel, for people who debug.
    os.environ.setdefault("PYDEVD_DISABLE_FILE_VALIDATION", "1")
    _import_starters()
    _run_no_script_again()
    if (method or start_method()) == "spawn":
        return multiprocessing.get_context("spawn")
    from multiprocessing import forkserver

    context = multiprocessing.get_context("forkserver")
    context.set_forkserver_preload([_PRELOAD])
    try:
        with deaf_to_interrupts():
            forkserver.ensure_running()
    except OSError:
        # It listens in the temporary folder, whose path may be longer than a socket's can be.
        return multiprocessing.get_context("spawn")
    return context


def _import_starters() -> None:
    """Import what starts workers now: the first start is on a thread, and none may import."""
    methods = multiprocessing.get_all_start_methods()
    names = ["popen_spawn_win32"] if sys.platform == "win32" else ["popen_spawn_posix"]
    names += ["popen_forkserver"] if "forkserver" in methods else []
    for name in ("resource_tracker", "spawn", *names):
        importlib.import_module(f"multiprocessing.{name}")


def _run_no_script_again() -> None:
    """Keep workers from running their caller's script, as multiprocessing has each of them do.

    They need nothing of it, and a script that calls the kit without asking whether
    ``__name__`` is ``"__main__"`` would begin its batch again in every worker.
    """
    from multiprocessing import spawn

    told = spawn.get_preparation_data
    if told.__module__ == __name__:
        return

    def told_to_ours(name: str) -> dict[str, Any]:
        data = told(name)
        if name == WORKER:
            data.pop("init_main_from_name", None)
            data.pop("init_main_from_path", None)
        return data

    spawn.get_preparation_data = told_to_ours


@contextlib.contextmanager
def deaf_to_interrupts() -> Iterator[None]:
    """Start processes that Ctrl-C does not reach, not even while they import.

    It is meant for the caller, which ends them; each would tell of it in a traceback.
    """
    import signal

    if not hasattr(signal, "pthread_sigmask"):  # Windows
        yield
        return
    from multiprocessing import resource_tracker

    resource_tracker.ensure_running()  # which would unblock the signal, if it started within
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def begin_worker(folder: Path, last: Callable[[], object] = list) -> None:
    """Settle a worker before it works: sound to use, deaf to Ctrl-C, gone with its caller.

    Parameters
    ----------
    folder
        The run's own folder. Whatever is temporary goes there, and it goes with the caller.
    last
        Called when the caller is gone, before this process ends.

    Raises
    ------
    UnsafeForkError
        When the process that this one was forked from had thread pools.
    """
    import signal

    preload = sys.modules.get(_PRELOAD)
    if preload is not None and preload.was_forked() and not preload.forkable:
        raise UnsafeForkError("The process that workers are forked from has thread pools.")
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    # Not through the environment: a browser's socket needs a short path.
    tempfile.tempdir = str(folder)
    caller = multiprocessing.parent_process()
    if caller is not None:
        threading.Thread(
            target=_end_with, args=(caller.sentinel, folder, last), daemon=True
        ).start()


def _end_with(sentinel: int, folder: Path, last: Callable[[], object]) -> None:
    connection.wait([sentinel])
    with contextlib.suppress(OSError):
        last()
    # A caller that was killed could not. Others do the same just now, or still write something.
    for _ in range(REMOVALS):
        shutil.rmtree(folder, ignore_errors=True)
        if not folder.exists():
            break
        time.sleep(REMOVAL_PAUSE_S)
    os._exit(1)
