"""From an executed notebook to what stands in the output folder, each piece put there whole."""

from __future__ import annotations

import datetime as dt
import shutil

from plateline.report.run_tasks import ENDINGS, ReportTask, discard_asides, put_in_place

__all__ = ["seal_task", "warm_up"]


def warm_up() -> None:
    """Start what is dear to start before the first page waits for it."""
    from plateline.charts.runtime import runtime_script, still_svg

    runtime_script()
    still_svg({"mark": "point", "data": {"values": []}}, prefix="warm")


def seal_task(task: ReportTask) -> tuple[str, ...]:
    """Write one client's page and what belongs beside it; return the names written."""
    import nbformat

    from plateline.report.seal import seal

    notebook = nbformat.read(task.executed, as_version=4)
    page = seal(notebook, title=task.title)
    is_made = {".pdf": task.pdf, "-files": task.files}
    endings = [ending for ending in ENDINGS if is_made.get(ending, True)]
    try:
        task.aside(".html").write_text(page, encoding="utf-8")
        if task.pdf:
            from plateline.report.months import as_month, month_end
            from plateline.report.pdf import print_pdf

            month = as_month(task.parameters["month"])
            day = month_end(month) if month else dt.date.min
            print_pdf(task.aside(".html"), task.aside(".pdf"), day)
        if task.files:
            from plateline.report.run_files import write_files

            write_files(task, task.aside("-files"))
        shutil.copyfile(task.executed, task.aside(".ipynb"))
        for ending in endings:
            put_in_place(task.aside(ending), task.product(ending))
    except BaseException:
        discard_asides(task)
        raise
    return tuple(task.product(ending).name for ending in endings)
