"""The command line called in this process, or in one of its own that tells what it imported."""

from __future__ import annotations

import contextlib
import io
import json
import subprocess
import sys
from pathlib import Path

import pytest

from plateline.cli.root import main


def here(*words: object, cwd: Path | None = None) -> subprocess.CompletedProcess[str]:
    """Call `plateline` as the console script does, in a folder if one is named."""
    out, err = io.StringIO(), io.StringIO()
    with (
        pytest.MonkeyPatch.context() as patch,
        contextlib.redirect_stdout(out),
        contextlib.redirect_stderr(err),
    ):
        patch.setattr("sys.argv", ["plateline", *map(str, words)])
        if cwd is not None:
            patch.chdir(cwd)
        with pytest.raises(SystemExit) as ended:
            main()
    return subprocess.CompletedProcess(
        list(map(str, words)), int(str(ended.value.code)), out.getvalue(), err.getvalue()
    )


WATCHED = """
import atexit, json, sys, threading
_begun = set()
def _note(event, details):
    if event == "import" and threading.current_thread() is not threading.main_thread():
        _begun.add(details[0])
sys.addaudithook(_note)
_told = lambda: json.dumps({"modules": sorted(sys.modules), "on_threads": sorted(_begun)})
atexit.register(lambda: open(IMPORTS, "w").write(_told()))
"""
"""Notes what a process imports, and what of it off its main thread."""


def apart(script: str, imports: Path, **options: object) -> subprocess.CompletedProcess[str]:
    """Run a script in a Python of its own, which writes into a file what it imported."""
    whole = f"IMPORTS = {str(imports)!r}\n{WATCHED}\n{script}"
    return subprocess.run(
        [sys.executable, "-c", whole], capture_output=True, text=True, check=False, **options
    )


def command_apart(*words: object, imports: Path) -> subprocess.CompletedProcess[str]:
    """Call `python -m plateline` in a process of its own, which tells what it imported."""
    said = ["plateline", *map(str, words)]
    script = (
        f"import runpy\nsys.argv = {said!r}\n"
        "runpy.run_module('plateline', run_name='__main__', alter_sys=True)"
    )
    return apart(script, imports)


def imported(imports: Path) -> dict[str, set[str]]:
    """Return what a process apart imported: `modules`, and those of them `on_threads`."""
    return {key: set(names) for key, names in json.loads(imports.read_text()).items()}
