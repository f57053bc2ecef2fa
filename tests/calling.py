"""The command line called in this process: what is said and how it ends, without a new Python."""

from __future__ import annotations

import contextlib
import io
import subprocess
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
