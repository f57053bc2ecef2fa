"""A real Dask scheduler and two workers on loopback: the same bytes, and a worker may die."""

from __future__ import annotations

import datetime as dt
import os
import re
import shutil
import signal
import socket
import subprocess
import sys
import time
from importlib.util import find_spec
from pathlib import Path

import polars as pl
import pytest
from tests.report.small import write_notebook, write_small_club

from plateline.errors import InputFileError, UsageError
from plateline.log import add_to_logbook, read_intake
from plateline.places import data_demo
from plateline.report import cluster_reports
from plateline.report.batch import Request, make_reports
from plateline.report.cluster import connected
from plateline.report.cluster_status import status_by_parts
from plateline.report.cluster_study import gather_parts
from plateline.report.parts import open_source, part_sizes, parts_of
from plateline.study.portions import gather

pytestmark = [
    pytest.mark.skipif(find_spec("distributed") is None, reason="Dask is not installed"),
    pytest.mark.cluster,
    # Dask's own connections close when its processes are killed
    pytest.mark.filterwarnings("ignore::ResourceWarning"),
]

MONTH = dt.date(2026, 3, 1)
BESIDE = {name: data_demo() / f"{name}.csv" for name in ("clients", "checkins", "plan")}


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


class DaskOnLoopback:
    """`dask scheduler` and `dask worker` processes, as on a cluster but on this machine."""

    def __init__(self, folder: Path) -> None:
        self.address = f"tcp://127.0.0.1:{_free_port()}"
        self._folder = folder
        self._processes = [self._dask("scheduler", "--port", self.address.rsplit(":", 1)[1])]
        self.workers = [self.start_worker(), self.start_worker()]

    def _dask(self, *words: str) -> subprocess.Popen[bytes]:
        log = (self._folder / f"{words[0]}-{time.monotonic_ns()}.log").open("wb")
        return subprocess.Popen(
            [sys.executable, "-m", "dask", *words, "--host", "127.0.0.1", "--no-dashboard"],
            cwd=self._folder, stdout=log, stderr=log, start_new_session=True,
        )  # fmt: skip

    def start_worker(self) -> subprocess.Popen[bytes]:
        worker = self._dask(
            "worker", self.address, "--nthreads", "1", "--no-nanny", "--death-timeout", "60"
        )
        self._processes.append(worker)
        return worker

    def kill(self, process: subprocess.Popen[bytes]) -> None:
        if process.poll() is None:
            os.killpg(process.pid, signal.SIGKILL)
        process.wait()

    def stop(self) -> None:
        for process in reversed(self._processes):
            self.kill(process)


@pytest.fixture(scope="module")
def dask_here(tmp_path_factory):
    here = DaskOnLoopback(tmp_path_factory.mktemp("dask"))
    yield here
    here.stop()


@pytest.fixture(scope="module")
def club(tmp_path_factory):
    return write_small_club(tmp_path_factory.mktemp("logs") / "club", clients=3)


WHAT_A_REPORT_KNOWS = (
    "from plateline import client_report\nreport = client_report(logbook, client, month)",
    "import hashlib\n"
    "def digest(frame):\n"
    "    return hashlib.sha256(frame.write_json().encode()).hexdigest()\n"
    "frames = dict(report.results.frames)\n"
    # A logbook that was kept does not know what was left out when it was filled.
    "of_the_intake = frames.pop('assumptions'), frames['clients'].get_column('duplicates')\n"
    "frames['clients'] = frames['clients'].drop('duplicates')\n"
    "{name: digest(frame) for name, frame in sorted(frames.items())}",
)


@pytest.fixture(scope="module")
def known(tmp_path_factory):
    """Give a notebook that shows every frame behind a report, to the last digit."""
    return write_notebook(tmp_path_factory.mktemp("notebook") / "n.ipynb", *WHAT_A_REPORT_KNOWS)


@pytest.fixture(scope="module")
def alone(club, known):
    """Give the reports of that notebook made on one machine."""
    out = club.parent / "alone"
    make_reports(Request([club], out, month=MONTH, jobs=2, source=known))
    return out


def files_of(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.name != "run.json"}


