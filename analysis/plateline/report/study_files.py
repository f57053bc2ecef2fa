"""The files of a study: its page and notebook, every effect and every block, written together."""

from __future__ import annotations

import tempfile
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from plateline.errors import NoResultError, OutputError
from plateline.report.run_record import aside_of

if TYPE_CHECKING:
    from plateline.study.blocks import BlocksBy
    from plateline.study.study import Study

__all__ = ["write_study"]

NOTEBOOK = "rep_range_study"
TITLE = "Rep range and progress"


def write_study(
    logs: Sequence[Path],
    out: Path,
    *,
    by: BlocksBy = "rep range",
    weeks: float = 8.0,
    key: bytes | None = None,
    reading: Mapping[str, Any] | None = None,
    cluster: str | None = None,
) -> Study:
    """Study logs and write `effects.csv`, `blocks.csv`, the page and its notebook into a folder.

    Parameters
    ----------
    key
        Where given, clients get pseudonyms made with it before anything else is done.
    cluster
        The address of a Dask scheduler, or `local`, to gather on; the models are fitted here.

    Raises
    ------
    UsageError, NoResultError
        When the logs cannot be read or hold too little; nothing is then written.
    """
    from plateline.places import notebook
    from plateline.report.study_source import studied

    study = studied(logs, by=by, weeks=weeks, key=key, reading=reading, cluster=cluster)
    with tempfile.TemporaryDirectory(prefix="plateline-study-") as folder:
        study.save(Path(folder))
        _page(Path(folder), notebook(NOTEBOOK))
        _write(out, study, Path(folder))
    return study


def _page(folder: Path, notebook: Path) -> None:
    """Run the notebook on a saved study and seal it: `study.html` and `study.ipynb` in the folder."""
    from plateline.report.run_crew import Crew
    from plateline.report.run_tasks import ReportTask

    task = ReportTask(
        client="study", title=TITLE, stem="study", notebook=notebook,
        parameters={"source": str(folder)}, shown={"source": ""},
        executed=folder / "executed.ipynb", said=folder / "said.log", out=folder,
    )  # fmt: skip
    with Crew(1, folder) as crew:
        for finished in crew.make([task]):
            if finished.refusal:
                raise NoResultError(finished.refusal)


def _write(out: Path, study: Study, made: Path) -> None:
    """Write all files aside, then move them in."""
    texts = {
        "effects.csv": study.effects.write_csv(),
        "blocks.csv": study.blocks.write_csv(),
        **{f"study.{end}": (made / f"study.{end}").read_text("utf-8") for end in ("html", "ipynb")},
    }
    try:
        out.mkdir(parents=True, exist_ok=True)
        for name, text in texts.items():
            aside_of(out / name).write_text(text, encoding="utf-8")
        for name in texts:
            aside_of(out / name).replace(out / name)
    except OSError as fault:
        raise OutputError(f"{out} cannot be written to: {fault.strerror}.") from None
    finally:
        if out.is_dir():
            for name in texts:
                aside_of(out / name).unlink(missing_ok=True)
