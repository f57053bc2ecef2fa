"""The parent of all workers: what it has imported, and that it started nothing."""

from __future__ import annotations

import json
import os
import subprocess
import sys

import pytest
from tests.calling import WATCHED, imported

linux = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="looks into /proc")


def in_a_process(script: str):
    """Run a script in a fresh interpreter; return the lines that it printed, as data."""
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return [json.loads(line) for line in done.stdout.splitlines()]


WORK = {
    "nothing": "None",
    "polars": "polars.DataFrame({'a': [1]}).lazy().group_by('a').len().collect()",
    "vl_convert": "vl_convert.vegalite_to_svg({'mark': 'point', 'data': {'values': []}})",
    "zmq": "zmq.Context().socket(zmq.PUB)",
}


@pytest.fixture(scope="module")
def parents():
    """Give what the module says of a process that has imported everything and done some work.

    Everything is imported once; a copy of that process does each work, and then the module
    looks again, as it does where it is imported last.
    """
    script = (
        "import importlib, json, os, threading, time, polars, vl_convert, zmq\n"
        "from plateline.report import run_preload\n"
        "print(json.dumps(['threads', threading.active_count()]), flush=True)\n"
        f"for name, work in {WORK}.items():\n"
        "    if os.fork() == 0:\n"
        "        kept = eval(work)\n"
        # A thread has its maker's name until it has given itself its own.
        "        wait = 0 if name == 'nothing' else time.monotonic() + 10\n"
        "        while time.monotonic() < wait and not run_preload.live_pools():\n"
        "            time.sleep(0.01)\n"
        "        importlib.reload(run_preload)\n"
        "        found = run_preload.live_pools(), run_preload.forkable\n"
        "        print(json.dumps([name, found]), flush=True)\n"
        "        os._exit(0)\n"
        "    assert os.wait()[1] == 0, name\n"
    )
    return dict(in_a_process(script))


@linux
def test_importing_everything_starts_no_pool(parents):
    assert parents["threads"] == 1
    assert parents["nothing"] == [[], True]


@linux
@pytest.mark.parametrize("work", ["polars", "vl_convert", "zmq"])
def test_a_parent_that_has_worked_is_not_forked(parents, work):
    pools, forkable = parents[work]
    assert pools
    assert not forkable


@linux
def test_a_batch_whose_parent_had_pools_starts_its_workers_afresh(tmp_path):
    script = (
        "import json, sys, tempfile, multiprocessing\n"
        "from pathlib import Path\n"
        "from plateline.report import run_processes\n"
        "from plateline.report.run_crew import Crew\n"
        f"IMPORTS = {str(tmp_path / 'imports.json')!r}\n{WATCHED}"
        "context = multiprocessing.get_context('forkserver')\n"
        "context.set_forkserver_preload(['polars', 'pools_for_test', run_processes._PRELOAD])\n"
        "from multiprocessing import forkserver; forkserver.ensure_running()\n"
        "with tempfile.TemporaryDirectory() as name, Crew(1, Path(name)) as crew:\n"
        "    crew._opening.join()\n"
        "    print(json.dumps([type(crew._context).__name__, len(crew._sealers)]))\n"
    )
    poison = tmp_path / "pools_for_test.py"
    poison.write_text("import polars\npolars.DataFrame({'a': [1]}).lazy().select('a').collect()\n")
    batch = tmp_path / "batch.py"
    batch.write_text("if __name__ == '__main__':\n" + _indented(script))
    done = subprocess.run(
        [sys.executable, str(batch)], capture_output=True, text=True,
        env=os.environ | {"PYTHONPATH": str(tmp_path)},
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout.splitlines()[-1]) == ["SpawnContext", 1]
    assert not imported(tmp_path / "imports.json")["on_threads"]


def test_a_worker_imports_nothing_that_its_parent_could_have(tmp_path, demo_results):
    """What is imported after the fork is paid for by every report."""
    demo_results.save(tmp_path)
    script = (
        "import json, os, sys\n"
        "from pathlib import Path\n"
        "import plateline.report.run_preload\n"
        "import plateline.report.run\n"
        "from plateline.places import notebook\n"
        "before = set(sys.modules)\n"
        "plateline.report.run.run_notebook(\n"
        f"    notebook('client_report'), {{'logbook': {str(tmp_path)!r}, 'client': '007'}},\n"
        "    own_process=True)\n"
        "new = {name.split('.')[0] for name in set(sys.modules) - before}\n"
        "print(json.dumps(sorted(new - set(sys.stdlib_module_names) - {'__mp_main__'})))"
    )
    assert in_a_process(script)[-1] == []


def _indented(text: str) -> str:
    return "".join(f"    {line}\n" for line in text.splitlines())


@linux
def test_a_worker_whose_caller_ends_at_once_says_nothing():
    script = (
        "import os\n"
        "from multiprocessing import forkserver\n"
        "from plateline.report.run_processes import worker_context\n"
        "worker_context('forkserver')\n"
        "sentinel, orders = forkserver.connect_to_new_process([])\n"
        "os.close(orders)\n"  # as when this process ends between asking for a worker and telling
        "forkserver.read_signed(sentinel)\n"
        "print(forkserver.read_signed(sentinel))\n"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True)
    assert (done.stdout, done.stderr) == ("1\n", "")
