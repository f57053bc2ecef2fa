"""Wall time and peak memory of a command and everything it starts, as the system counts them."""

from __future__ import annotations

import os
import subprocess
import sys
import threading
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

__all__ = ["SMALL", "Cost", "in_turn", "plateline", "run"]

SMALL = bool(os.environ.get("PLATELINE_BENCH_SMALL"))
"""A small run shows that the benchmarks work; its ratios mean little."""

_EVERY_S = 0.1


@dataclass(frozen=True)
class Cost:
    """What a command took. `peak_mib` is 0 where the system does not tell (not Linux)."""

    seconds: float
    peak_mib: float


def plateline(*words: object) -> list[str]:
    """Return the command line of the kit's own command."""
    return [sys.executable, "-m", "plateline", *map(str, words)]


def run(command: Sequence[str], **options: object) -> Cost:
    """Run a command to its end and return its cost; it must succeed."""
    started = time.perf_counter()
    process = subprocess.Popen(
        command, start_new_session=True, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
        **options,  # type: ignore[arg-type]
    )  # fmt: skip
    peak = _Peak(process.pid)
    peak.start()
    said, _ = process.communicate()
    seconds = time.perf_counter() - started
    peak.stop()
    if process.returncode:
        raise AssertionError(f"{' '.join(command)} ended with {process.returncode}: {said}")
    return Cost(seconds, peak.mib)


def in_turn(commands: Sequence[Sequence[str]], rounds: int) -> list[list[Cost]]:
    """Run commands one after the other, several times over, so a busy moment hits them all."""
    costs: list[list[Cost]] = [[] for _ in commands]
    for _ in range(rounds):
        for place, command in enumerate(commands):
            costs[place].append(run(command))
    return costs


class _Peak(threading.Thread):
    """Watches a session of processes: pages that several share are counted once."""

    def __init__(self, session: int) -> None:
        super().__init__(daemon=True)
        self.mib = 0.0
        self._session = session
        self._over = threading.Event()

    def run(self) -> None:
        while not self._over.wait(_EVERY_S):
            self.mib = max(self.mib, sum(map(_proportional_mib, self._members())))

    def stop(self) -> None:
        self._over.set()
        self.join()

    def _members(self) -> list[Path]:
        members = []
        for entry in Path("/proc").glob("[0-9]*"):
            try:
                # After the name in parentheses: state, parent, group, session.
                fields = (entry / "stat").read_text().rpartition(")")[2].split()
            except OSError:
                continue
            if int(fields[3]) == self._session:
                members.append(entry)
        return members


def _proportional_mib(process: Path) -> float:
    try:
        for line in (process / "smaps_rollup").read_text().splitlines():
            if line.startswith("Pss:"):
                return int(line.split()[1]) / 1024
    except OSError:
        pass
    return 0.0
