from __future__ import annotations

import errno
import os
import signal
import subprocess
import sys
import threading
import time
from contextlib import suppress
from multiprocessing import Pipe
from pathlib import Path
from threading import Event, Thread

import pytest

from plateline.errors import NoResultError
from plateline.report.run_crew import Crew, Finished
from plateline.report.run_feed import Feed
from plateline.report.run_processes import CHOICE, start_method
from plateline.report.run_tasks import _told

from .small import task_for, write_notebook

FORKS = start_method() == "forkserver"

A_REPORT = (
    "import polars as pl\nfrom plateline.charts import Figure",
    "frame = pl.DataFrame({'client': [client], 'reps': [8]}).with_columns(twice=pl.col('reps') * 2)",
    "frame",
    "Figure({'mark': 'point', 'data': {'values': frame.to_dicts()}, 'encoding':"
    " {'x': {'field': 'reps', 'type': 'quantitative'}}}, title='Reps', alt='One point.')",
)


@pytest.fixture
def places(tmp_path):
    work, out = tmp_path / "work", tmp_path / "out"
    work.mkdir()
    out.mkdir()
    return work, out


def made_by_a_crew(tasks, work: Path, jobs: int = 2) -> dict[str, Finished]:
    with Crew(jobs, work) as crew:
        return {finished.task.client: finished for finished in crew.make(tasks)}


def files_of(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in sorted(folder.iterdir())}


def test_every_report_is_a_page_and_its_notebook_alone_or_in_a_batch_forked_or_fresh(
    tmp_path, places, monkeypatch
):
    work, out = places
    notebook = write_notebook(tmp_path / "n.ipynb", *A_REPORT)
    done = made_by_a_crew([task_for(who, notebook, work, out) for who in "abc"], work, jobs=1)
    assert {who: finished.refusal for who, finished in done.items()} == dict.fromkeys("abc")
    assert {finished.tries for finished in done.values()} == {1}
    batch, kinds = files_of(out), ("html", "ipynb")
    assert sorted(batch) == sorted(f"{who}.{kind}" for who in "abc" for kind in kinds)

    def alone(name: str) -> dict[str, bytes]:
        folder = tmp_path / name
        folder.mkdir()
        done = made_by_a_crew([task_for("c", notebook, work, folder)], work, jobs=1)
        assert done["c"].refusal is None
        return files_of(folder)

    expected = {name: text for name, text in batch.items() if name.startswith("c.")}
    assert alone("forked") == expected
    monkeypatch.setenv(CHOICE, "fresh")
    assert start_method() == "spawn"
    assert alone("fresh") == expected


def test_nothing_leaks_from_one_client_to_the_next(tmp_path, places):
    work, out = places
    leak = (
        "import builtins, os, sys, plateline\n"
        "seen = [getattr(plateline, 'left', None), getattr(builtins, 'left', None),\n"
        "        os.environ.get('LEFT'), 'left' in sys.modules]\n"
        "plateline.left = builtins.left = os.environ['LEFT'] = client\n"
        "sys.modules['left'] = sys\n"
        "seen"
    )
    notebook = write_notebook(tmp_path / "n.ipynb", leak)
    made_by_a_crew([task_for(who, notebook, work, out) for who in "abc"], work, jobs=1)
    for who in "abc":
        assert "[None, None, None, False]" in (out / f"{who}.ipynb").read_text()


def test_a_report_that_fails_stops_no_other(tmp_path, places):
    work, out = places
    notebook = write_notebook(
        tmp_path / "n.ipynb", "1 if client != 'b' else 1 / 0", "'end of ' + client"
    )
    done = made_by_a_crew([task_for(who, notebook, work, out) for who in "abc"], work)
    assert done["b"].refusal is not None
    assert "ZeroDivisionError: division by zero" in done["b"].refusal
    assert done["b"].tries == 2
    assert "b.html" not in files_of(out)
    assert "end of c" in (out / "c.html").read_text()


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="no such signal here")
def test_a_process_that_is_killed_is_tried_again_and_then_told(tmp_path, places):
    work, out = places
    once = tmp_path / "once"
    notebook = write_notebook(
        tmp_path / "n.ipynb",
        "import os, signal\nfrom pathlib import Path",
        f"once = Path({str(once)!r})\n"
        "if client == 'always' or (client == 'once' and not once.exists()):\n"
        "    client == 'once' and once.touch()\n"
        "    os.kill(os.getpid(), signal.SIGKILL)",
    )
    tasks = [task_for(who, notebook, work, out) for who in ("always", "once", "never")]
    done = made_by_a_crew(tasks, work, jobs=1)
    assert done["never"].refusal is None
    assert (done["once"].refusal, done["once"].tries) == (None, 2)
    assert done["always"].refusal == (
        "The report could not be made: the process that ran it ended before it was done, twice."
    )


