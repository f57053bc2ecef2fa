from __future__ import annotations

from multiprocessing import Pipe
from pathlib import Path

import nbformat
import pytest
from nbformat import NotebookNode

from plateline.errors import InputFileError, UnknownNameError
from plateline.report.run import run_notebook
from plateline.report.run_processes import worker_context
from plateline.report.run_tasks import make_notebook

from .small import PARAMETERS, task_for, write_notebook

EVERY_KIND_OF_OUTPUT = (
    "import sys, warnings\nimport polars as pl\nfrom IPython.display import HTML, display",
    "print('said', client)\nprint('again')",
    "print('to standard error', file=sys.stderr)",
    "display(HTML('<p class=\"pl-text\">shown</p>'))\nprint('between')\nclient",
    "pl.DataFrame({'client': [client], 'reps': [8]})",
    "handle = display(1, display_id=True)\n_ = handle.update(2)",
    "await __import__('asyncio').sleep(0)\n'awaited'",
    "warnings.warn('doubt', stacklevel=1)",
    "_ = __import__('os').environ\nNone",
)


def run_in_a_worker(
    path: Path, parameters: dict[str, str], shown: dict[str, str] | None = None
) -> tuple[NotebookNode, str | None]:
    """Run a notebook as a batch does; return it and, where it stopped, the sentence on it."""
    folder = path.with_suffix("")
    folder.mkdir(exist_ok=True)
    task = task_for("made", path, folder, folder, parameters=parameters, shown=shown or parameters)
    mine, theirs = Pipe(duplex=False)
    worker = worker_context().Process(target=make_notebook, args=(task, theirs))
    worker.start()
    theirs.close()
    result = mine.recv()
    worker.join()
    return nbformat.read(task.executed, as_version=4), result.refusal


def test_text_stays_text(tmp_path):
    path = write_notebook(tmp_path / "n.ipynb", "(client, type(client).__name__)")
    made = run_notebook(path, {"client": "007"})
    assert made.cells[-1].outputs[0].data["text/plain"] == "('007', 'str')"


def test_a_parameter_that_the_notebook_does_not_know_stops_the_run(tmp_path):
    path = write_notebook(tmp_path / "n.ipynb", "client")
    with pytest.raises(UnknownNameError, match=r"no parameter of the notebook .*'clint'.*client"):
        run_notebook(path, {"clint": "007"})


@pytest.mark.parametrize("text", ["", "{}", "not json", '{"cells": 3, "nbformat": 4}'])
def test_what_is_no_notebook_is_refused(tmp_path, text):
    path = tmp_path / "n.ipynb"
    path.write_text(text)
    with pytest.raises(InputFileError, match="is not a notebook"):
        run_notebook(path, {})


def test_a_missing_notebook_is_refused(tmp_path):
    with pytest.raises(InputFileError, match="cannot be read"):
        run_notebook(tmp_path / "none.ipynb", {})


def test_the_kernel_of_this_process_gives_what_an_ordinary_kernel_gives(tmp_path):
    path = write_notebook(tmp_path / "n.ipynb", *EVERY_KIND_OF_OUTPUT)
    ordinary = nbformat.writes(run_notebook(path, {"client": "007"}))
    own = nbformat.writes(run_in_a_worker(path, {"client": "007"})[0])
    # A warning names the file of its cell, which ipykernel names after its process.
    assert _without_cell_files(own) == _without_cell_files(ordinary)
    assert "said 007" in own


def test_a_second_run_gives_the_same_bytes(tmp_path):
    path = write_notebook(tmp_path / "n.ipynb", *EVERY_KIND_OF_OUTPUT[:7])
    made, _ = run_in_a_worker(path, {"client": "007"})
    assert run_in_a_worker(path, {"client": "007"})[0] == made
    first = nbformat.writes(made)
    assert "2026-" not in first
    assert "duration" not in first


def test_the_notebook_is_a_notebook_that_runs_again(tmp_path):
    path = write_notebook(tmp_path / "n.ipynb", "client")
    again, _ = run_in_a_worker(path, {"client": "007"})
    nbformat.validate(again)
    tags = [cell.metadata.get("tags", []) for cell in again.cells]
    assert tags[:2] == [["parameters"], ["injected-parameters"]]
    assert again.metadata.papermill.parameters == {"client": "007"}
    nbformat.write(again, path)
    assert run_in_a_worker(path, {"client": "007"})[0] == again


def test_shown_parameters_stand_where_this_run_s_own_would(tmp_path):
    path = write_notebook(tmp_path / "n.ipynb", "logbook")
    made, _ = run_in_a_worker(path, {"logbook": "/somewhere/else"}, {"logbook": "../club"})
    assert made.cells[-1].outputs[0].data["text/plain"] == "'/somewhere/else'"
    assert made.cells[1].source == '# Parameters\nlogbook = "../club"\n'
    assert "/somewhere/else" not in nbformat.writes(made).replace("'/somewhere/else'", "")


def test_a_cell_that_fails_is_a_sentence_and_the_rest_is_kept(tmp_path):
    path = write_notebook(tmp_path / "n.ipynb", "1 + 1", "1 / 0", "'never'")
    kept, said = run_in_a_worker(path, {"client": "a"})
    assert said == "The notebook stopped at '1 / 0' with ZeroDivisionError: division by zero."
    shown = [cell for cell in kept.cells if cell.cell_type == "code"]
    assert shown[2].outputs[0].data["text/plain"] == "2"
    assert shown[3].outputs[0].output_type == "error"
    assert shown[4].outputs == []


def test_the_kit_s_own_refusal_is_its_sentence(tmp_path):
    refuse = "from plateline.errors import NoResultError\nraise NoResultError('Nothing to see.')"
    path = write_notebook(tmp_path / "n.ipynb", refuse)
    assert run_in_a_worker(path, {"client": "a"})[1] == "Nothing to see."


def test_a_client_s_name_is_data_in_the_notebook_too(tmp_path):
    wicked = "x\"\n__import__('os').abort()\n'''{}\\"
    path = write_notebook(tmp_path / "n.ipynb", "client", parameters=PARAMETERS)
    made, _ = run_in_a_worker(path, {"client": wicked})
    assert made.cells[-1].outputs[0].data["text/plain"] == repr(wicked)


def _without_cell_files(text: str) -> str:
    import re

    return re.sub(r"(/[\w.~-]+)*/ipykernel_\d+/\d+\.py", "CELL", text)
