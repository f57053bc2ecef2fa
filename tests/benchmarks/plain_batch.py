"""The batch as one would write it with papermill alone: `plain_batch.py LOGBOOK OUT MONTH`.

One loop, papermill's defaults, an ordinary kernel a report; the same notebook, and the same
page made of it. LOGBOOK is a logbook, or results that were saved (`--results`), which spares
this batch what the notebooks would each compute anew.
"""

from __future__ import annotations

import sys
from pathlib import Path


def main() -> None:
    logbook, out, month, *clients = sys.argv[1:]
    import papermill

    from plateline.places import notebook
    from plateline.report.seal import seal

    for client in clients:
        executed = Path(out, f"{client}.ipynb")
        papermill.execute_notebook(
            str(notebook("client_report")),
            str(executed),
            {"logbook": logbook, "client": client, "month": month},
            progress_bar=False,
        )
        page = seal(executed, title=client)
        Path(out, f"{client}.html").write_text(page, encoding="utf-8")


if __name__ == "__main__":
    main()