def test_a_report_that_hangs_is_ended(tmp_path, places):
    work, out = places
    hang = "import time\nif client == 'b': time.sleep(600)"
    notebook = write_notebook(tmp_path / "n.ipynb", hang)
    tasks = [
        task_for("a", notebook, work, out),
        task_for("b", notebook, work, out, timeout_s=0.6),
    ]
    done = made_by_a_crew(tasks, work, jobs=1)
    assert done["a"].refusal is None
    assert "ended before it was done, twice" in str(done["b"].refusal)
    # The process said where it hung before it went.
    assert "Timeout" in (work / "b.log").read_text()


def test_a_sealing_worker_that_dies_is_replaced(tmp_path, places):
    """And one that dies while it waits costs no report a try."""
    work, out = places
    notebook = write_notebook(tmp_path / "n.ipynb", "client")
    with Crew(1, work) as crew:
        crew._opening.join()
        crew._sealers[0].process.kill()
        crew._sealers[0].process.join()
        done = list(crew.make([task_for(who, notebook, work, out) for who in "ab"]))
    assert [finished.refusal for finished in done] == [None, None]
    assert [finished.tries for finished in done] == [1, 1]


@pytest.mark.skipif(not hasattr(signal, "SIGSTOP"), reason="no such signal here")
def test_what_a_sealing_worker_leaves_when_it_dies_is_removed(tmp_path, places):
    work, out = places
    task = task_for("a", write_notebook(tmp_path / "n.ipynb", "client"), work, out)
    with Crew(1, work) as crew:
        crew._opening.join()
        sealer = crew._sealers[0]
        os.kill(sealer.process.pid, signal.SIGSTOP)  # it takes its task and does not begin

        def kill_it_at_work() -> None:
            _until(lambda: sealer.work is not None)
            task.aside(".pdf").write_text("half a")
            sealer.process.kill()

        killer = Thread(target=kill_it_at_work)
        killer.start()
        (finished,) = crew.make([task])
        killer.join()
    assert (finished.refusal, finished.tries) == (None, 2)
    assert sorted(files_of(out)) == ["a.html", "a.ipynb"]


def test_where_no_process_can_be_started_it_is_said(tmp_path, places):
    work, out = places
    tasks = [task_for(who, tmp_path / "n.ipynb", work, out) for who in "ab"]

    class Full:
        """A machine that has no room for another process."""

        Pipe = staticmethod(Pipe)

        def Process(self, **_options):
            return self

        def get_start_method(self):
            return "forkserver"

        def start(self):
            raise BlockingIOError(errno.EAGAIN, "no more processes")

    with Crew(1, work) as crew:
        crew._opening.join()
        crew._context = Full()
        done = list(crew.make(tasks))
    assert [finished.refusal for finished in done] == [
        "No process could be started for the report (no more processes)."
    ] * 2


def test_a_parent_of_workers_that_hangs_is_not_waited_for_without_end(tmp_path, monkeypatch):
    go_on = Event()
    monkeypatch.setattr(Crew, "_open", lambda _crew: go_on.wait(60))
    monkeypatch.setattr("plateline.report.run_crew.OPENING_S", 0.1)
    with (
        pytest.raises(NoResultError, match="No worker could be started"),
        Crew(1, tmp_path) as crew,
    ):
        list(crew.make([]))
    go_on.set()


def test_what_is_temporary_goes_into_the_folder_of_the_run(tmp_path, places):
    work, out = places
    notebook = write_notebook(tmp_path / "n.ipynb", "import tempfile; tempfile.mkdtemp()")
    made_by_a_crew([task_for("a", notebook, work, out)], work, jobs=1)
    (made,) = [path for path in work.iterdir() if path.is_dir()]
    assert str(made) in (out / "a.ipynb").read_text()


def test_two_runs_write_aside_under_names_of_their_own(tmp_path):
    first, second = (
        task_for("a", tmp_path, tmp_path / run, tmp_path).aside(".html") for run in ("r1", "r2")
    )
    assert first != second
    assert {first.parent, second.parent} == {tmp_path}


