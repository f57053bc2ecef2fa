"""The parent of all workers: what it has imported, and that it started nothing."""

from __future__ import annotations

import json
import os
import subprocess
import sys

import pytest

linux = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="looks into /proc")


def in_a_process(script: str):
    """Run a script in a fresh interpreter; return what it printed last, as data."""
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout.splitlines()[-1])


@linux
def test_importing_everything_starts_no_pool():
    script = (
        "import json, threading\n"
        "from plateline.report import run_preload\n"
        "print(json.dumps([run_preload.live_pools(), run_preload.forkable,"
        " threading.active_count()]))"
    )
    assert in_a_process(script) == [[], True, 1]


@linux
@pytest.mark.parametrize(
    ("module", "work"),
    [
        (
            "import polars",
            "polars.DataFrame({'a': [1]}).lazy().group_by('a').len().collect()",
        ),
        (
            "import vl_convert",
            "vl_convert.vegalite_to_svg({'mark': 'point', 'data': {'values': []}})",
        ),
        ("import zmq", "zmq.Context().socket(zmq.PUB)"),
    ],
)
def test_a_parent_that_has_worked_is_not_forked(module, work):
    script = (
        f"import json\n{module}\nkept = {work}\n"
        "from plateline.report import run_preload\n"
        "print(json.dumps([len(run_preload.live_pools()) > 0, run_preload.forkable]))"
    )
    assert in_a_process(script) == [True, False]


@linux
def test_a_batch_whose_parent_had_pools_starts_its_workers_afresh(tmp_path):
    script = (
        "import json, sys, tempfile, multiprocessing\n"
        "from pathlib import Path\n"
        "from plateline.report import run_processes\n"
        "from plateline.report.run_crew import Crew\n"
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


def test_a_worker_imports_nothing_that_its_parent_could_have(tmp_path):
    """What is imported after the fork is paid for by every report."""
    compute = (
        "from pathlib import Path\n"
        "from plateline.exercises import read_logbook\n"
        "from plateline.places import data_demo\n"
        "from plateline.report.results import compute_results\n"
        f"compute_results(read_logbook([data_demo()])).save(Path({str(tmp_path)!r}))\n"
        "print('true')"
    )
    assert in_a_process(compute)
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
    assert in_a_process(script) == []


def _indented(text: str) -> str:
    return "".join(f"    {line}\n" for line in text.splitlines())