def test_reports_are_the_same_bytes(dask_here, tmp_path):
    """Of the report's own notebook, with its charts; below, of one that shows all that is known."""
    single = write_small_club(tmp_path / "club", clients=1)
    make_reports(Request([single], tmp_path / "alone", month=MONTH, jobs=1))
    request = Request([single], tmp_path / "spread", month=MONTH, cluster=dask_here.address)
    assert not make_reports(request).failed
    assert len(files_of(tmp_path / "spread")) == 3  # a page, its notebook, and the index
    assert files_of(tmp_path / "spread") == files_of(tmp_path / "alone")


def test_the_same_is_known_when_parts_hold_several_clients(
    dask_here, club, known, alone, monkeypatch
):
    monkeypatch.setattr(
        cluster_reports, "PARTS_A_WORKER", 1
    )  # a part of two clients, and one of one
    spread = club.parent / "spread"
    make_reports(Request([club], spread, month=MONTH, source=known, cluster=dask_here.address))
    assert files_of(spread) == files_of(alone)


def test_a_partitioned_logbook_gives_the_same_reports_read_here_or_on_workers(
    dask_here, club, known, alone
):
    store = club.parent / "store"
    add_to_logbook(read_intake([club / "log.csv"]), store)
    reading = {name: club / f"{name}.csv" for name in BESIDE}
    here, there = club.parent / "store-here", club.parent / "store-there"
    asked = {"reading": reading, "month": MONTH, "source": known}
    make_reports(Request([store], here, jobs=2, **asked))
    make_reports(Request([store], there, cluster=dask_here.address, **asked))
    assert files_of(there) == files_of(here)
    # And what is known of a client is what it is when the log is read whole.
    for page in ("007-2026-03.html", "mara-2026-03.html"):
        assert (here / page).read_bytes() == (alone / page).read_bytes()


def test_a_report_that_fails_on_a_worker_is_told(dask_here, tmp_path, monkeypatch):
    monkeypatch.setattr(cluster_reports, "PARTS_A_WORKER", 1)
    club = write_small_club(tmp_path / "club", clients=2)
    notebook = write_notebook(tmp_path / "n.ipynb", "if client == 'mara': 1 / 0", "client")
    out = tmp_path / "out"
    request = Request([club], out, month=MONTH, cluster=dask_here.address, source=notebook)
    batch = make_reports(request)
    assert [outcome.client for outcome in batch.failed] == ["mara"]
    assert "ZeroDivisionError" in (out / "mara-2026-03.html").read_text()
    assert "ZeroDivisionError" in (out / "mara-2026-03.ipynb").read_text()
    assert "ZeroDivisionError" not in (out / "007-2026-03.html").read_text()


@pytest.fixture(scope="module")
def store(tmp_path_factory):
    place = tmp_path_factory.mktemp("store") / "club"
    add_to_logbook(read_intake([data_demo() / "log.csv"]), place)
    return place


def test_states_are_the_same_bits_in_memory_from_a_store_and_on_a_cluster(
    dask_here, store, demo_logbook
):
    from plateline.trend import lift_status

    size = 4

    book = demo_logbook
    day = book.sets["date"].max()
    whole = lift_status(
        book.sets, day, catalogue=book.catalogue, checkins=book.checkins, clients=book.clients,
        plan=book.plan,
    )  # fmt: skip
    in_memory = open_source([data_demo() / "log.csv"], BESIDE)
    stored = open_source([store], BESIDE)
    assert (stored.first_day, stored.last_day) == (in_memory.first_day, in_memory.last_day)
    assert stored.clients == in_memory.clients
    for source in (in_memory, stored):
        assert pl.concat(status_by_parts(source, day, size=size)).equals(whole)
    with connected(dask_here.address, 2) as cluster:
        for source in (in_memory, stored):
            assert pl.concat(status_by_parts(source, day, cluster, size)).equals(whole)


def test_a_study_gathers_the_same_on_a_cluster_from_memory_or_a_store(
    dask_here, store, demo_logbook
):
    book = demo_logbook
    alone = gather([book.sets], catalogue=book.catalogue, checkins=book.checkins, plan=book.plan)
    stored = open_source([store], BESIDE)
    read_there = [stored.part(some) for some in part_sizes(stored.clients, 3)]
    with connected(dask_here.address, 2) as cluster:
        for parts in (parts_of(book, 3), read_there):
            found = gather_parts(parts, by="rep range", weeks=8.0, cluster=cluster).gathered
            assert found.moments.equals(alone.moments)
            assert found.naive.equals(alone.naive)
            assert found.counts == alone.counts


