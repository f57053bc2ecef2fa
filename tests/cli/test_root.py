"""The command line's frame: help, mistyped commands, exit statuses."""

from __future__ import annotations

import subprocess
import sys

import pytest
from tests.calling import here

from plateline.cli.root import COMMANDS


def run(*args: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "plateline", *args], capture_output=True, text=True, timeout=120
    )


def test_help_lists_every_command_and_loads_none():
    program = (
        "import sys\n"
        "from plateline.cli.root import cli\n"
        "cli.main(['--help'], standalone_mode=False)\n"
        "loaded = [m for m in sys.modules if m.startswith('plateline.cli.')]\n"
        "print(sorted(loaded), 'polars' in sys.modules)\n"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True)
    assert done.stdout.splitlines()[-1] == "['plateline.cli.root'] False", done.stderr
    for name in COMMANDS:
        assert f"  {name} " in done.stdout


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_has_help_with_an_example(name: str):
    done = run(name, "--help")
    assert done.returncode == 0, done.stderr
    assert "Example" in done.stdout
    assert f"plateline {name}" in done.stdout


def test_a_mistyped_command_is_answered_with_the_closest():
    done = run("repots")
    assert done.returncode == 2
    assert "Did you mean reports" in done.stderr
    assert "Traceback" not in done.stderr


def test_a_word_that_resembles_nothing_is_answered_with_the_list():
    done = run("xyzzy")
    assert done.returncode == 2
    assert "There is intake, status" in done.stderr


@pytest.mark.parametrize(
    "args",
    [
        ["status", "no-such-file.csv", "--out", "x.csv"],
        ["intake", "no-such-file.csv", "--out", "x"],
        ["report", "no-such-file.csv", "--client", "a", "--out", "x"],
        ["targets", "no-such-file.csv", "--reps", "8", "--rir", "2", "--out", "x.csv"],
        ["status", ".", "--as-of", "31.12.2026", "--out", "x.csv"],
        ["report", "--month", "2026-13", "--out", "x"],
    ],
)
def test_a_wrong_call_is_one_sentence_and_status_two(args, tmp_path):
    done = here(*args, cwd=tmp_path)
    assert done.returncode == 2, done.stderr
    assert done.stderr.strip()
    assert "Traceback" not in done.stderr
    assert list(tmp_path.iterdir()) == []


@pytest.mark.skipif(sys.platform == "win32", reason="a shell of another kind")
def test_a_command_whose_output_is_closed_runs_to_its_end(tmp_path):
    log = tmp_path / "log.csv"
    log.write_text("client,date,exercise,load,reps\nanna,2026-03-02,squat,100,5\n")
    call = f"{sys.executable} -m plateline status log.csv --out status.csv <&- >&- 2>&-"
    assert subprocess.run(["sh", "-c", call], cwd=tmp_path).returncode == 0
    assert (tmp_path / "status.csv").read_text().startswith("client,")
