"""From an executed notebook to what stands in the output folder, each piece put there whole."""

from __future__ import annotations

import datetime as dt
import shutil
from pathlib import Path

from plateline.report.run_tasks import ReportTask, put_in_place

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
    asides: list[tuple[Path, Path]] = []
    try:
        aside = _aside(task.product(".html"))
        asides.append((aside, task.product(".html")))
        aside.write_text(page, encoding="utf-8")
        if task.pdf:
            from plateline.report.months import as_month, month_end
            from plateline.report.pdf import print_pdf

            printed = _aside(task.product(".pdf"))
            asides.append((printed, task.product(".pdf")))
            month = as_month(task.parameters["month"])
            print_pdf(aside, printed, month_end(month) if month else dt.date.min)
        if task.files:
            from plateline.report.run_files import write_files

            folder = _aside(task.product("-files"))
            asides.append((folder, task.product("-files")))
            write_files(task, folder)
        kept = _aside(task.product(".ipynb"))
        asides.append((kept, task.product(".ipynb")))
        shutil.copyfile(task.executed, kept)
        for made, final in asides:
            put_in_place(made, final)
    except BaseException:
        for made, _ in asides:
            _discard(made)
        raise
    return tuple(final.name for _, final in asides)


def _aside(final: Path) -> Path:
    """Return the name a file has until it is whole; its ending stays, tools go by it."""
    return final.with_name(f".part-{final.name}")


def _discard(path: Path) -> None:
    if path.is_dir():
        shutil.rmtree(path, ignore_errors=True)
    else:
        path.unlink(missing_ok=True)