def test_what_a_part_refuses_is_raised_here(dask_here, store, tmp_path):
    place = tmp_path / "club"
    shutil.copytree(store, place)
    source = open_source([place], BESIDE)
    next(place.glob("teo/*.parquet")).write_bytes(b"damaged meanwhile")
    with (
        connected(dask_here.address, 2) as cluster,
        pytest.raises(InputFileError, match=r"teo.* which plateline did not write"),
    ):
        list(status_by_parts(source, source.last_day, cluster, 3))


def test_results_come_in_the_order_of_the_parts(dask_here):
    late = [f"__import__('time').sleep({0.3 if n % 3 == 0 else 0}) or {n}" for n in range(9)]
    with connected(dask_here.address, 2) as cluster:
        assert list(cluster.map(eval, late)) == list(range(9))


@pytest.mark.parametrize("address", ["tcp://127.0.0.1:9", "nonsense"])
def test_where_no_scheduler_answers_it_is_said(monkeypatch, address):
    monkeypatch.setattr("plateline.report.cluster.CONNECT_TIMEOUT_S", 0.3)
    with (
        pytest.raises(UsageError, match=rf"No Dask scheduler answers at '{re.escape(address)}'"),
        connected(address, 1),
    ):
        pass


@pytest.mark.skipif(not hasattr(signal, "pthread_sigmask"), reason="no such call here")
def test_ctrl_c_does_not_reach_a_cluster_that_is_started_here(monkeypatch):
    """Its processes inherit that; each would tell in a traceback that it was stopped."""
    blocked = []

    def start(**_options):
        blocked.extend(signal.pthread_sigmask(signal.SIG_BLOCK, []))
        raise UsageError("seen")

    monkeypatch.setattr("distributed.LocalCluster", start)
    with pytest.raises(UsageError, match="seen"), connected("local", 1):
        pass
    assert signal.SIGINT in blocked
    assert signal.SIGINT not in signal.pthread_sigmask(signal.SIG_BLOCK, [])


def test_a_scheduler_without_workers_is_said(monkeypatch):
    import distributed

    monkeypatch.setattr("plateline.report.cluster.WORKER_TIMEOUT_S", 0.5)
    with (
        distributed.LocalCluster(n_workers=0, processes=False, dashboard_address=":0") as empty,
        pytest.raises(UsageError, match="has no worker; start one"),
        connected(empty.scheduler_address, 1),
    ):
        pass


def test_workers_with_other_versions_are_refused(dask_here, monkeypatch):
    from plateline.report import cluster as room

    monkeypatch.setattr(room, "_needed", lambda: room.versions() | {"polars": "0.0.1"})
    with (
        pytest.raises(UsageError, match=r"has polars .*, here is 0\.0\.1; the same versions"),
        connected(dask_here.address, 1),
    ):
        pass


def test_workers_that_lack_the_kit_are_refused(dask_here, monkeypatch):
    def run(_client, _function):
        raise Exception("ModuleNotFoundError(\"No module named 'plateline'\")")  # as Dask does

    monkeypatch.setattr("distributed.Client.run", run)
    with (
        pytest.raises(UsageError, match=r"lack a module .*install plateline there"),
        connected(dask_here.address, 1),
    ):
        pass


def test_a_worker_that_is_killed_costs_no_report(dask_here, club, known, alone):
    """The last test here: only one worker is left."""
    spread = club.parent / "killed"
    killed = []

    def kill_one(_count, outcome):
        # Half-way: some reports are there, the others are under way on both workers.
        if outcome is not None and not killed:
            killed.append(dask_here.workers.pop())
            dask_here.kill(killed[0])

    request = Request([club], spread, month=MONTH, cluster=dask_here.address, source=known)
    batch = make_reports(request, kill_one)
    assert killed
    assert not batch.failed
    assert files_of(spread) == files_of(alone)
