"""A Dask cluster as a place to work on the parts of a log.

Dask schedules, retries and watches memory; the kit only hands it a function of its own for
each part. A worker that is killed costs the parts it had under way, which others do again.
"""

from __future__ import annotations

import contextlib
import logging
from collections.abc import Callable, Iterable, Iterator
from typing import Any, TypeVar

from plateline.errors import NoResultError, UsageError
from plateline.report.run_processes import deaf_to_interrupts
from plateline.report.run_record import versions

__all__ = ["Cluster", "connected"]

CONNECT_TIMEOUT_S = WORKER_TIMEOUT_S = 10
TRIES = 5
"""A part whose worker is killed is tried so often; one that fails by itself, fails."""

In = TypeVar("In")
Out = TypeVar("Out")


class Cluster:
    """A connected cluster. Made by :func:`connected`."""

    def __init__(self, client: Any) -> None:
        self._client = client

    @property
    def threads(self) -> int:
        """How many tasks the cluster's workers run at once."""
        workers = self._client.scheduler_info(n_workers=-1)["workers"].values()
        return max(1, sum(worker["nthreads"] for worker in workers))

    def map(self, work: Callable[[In], Out], parts: Iterable[In]) -> Iterator[Out]:
        """Work on parts on the cluster; yield the results in the order of the parts.

        At most some parts for each worker are on the cluster at a time, so neither the
        scheduler nor this process holds more than these.

        Raises
        ------
        PlatelineError
            What a part raised; NoResultError where workers kept dying over one.
        """
        from distributed import KilledWorker

        ahead = 3 * self.threads
        pending: list[Any] = []
        waiting = iter(parts)
        try:
            while True:
                for part in waiting:
                    pending.append(self._client.submit(work, part, pure=False))
                    if len(pending) >= ahead:
                        break
                if not pending:
                    return
                future = pending.pop(0)
                yield future.result()
                future.release()
        except KilledWorker as error:
            raise NoResultError(
                f"A part of the log was given up: {TRIES} workers died over it ({error})."
            ) from None
        finally:
            for future in pending:
                future.cancel()


@contextlib.contextmanager
def connected(address: str, jobs: int) -> Iterator[Cluster]:
    """Connect to a Dask scheduler at an address, or start one here for `local`.

    Raises
    ------
    UsageError
        When Dask is not installed, nobody answers at the address, or its workers have
        another version of the kit.
    """
    try:
        import distributed
        from dask import config
    except ImportError:
        raise UsageError(
            "--cluster needs Dask; install it with: pip install 'plateline[cluster]'."
        ) from None
    settings = {"distributed.scheduler.allowed-failures": TRIES, "distributed.logging": {}}
    with config.set(settings), contextlib.ExitStack() as stack:
        if address == "local":
            # Its thread and processes inherit that Ctrl-C does not reach them, and it says only
            # what ends it: each would tell in tracebacks that it was stopped.
            with deaf_to_interrupts():
                started = distributed.LocalCluster(
                    n_workers=jobs, threads_per_worker=1, dashboard_address=":0",
                    silence_logs=logging.CRITICAL,
                )  # fmt: skip
            where = stack.enter_context(started)
        else:
            where = address
        try:
            client = distributed.Client(where, timeout=CONNECT_TIMEOUT_S, set_as_default=False)
        except (OSError, TimeoutError, ValueError) as error:
            raise UsageError(
                f"No Dask scheduler answers at {address!r} ({_last_line(error)}); give an address "
                "like tcp://host:8786, or local."
            ) from None
        stack.enter_context(client)
        _check_workers(client, address)
        yield Cluster(client)


def _check_workers(client: Any, address: str) -> None:
    """Make sure that there are workers, and that they would give the same results."""
    try:
        client.wait_for_workers(1, timeout=WORKER_TIMEOUT_S)
    except TimeoutError:
        raise UsageError(f"The Dask scheduler at {address!r} has no worker; start one.") from None
    mine = _needed()
    try:
        found = client.run(versions)
    except Exception as error:  # Dask passes on what a worker cannot even import as text
        if "No module named" not in str(error):
            raise
        raise UsageError(
            f"The workers at {address!r} lack a module ({_last_line(error)}); install plateline "
            "there."
        ) from None
    for worker, theirs in found.items():
        different = [name for name in mine if theirs.get(name) != mine[name]]
        if different:
            name = different[0]
            raise UsageError(
                f"The worker {worker} has {name} {theirs.get(name)}, here is {mine[name]}; the "
                "same versions are needed for the same results."
            )


def _needed() -> dict[str, str]:
    return versions()


def _last_line(error: BaseException) -> str:
    lines = str(error).strip().splitlines()
    return lines[-1] if lines else type(error).__name__