SCRIPT_THAT_ASKS_NOTHING = """
import sys
from pathlib import Path
from report.test_run_crew import made_by_a_crew, task_for
from plateline.report import run_processes
print("It runs.")
work, out, notebook = map(Path, sys.argv[1:])
done = made_by_a_crew([task_for("a", notebook, work, out)], work, jobs=1)
print(done["a"].refusal, done["a"].tries, type(run_processes.worker_context()).__name__)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="no sockets in folders there")
@pytest.mark.parametrize("length", [1, 120])
def test_a_script_is_not_run_again_by_workers_however_long_the_temporary_path(
    tmp_path, places, length
):
    work, out = places
    write_notebook(tmp_path / "n.ipynb", "client")
    script = tmp_path / "script.py"
    script.write_text(SCRIPT_THAT_ASKS_NOTHING)
    temporary = tmp_path / ("x" * length)
    temporary.mkdir()
    environment = {"PYTHONPATH": str(Path(__file__).parents[1]), "TMPDIR": str(temporary)}
    done = subprocess.run(
        [sys.executable, str(script), str(work), str(out), str(tmp_path / "n.ipynb")],
        env=os.environ | environment, capture_output=True, text=True,
    )  # fmt: skip
    # Longer than the address of a socket may be, so there is no process to fork from.
    kind = "ForkServerContext" if FORKS and length == 1 else "SpawnContext"
    assert (done.stdout, done.stderr) == (f"It runs.\nNone 1 {kind}\n", "")
    assert not list(temporary.iterdir())


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full")
def test_a_full_disk_is_told_though_there_is_no_room_for_the_trace(monkeypatch):
    with open("/dev/full", "w", buffering=1) as full:  # noqa: PTH123
        monkeypatch.setattr("sys.stderr", full)
        assert _told(OSError(errno.ENOSPC, "No space")) == "No space."
        with suppress(OSError):
            full.close()


def test_a_sealing_worker_that_hangs_while_it_warms_up_ends(tmp_path):
    script = (
        "import sys, time\n"
        "from multiprocessing import Pipe\n"
        "from pathlib import Path\n"
        "from plateline.report import run_seal, run_tasks\n"
        "run_seal.warm_up = lambda: time.sleep(600)\n"
        "run_tasks.WARM_UP_TIMEOUT_S = 0.2\n"
        "mine, theirs = Pipe()\n"
        "run_tasks.seal_pages(Path(sys.argv[1]), theirs)\n"
    )
    said = tmp_path / "sealing.log"
    done = subprocess.run([sys.executable, "-c", script, str(said)], timeout=60)
    assert done.returncode == 1
    assert "Timeout" in said.read_text()


def test_a_feed_that_is_left_draws_no_more():
    drawn, go_on = [], Event()

    def tasks():
        for number in range(9):
            drawn.append(number)
            yield number
            go_on.wait(60)

    with Feed(tasks()) as feed:
        _until(lambda: list(feed.drawn()) == [0])
    go_on.set()
    _until(lambda: not [each for each in threading.enumerate() if each.name == "plateline-feed"])
    assert drawn == [0, 1]


def test_what_cannot_be_put_in_place_leaves_nothing_half_written(tmp_path, places):
    work, out = places
    notebook = write_notebook(tmp_path / "n.ipynb", "client")
    (out / "a.html").mkdir()
    (out / "a.html" / "kept").touch()
    done = made_by_a_crew([task_for("a", notebook, work, out)], work)
    assert done["a"].refusal is not None
    assert "Traceback" not in done["a"].refusal
    assert sorted(files_of(out / "a.html")) == ["kept"]
    assert sorted(path.name for path in out.iterdir()) == ["a.html"]


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="looks into /proc")
def test_no_worker_outlives_a_killed_batch(tmp_path, places):
    work, out = places
    mark = f"PLATELINE_TEST_MARK={tmp_path.name}"
    begun = tmp_path / "begun"
    write_notebook(
        tmp_path / "n.ipynb",
        f"import time; from pathlib import Path; Path({str(begun)!r}).touch()",
        "time.sleep(600)",
    )
    script = (
        "import sys; from pathlib import Path\n"
        "if __name__ == '__main__':\n"
        "    from report.test_run_crew import Crew, task_for\n"
        "    work, out, notebook = map(Path, sys.argv[1:])\n"
        "    with Crew(2, work) as crew:\n"
        "        list(crew.make([task_for(who, notebook, work, out) for who in 'abc']))\n"
    )
    batch = tmp_path / "batch.py"
    batch.write_text(script)
    name, value = mark.split("=")
    environment = os.environ | {name: value, "PYTHONPATH": str(Path(__file__).parents[1])}
    call = [sys.executable, str(batch), str(work), str(out), str(tmp_path / "n.ipynb")]
    process = subprocess.Popen(call, env=environment, stderr=subprocess.DEVNULL)
    try:
        # The caller, a parent, sealers, notebooks; a worker that has not begun removes nothing.
        _until(lambda: begun.exists() and len(_marked(mark)) >= 5)
    finally:
        process.kill()
        process.wait()
    _until(lambda: not _marked(mark))
    assert not work.exists()  # which the caller could not remove


def _marked(mark: str) -> list[int]:
    """Return the processes that run with a mark in their environment."""
    found = []
    for entry in Path("/proc").glob("[0-9]*/environ"):
        try:
            if mark.encode() in entry.read_bytes().split(b"\0"):
                found.append(int(entry.parent.name))
        except OSError:
            continue
    return found


def _until(condition, limit_s: float = 60) -> None:
    end = time.monotonic() + limit_s
    while not condition():
        assert time.monotonic() < end, "it did not come to pass"
        time.sleep(0.1)
