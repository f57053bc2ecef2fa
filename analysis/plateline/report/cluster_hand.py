"""A Dask worker's own process for making reports, which stays for the next part.

A Dask worker may not have child processes of multiprocessing's kind, which a crew consists of;
a process that it starts like any program (`cluster_worker`) may. That process takes seconds to
start and a part little longer to make, so it is kept until it has been idle for a while.
"""

from __future__ import annotations

import atexit
import pickle
import shutil
import subprocess
import sys
import tempfile
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

from plateline.errors import NoResultError, PlatelineError

if TYPE_CHECKING:
    from plateline.report.cluster_reports import Order, PartMade

__all__ = ["MADE", "ORDER", "make_by_hand"]

ORDER, MADE = "order.pickle", "made.pickle"

TRIES = 2
"""A process that fell over, or ended because it was idle, is replaced once."""


class _Hand:
    """The process, its folder, and the lines to it."""

    def __init__(self) -> None:
        self.folder = Path(tempfile.mkdtemp(prefix="plateline-part-"))
        # Held open, because the folder is gone when the process is: its workers see to that.
        self._said = (self.folder / "said.log").open("w+", encoding="utf-8", errors="replace")
        self._orders = 0
        self._process = subprocess.Popen(
            [sys.executable, "-m", "plateline.report.cluster_worker", str(self.folder)],
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=self._said,
        )  # fmt: skip

    def make(self, order: Order) -> PartMade | PlatelineError | None:
        """Return what was made of an order, or what it was refused with; None where it died."""
        lines_in, lines_out = self._process.stdin, self._process.stdout
        if lines_in is None or lines_out is None:
            return None
        self._orders += 1
        place = self.folder / str(self._orders)
        try:
            place.mkdir()
            (place / ORDER).write_bytes(pickle.dumps(order))
            lines_in.write(f"{place.name}\n".encode())
            lines_in.flush()
            if not lines_out.readline():
                return None
            made = pickle.loads((place / MADE).read_bytes())
        except (BrokenPipeError, FileNotFoundError):  # it is gone, and its folder with it
            return None
        shutil.rmtree(place, ignore_errors=True)
        return made

    def last_words(self) -> str:
        self._said.seek(0)
        words = self._said.read().strip().splitlines()
        return words[-1] if words else "it did not say why"

    def dismiss(self) -> None:
        self._process.kill()
        self._process.wait()
        for line in (self._process.stdin, self._process.stdout, self._said):
            if line is not None:
                with suppress(OSError):
                    line.close()
        shutil.rmtree(self.folder, ignore_errors=True)


_idle: list[_Hand] = []
"""Processes of this Dask worker that wait for a part; one for each thread, at most."""


def make_by_hand(order: Order) -> PartMade:
    """Make an order in a process of its own; runs on a Dask worker.

    Raises
    ------
    PlatelineError
        What the order was refused with; NoResultError where the process fell over twice.
    """
    words = ""
    for _ in range(TRIES):
        hand = _idle.pop() if _idle else _Hand()
        made = hand.make(order)
        if made is None:
            words = hand.last_words()
            hand.dismiss()
            continue
        _idle.append(hand)
        if isinstance(made, PlatelineError):
            raise made
        return made
    raise NoResultError(f"A part could not be made on a worker: {words}.")


@atexit.register
def _dismiss_all() -> None:
    while _idle:
        _idle.pop().dismiss()
