"""`python -m plateline.report.cluster_worker FOLDER`: make the order that stands in a folder.

A Dask worker may not have child processes of multiprocessing's kind; this process may. It ends
when its standard input closes, which is when the worker that started it is gone.
"""

from __future__ import annotations

import os
import pickle
import sys
import threading
from pathlib import Path


def main() -> None:
    """Read the order, make it, and write what was made."""
    from plateline.report.cluster_reports import MADE, ORDER, make_order

    threading.Thread(target=_end_with_worker, daemon=True).start()
    folder = Path(sys.argv[1])
    order = pickle.loads((folder / ORDER).read_bytes())
    made = make_order(order, folder)
    (folder / MADE).write_bytes(pickle.dumps(made))


def _end_with_worker() -> None:
    # Not through sys.stdin, whose lock an interpreter that ends would wait for.
    while os.read(0, 4096):
        pass
    os._exit(1)


if __name__ == "__main__":
    main()
