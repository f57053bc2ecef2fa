"""What a command imports: counted by modules, so a slow machine does not fail it."""

from __future__ import annotations

import json
import subprocess
import sys

import pytest

from plateline.places import data_demo

HEAVY = (
    "polars", "numpy", "pandas", "scipy", "statsmodels", "altair", "papermill",
    "nbformat", "nbclient", "nbconvert", "IPython", "ipykernel", "zmq", "jinja2", "vl_convert",
    "dask", "distributed", "tqdm", "rapidfuzz", "lark", "pyarrow",
)  # fmt: skip


def modules_after(script: str) -> set[str]:
    """Return every module that a fresh interpreter has imported after a script."""
    report = "import json, sys\nprint('\\n' + json.dumps(sorted(sys.modules)))"
    done = subprocess.run(
        [sys.executable, "-c", f"{script}\n{report}"], capture_output=True, text=True
    )
    assert done.returncode == 0, done.stderr
    return set(json.loads(done.stdout.splitlines()[-1]))


def after_command(*words: str) -> set[str]:
    return modules_after(
        "from plateline.cli.root import cli\n"
        f"try:\n    cli.main({list(words)!r}, standalone_mode=False)\n"
        "except SystemExit:\n    pass"
    )


@pytest.mark.parametrize(
    "words", [["--help"], ["--version"], ["reports", "--help"], ["status", "--help"]]
)
def test_help_loads_nothing_heavy(words):
    loaded = after_command(*words)
    assert not loaded & set(HEAVY)
    assert "plateline.report.batch" not in loaded


def test_help_loads_no_command():
    loaded = after_command("--help")
    commands = {name for name in loaded if name.startswith("plateline.cli.")}
    assert commands == {"plateline.cli.root"}
    assert len(loaded) < 250


def test_importing_the_package_loads_nothing_heavy():
    loaded = modules_after("import plateline")
    assert not loaded & set(HEAVY)
    assert {name for name in loaded if name.startswith("plateline")} <= {
        "plateline",
        "plateline.errors",
    }


def test_status_draws_and_runs_nothing(tmp_path):
    loaded = after_command(
        "status", str(data_demo()), "--as-of", "2026-03-31", "--out", str(tmp_path / "status.csv")
    )
    assert "polars" in loaded
    for name in (
        "altair",
        "papermill",
        "nbformat",
        "statsmodels",
        "IPython",
        "vl_convert",
        "pandas",
    ):
        assert name not in loaded, name


def test_no_grammar_parsers_are_built_for_the_sake_of_two_formats():
    """`rfc3987-syntax` builds 38 parsers when imported, and jsonschema imports it if it can.

    It is left out of the environment (`override-dependencies` in pyproject.toml); this fails
    when it, or another grammar, comes back into what every worker imports.
    """
    script = (
        "import gc\nimport altair, nbformat, papermill, jsonschema\n"
        "try:\n    import lark\nexcept ImportError:\n    built = 0\n"
        "else:\n    built = sum(isinstance(each, lark.Lark) for each in gc.get_objects())\n"
        "assert not built"
    )
    assert not {name for name in modules_after(script) if name.startswith("rfc3987")}
