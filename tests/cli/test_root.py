"""The command line's frame: help, mistyped commands, exit statuses."""

from __future__ import annotations

import errno
import os
import signal
import subprocess
import sys

import pytest
from tests.calling import here

from plateline.cli import root
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


@pytest.mark.parametrize(
    ("lacking", "said"),
    [
        (OSError(errno.ENOSPC, "No space left on device"), "No space left on device."),
        (PermissionError(errno.EACCES, "Permission denied", "a"), "Permission denied (a)."),
        (MemoryError(), "There is not enough memory."),
        (RuntimeError("can't start new thread"), "The machine refused to start another thread."),
        (
            type("PanicException", (BaseException,), {})("no threads"),
            "Polars gave up (no threads).",
        ),
    ],
)
def test_what_the_machine_lacks_is_a_sentence(monkeypatch, lacking, said):
    def fail(**_options):
        raise lacking

    monkeypatch.setattr(root.cli, "main", fail)
    done = here("status")
    assert (done.returncode, done.stderr) == (1, f"plateline: {said}\n")


def test_a_fault_of_the_kit_is_not_passed_off_as_the_machines(monkeypatch):
    def fail(**_options):
        raise RuntimeError("a fault")

    monkeypatch.setattr(root.cli, "main", fail)
    with pytest.raises(RuntimeError, match="a fault"):
        root.main()


@pytest.mark.skipif(not hasattr(signal, "SIGHUP"), reason="no such signal here")
@pytest.mark.parametrize("name", ["SIGTERM", "SIGHUP"])
def test_a_command_that_is_asked_to_end_tidies_up(monkeypatch, name):
    number, tidied = getattr(signal, name), []

    def work(**_options):
        try:
            os.kill(os.getpid(), number)
        finally:
            tidied.append(name)

    monkeypatch.setattr(root.cli, "main", work)
    before = signal.getsignal(number)
    assert here("status").returncode == 128 + number
    assert tidied == [name]
    assert signal.getsignal(number) is before


@pytest.mark.skipif(not hasattr(signal, "SIGHUP"), reason="no such signal here")
def test_a_signal_that_is_ignored_stays_so(monkeypatch):
    monkeypatch.setattr(root.cli, "main", lambda **_options: os.kill(os.getpid(), signal.SIGHUP))
    before = signal.signal(signal.SIGHUP, signal.SIG_IGN)
    try:
        assert here("status").returncode == 0
    finally:
        signal.signal(signal.SIGHUP, before)


@pytest.mark.skipif(sys.platform == "win32", reason="a shell of another kind")
def test_a_command_whose_output_is_closed_runs_to_its_end(tmp_path):
    log = tmp_path / "log.csv"
    log.write_text("client,date,exercise,load,reps\nanna,2026-03-02,squat,100,5\n")
    call = f"{sys.executable} -m plateline status log.csv --out status.csv <&- >&- 2>&-"
    assert subprocess.run(["sh", "-c", call], cwd=tmp_path).returncode == 0
    assert (tmp_path / "status.csv").read_text().startswith("client,")
