"""`python -m plateline.report.cluster_worker FOLDER`: makes the orders that are laid there.

Takes the name of an order's folder a line, and answers with a line when it is made. It ends
when its standard input closes, which is when the worker that started it is gone, and after a
while without an order, so that nothing is kept on a cluster that nobody uses.
"""

from __future__ import annotations

import os
import pickle
import queue
import shutil
import sys
import tempfile
import threading
import traceback
from pathlib import Path

from plateline.errors import NoResultError, PlatelineError
from plateline.report.cluster_hand import MADE, ORDER
from plateline.report.cluster_reports import make_order
from plateline.report.run_crew import Crew

IDLE_S = 60
"""How long to wait for the next order."""


def main() -> None:
    """Make one order after the other."""
    folder = Path(sys.argv[1])
    tempfile.tempdir = str(folder)  # what it keeps goes with the folder, also where it is killed
    orders: queue.SimpleQueue[str] = queue.SimpleQueue()
    threading.Thread(target=_hear, args=(orders, folder), daemon=True).start()
    answers = os.fdopen(os.dup(1), "w", encoding="utf-8")
    os.dup2(2, 1)  # what a library prints is no answer
    with Crew(1, folder) as crew:
        while True:
            try:
                name = orders.get(timeout=IDLE_S)
            except queue.Empty:
                return
            place = folder / name
            made = _made(place, crew)
            (place / MADE).write_bytes(pickle.dumps(made))
            print(name, file=answers, flush=True)


def _made(place: Path, crew: Crew) -> object:
    """Return what was made of an order, or the refusal."""
    try:
        return make_order(pickle.loads((place / ORDER).read_bytes()), place, crew)
    except PlatelineError as refusal:
        return refusal
    except Exception as error:
        traceback.print_exc()
        sys.stderr.flush()
        return NoResultError(
            f"A part could not be made on a worker: {type(error).__name__}: {error}."
        )


def _hear(orders: queue.SimpleQueue[str], folder: Path) -> None:
    # Not through sys.stdin, whose lock an interpreter that ends would wait for.
    with os.fdopen(os.dup(0), "rb", buffering=0) as lines:
        while line := lines.readline():
            orders.put(line.decode().strip())
    shutil.rmtree(folder, ignore_errors=True)
    os._exit(1)


if __name__ == "__main__":
    main()
