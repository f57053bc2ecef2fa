"""Run one notebook with parameters, and keep what a rerun would make again.

papermill does the work. Around it stand three promises that its command line does not make:
a parameter that the notebook does not know stops the run, text stays text (client `007` is
not 7), and the executed notebook holds no time, path or random id of this run.
"""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from plateline.errors import InputFileError, NoResultError, UnknownNameError

if TYPE_CHECKING:
    from nbformat import NotebookNode

__all__ = ["NotebookStoppedError", "run_notebook"]

KERNEL_START_TIMEOUT_S = 120
"""How long an ordinary kernel may take to start on a busy machine."""


class NotebookStoppedError(NoResultError):
    """A cell of the notebook failed; `notebook` is what was executed up to there."""

    def __init__(self, message: str, notebook: NotebookNode | None = None) -> None:
        super().__init__(message)
        self.notebook = notebook

    def __reduce__(self) -> tuple[type, tuple[str]]:
        return type(self), (str(self),)


def run_notebook(
    source: Path,
    parameters: Mapping[str, Any],
    *,
    shown: Mapping[str, Any] | None = None,
    own_process: bool = False,
) -> NotebookNode:
    """Execute a notebook and return it, the same for the same input.

    Parameters
    ----------
    source
        The notebook; a cell tagged `parameters` holds its defaults.
    parameters
        Values for the names in that cell.
    shown
        The values that the returned notebook shows instead, so that it runs again where
        `parameters` pointed at something of this run only (a temporary folder).
    own_process
        Run the cells in this very process, which must do nothing else before or after;
        otherwise in an ordinary kernel.

    Raises
    ------
    UnknownNameError
        When the notebook has no such parameter.
    NotebookStoppedError
        When a cell fails; its message is one sentence.
    """
    notebook = _read(source)
    _check_names(notebook, parameters, source)
    made = _prepared(notebook, parameters)
    stopped = _execute(made, own_process)
    _settle(made, shown or parameters)
    if stopped is not None:
        raise NotebookStoppedError(stopped, made)
    return made


def _prepared(notebook: NotebookNode, parameters: Mapping[str, Any]) -> NotebookNode:
    """Return a copy of a notebook that holds the parameters, as papermill puts them there."""
    from papermill.execute import prepare_notebook_metadata, remove_error_markers
    from papermill.iorw import load_notebook_node
    from papermill.parameterize import parameterize_notebook

    made = load_notebook_node(notebook)
    if parameters:
        made = parameterize_notebook(made, dict(parameters))
    return remove_error_markers(prepare_notebook_metadata(made, None, None))


def _execute(notebook: NotebookNode, own_process: bool) -> str | None:
    """Run the cells in place with papermill's engines; return what stopped it, in a sentence.

    papermill's one call for everything would also make a file's text of the notebook, whether
    or not there is a file to write: a tenth of what a report's notebook takes.
    """
    from papermill.engines import papermill_engines
    from papermill.exceptions import PapermillExecutionError
    from papermill.execute import raise_for_execution_errors

    options: dict[str, Any] = {"coalesce_streams": True, "record_timing": False}
    engine: str | None = None
    if own_process:
        from plateline.report.run_kernel import ENGINE

        engine = ENGINE
    else:
        # A kernel of this notebook has nothing to save: ending it at once is safe, and spares
        # a second of interpreter shutdown.
        options["shutdown_kernel"] = "immediate"
        # Said on standard error by every kernel, for people who debug.
        os.environ.setdefault("PYDEVD_DISABLE_FILE_VALIDATION", "1")
    try:
        papermill_engines.execute_notebook_with_engine(
            engine,
            notebook,
            kernel_name=papermill_engines.nb_kernel_name(engine, notebook),
            progress_bar=False,
            start_timeout=KERNEL_START_TIMEOUT_S,
            **options,
        )
        raise_for_execution_errors(notebook, None)
    except PapermillExecutionError as failure:
        return _sentence(failure)
    return None


def _read(source: Path) -> NotebookNode:
    import nbformat

    try:
        notebook = nbformat.read(source, as_version=4)
        nbformat.validate(notebook)
    except OSError as error:
        raise InputFileError(f"The notebook {source} cannot be read: {error.strerror}.") from None
    except (ValueError, TypeError, AttributeError, nbformat.ValidationError):
        raise InputFileError(f"{source} is not a notebook.") from None
    return notebook


def _check_names(notebook: NotebookNode, parameters: Mapping[str, Any], source: Path) -> None:
    import papermill

    known = papermill.inspect_notebook(notebook)
    for name in parameters:
        if name not in known:
            raise UnknownNameError.among(f"parameter of the notebook {source.name}", name, known)


def _sentence(failure: Any) -> str:
    """Say what stopped the notebook: the kit's own refusals are sentences already."""
    from plateline import errors

    said = " ".join(str(failure.evalue).split())
    kind = getattr(errors, str(failure.ename), None)
    if isinstance(kind, type) and issubclass(kind, errors.PlatelineError) and said:
        return said
    # papermill's own cells shift the index, so the cell is named by what it calls.
    source = (failure.source or "").strip().splitlines()
    cell = f" at {source[-1].strip()!r}" if source else ""
    return f"The notebook stopped{cell} with {failure.ename}{': ' + said if said else ''}."


def _settle(notebook: NotebookNode, shown: Mapping[str, Any]) -> None:
    """Take out what differs from run to run, and show parameters that work again."""
    from papermill.translators import translate_parameters

    notebook.metadata["papermill"] = {"parameters": dict(shown)}
    for position, cell in enumerate(notebook.cells):
        cell.metadata.pop("papermill", None)
        cell.metadata.pop("execution", None)
        if "injected-parameters" in cell.metadata.get("tags", ()):
            cell["id"] = "injected-parameters"
            cell["source"] = translate_parameters("python3", "python", dict(shown), "Parameters")
        elif "papermill-error-cell-tag" in cell.metadata.get("tags", ()):
            cell["id"] = f"stopped-{position}"
