"""Batches of the demo club, through the command line as a coach calls it."""

from __future__ import annotations

import datetime as dt
import errno
import hashlib
import json
import os
import re
import shutil
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path

import nbformat
import pytest
from click.testing import CliRunner
from tests.calling import command_apart, here, imported

from plateline.cli.root import cli, main
from plateline.report import batch_plan
from plateline.report.batch import Request, default_jobs, make_reports
from plateline.report.parts import compute_part
from plateline.report.run import run_notebook
from plateline.report.run_record import input_digests

from .small import write_notebook, write_small_club

MONTH = "2026-03"
CLUB = ["007", "mara"]


def names_in(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


@pytest.fixture(scope="module")
def club(tmp_path_factory):
    return write_small_club(tmp_path_factory.mktemp("club") / "logbook", clients=len(CLUB))


@pytest.fixture(scope="module")
def club_run(club):
    out = club.parent / "out"
    imports = club.parent / "imports.json"
    done = command_apart("reports", club, "--month", MONTH, "--out", out, imports=imports)
    assert done.returncode == 0, done.stderr
    return out, done


def write_small_log(folder: Path) -> Path:
    """Write a log of two clients: one who trained in two months, one in the first only."""
    path = folder / "log.csv"
    rows = ["client,date,exercise,load,reps"]
    rows += [f"anna,2026-02-{day:02},squat,100,5" for day in (2, 9, 16, 23)]
    rows += [f"anna,2026-03-{day:02},squat,102.5,5" for day in (2, 9, 16, 30)]
    rows += [f"bob,2026-02-{day:02},bench press,80,5" for day in (3, 10, 17, 24)]
    path.write_text("\n".join(rows) + "\n")
    return path


@pytest.fixture
def small_log(tmp_path):
    return write_small_log(tmp_path)


@pytest.fixture
def brief(tmp_path, monkeypatch):
    """Let reports be made of a notebook that shows its client, which takes no time."""
    notebook = write_notebook(tmp_path / "brief.ipynb", "client")
    monkeypatch.setattr(batch_plan, "notebook", lambda _name: notebook)


def test_every_client_gets_a_page_and_there_is_an_index(club_run):
    out, done = club_run
    expected = [f"{client}-{MONTH}.{kind}" for client in CLUB for kind in ("html", "ipynb")]
    assert names_in(out) == sorted([*expected, "index.html", "run.json"])
    assert done.stdout == f"{len(CLUB)} reports. Open {out / 'index.html'}\n"
    assert done.stderr == ""
    index = (out / "index.html").read_text()
    assert all(f'href="{client}-{MONTH}.html"' in index for client in CLUB)


def test_the_process_of_a_batch_runs_no_notebook_machinery(club, club_run):
    """It reads, computes and hands out; notebooks are run and sealed by its workers."""
    loaded = imported(club.parent / "imports.json")["modules"]
    assert {"polars", "plateline.report.batch"} <= loaded
    for name in ("altair", "papermill", "nbclient", "IPython", "zmq", "vl_convert", "pandas"):
        assert name not in loaded, name
    # Half a second and more each, which the first page would wait for.
    assert not loaded & {"scipy.signal", "scipy.optimize", "scipy.stats"}


def test_a_batch_imports_on_one_thread_only(club, club_run):
    """Two threads that import a package and one of its modules can wait for each other for ever."""
    assert not imported(club.parent / "imports.json")["on_threads"]


def test_the_record_says_with_what_and_from_what(club, club_run):
    out, _ = club_run
    record = json.loads((out / "run.json").read_text())
    assert {"plateline", "python", "polars", "papermill"} <= record["versions"].keys()
    assert record["parameters"]["month"] == MONTH
    digests = {Path(entry["file"]).name: entry["sha256"] for entry in record["inputs"]}
    for name in ("log.csv", "clients.csv", "checkins.csv", "plan.csv"):
        assert digests[name] == hashlib.sha256((club / name).read_bytes()).hexdigest()
    assert [entry["client"] for entry in record["clients"]] == sorted(CLUB)
    assert {entry["outcome"] for entry in record["clients"]} == {"done"}
    assert all(seconds["notebook_s"] > 0 for seconds in record["timing"]["clients"].values())
    rows = record["rows"]
    parts = ("accepted", "rejected", "duplicates", "blank")
    assert rows["rows"] == sum(rows[part] for part in parts)


def test_a_report_made_alone_is_the_same_bytes(club, club_run, tmp_path):
    out, _ = club_run
    done = here("report", club, "--client", "007", "--month", MONTH, "--out", tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout == f"Open {tmp_path / f'007-{MONTH}.html'}\n"
    assert names_in(tmp_path) == [f"007-{MONTH}.html", f"007-{MONTH}.ipynb"]
    page = f"007-{MONTH}.html"
    assert (tmp_path / page).read_bytes() == (out / page).read_bytes()


def test_a_second_batch_differs_in_its_record_only(club, club_run):
    out, _ = club_run
    again = out.parent / "again"  # beside the first: the notebooks say where the log is
    # With one worker at a time, where the first had as many as there are cores.
    assert here("reports", club, "--month", MONTH, "--jobs", 1, "--out", again).returncode == 0
    assert names_in(again) == names_in(out)
    for name in names_in(out):
        if name != "run.json":
            assert (again / name).read_bytes() == (out / name).read_bytes(), name
    first, second = (json.loads((place / "run.json").read_text()) for place in (out, again))
    assert first.pop("timing") != second.pop("timing")
    jobs = [record["parameters"].pop("jobs") for record in (first, second)]
    assert jobs == [default_jobs(), 1]
    assert first == second


def test_times_and_temporary_places_are_in_the_record_only(club_run):
    out, _ = club_run
    for path in out.glob("*.ipynb"):
        text = path.read_text()
        assert "/plateline-" not in text, path
        assert not re.search(r"T\d\d:\d\d:\d\d", text), path


def test_the_executed_notebook_runs_again_where_it_stands(club_run, monkeypatch):
    out, _ = club_run
    path = out / f"007-{MONTH}.ipynb"
    monkeypatch.chdir(out)  # where its kernel then starts, a process of its own
    again = json.loads(nbformat.writes(run_notebook(Path(path.name), {})))
    kept = json.loads(path.read_text())
    assert [cell.get("outputs") for cell in again["cells"]] == [
        cell.get("outputs") for cell in kept["cells"]
    ]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["report", "--client", "07"], "no client '07'. Did you mean '007'?"),
        (["report", "--client", "nobody at all"], "There is no client 'nobody at all'."),
        (["report"], "The log has 8 clients; name one with --client: '007'"),
        (["report", "--client", "007", "--month", "2031-01"], "No set was logged in January 2031"),
        (["reports", "--month", "2031-01"], "Nobody logged a set in January 2031"),
        (["reports", "--month", "2001-01"], "2001"),
        (["reports", "--month", "March"], "'March' is not a month; write it like 2026-03."),
        (["reports", "no/such/log.csv"], "no/such/log.csv"),
        (["report", "--client", "007", "--note", "no/such/note.md"], "note.md cannot be read"),
        (["reports", "--note", "no/such/folder"], "There is no folder of notes"),
        (["reports", "--jobs", "0"], "0 is not in the range x>=1"),
    ],
)
def test_a_wrong_call_is_a_sentence_and_writes_nothing(tmp_path, monkeypatch, capsys, words, said):
    out = tmp_path / "out"
    monkeypatch.setattr("sys.argv", ["plateline", *words, "--out", str(out)])
    with pytest.raises(SystemExit) as ended:
        main()
    assert ended.value.code == 2
    printed = capsys.readouterr()
    assert said in printed.err
    assert "Traceback" not in printed.err
    assert printed.out == ""
    assert not out.exists()


def test_an_output_folder_that_cannot_be_written_is_a_sentence(tmp_path):
    in_the_way = tmp_path / "file"
    in_the_way.touch()
    for place in (in_the_way, in_the_way / "below"):
        done = here("reports", "--out", place)
        assert done.returncode == 2
        assert "cannot be written" in done.stderr or "is a file" in done.stderr
        assert "Traceback" not in done.stderr
    assert names_in(tmp_path) == ["file"]


@pytest.fixture(scope="module")
def small_run(tmp_path_factory):
    """Make the reports of two clients, with a note for one and one for nobody."""
    folder = tmp_path_factory.mktemp("small")
    notes = folder / "notes"
    notes.mkdir()
    (notes / "anna.md").write_text("Well done & <b>keep on</b>.\r\n")
    (notes / "ana.md").write_text("For nobody.")
    log = write_small_log(folder)
    words = ("--month", MONTH, "--note", notes, "--jobs", 1, "--out", folder / "out")
    done = here("reports", log, *words)
    assert done.returncode == 0, done.stderr
    return folder / "out", done


def test_a_client_without_data_in_the_month_has_a_page_that_says_so(small_run):
    out, done = small_run
    assert done.stdout.startswith("1 report, 1 without data that month.")
    page = (out / f"bob-{MONTH}.html").read_text()
    assert "No set was logged in March 2026; the log runs from 3 Feb 2026 to 24 Feb 2026." in page
    outcomes = {row["client"]: row["outcome"] for row in
                json.loads((out / "run.json").read_text())["clients"]}  # fmt: skip
    assert outcomes == {"anna": "done", "bob": "no data"}
    assert f'href="bob-{MONTH}.html"' in (out / "index.html").read_text()


def test_the_only_client_of_a_log_need_not_be_named(small_log, tmp_path, brief):
    lines = small_log.read_text().splitlines()
    alone = tmp_path / "alone.csv"
    alone.write_text("\n".join(line for line in lines if not line.startswith("bob")))
    done = here("report", alone, "--out", tmp_path / "out")
    assert done.returncode == 0, done.stderr
    assert f"anna-{MONTH}.html" in done.stdout
    assert "'anna'" in (tmp_path / "out" / f"anna-{MONTH}.ipynb").read_text()


def test_a_log_without_a_client_column_takes_the_client_from_the_command(
    small_log, tmp_path, brief
):
    lines = [line for line in small_log.read_text().splitlines() if not line.startswith("bob")]
    bare = tmp_path / "bare.csv"
    bare.write_text("\n".join(line.split(",", 1)[1] for line in lines))
    done = here("report", bare, "--client", "../x", "--month", MONTH, "--out", tmp_path / "out")
    assert done.returncode == 0, done.stderr
    (page,) = (tmp_path / "out").glob("*.html")
    assert page.name.startswith("x~")


def test_a_note_stands_in_the_page_as_text(small_run):
    out, done = small_run
    page = (out / f"anna-{MONTH}.html").read_text()
    assert "Well done &amp; &lt;b&gt;keep on&lt;/b&gt;." in page
    assert "There is a note for 'ana', but no such client; it is not used." in done.stderr


def test_a_client_that_fails_is_told_and_the_others_are_made(small_log, tmp_path, monkeypatch):
    notebook = write_notebook(
        tmp_path / "n.ipynb", "1", "if client == 'anna': raise ValueError('no such thing <i>')"
    )
    monkeypatch.setattr(batch_plan, "notebook", lambda _name: notebook)
    out = tmp_path / "out"
    done = CliRunner().invoke(
        cli, ["reports", str(small_log), "--month", "2026-02", "--jobs", "1", "--out", str(out)],
        standalone_mode=False,
    )  # fmt: skip
    assert done.return_value == 1, done.output
    assert "1 report, 1 that could not be made." in done.stdout
    assert "plateline: anna: The notebook stopped" in done.stderr
    page = (out / "anna-2026-02.html").read_text()
    assert "This report could not be made." in page
    assert "ValueError: no such thing &lt;i&gt;." in page
    assert "<i>" not in page
    assert (out / "bob-2026-02.html").exists()
    # What ran before the failure is kept for whoever mends it.
    assert "ValueError" in (out / "anna-2026-02.ipynb").read_text()
    assert "anna" in (out / "index.html").read_text()
    assert not [name for name in names_in(out) if name.startswith(".")]


def test_tables_and_charts_beside_a_page_whatever_a_lift_is_called(club, tmp_path):
    logbook = tmp_path / "logbook"
    shutil.copytree(club, logbook)
    rows = (club / "log.csv").read_text().splitlines()
    lift = next(row for row in rows if row.startswith("mara")).split(",")[3]
    (logbook / "log.csv").write_text("\n".join(rows).replace(lift, "../../squat/../x") + "\n")
    out = tmp_path / "deep" / "out"
    folder = out / f"mara-{MONTH}-files"
    folder.mkdir(parents=True)
    (folder / "of an earlier run.csv").touch()
    done = here("report", logbook, "--client", "mara", "--month", MONTH, "--files", "--out", out)
    assert done.returncode == 0, done.stderr
    assert names_in(tmp_path / "deep") == ["out"]
    assert names_in(out) == [f"mara-{MONTH}-files", f"mara-{MONTH}.html", f"mara-{MONTH}.ipynb"]
    tables, pictures = list(folder.glob("*.csv")), list(folder.glob("*.png"))
    assert tables
    assert pictures
    assert any("squat" in path.name for path in pictures)
    assert all(path.read_bytes().startswith(b"\x89PNG") for path in pictures)
    assert {path.stem for path in folder.glob("*.svg")} == {path.stem for path in pictures}
    assert "of an earlier run" not in {path.stem for path in tables}
    assert "../../squat/../x" in "".join(path.read_text() for path in tables)
    other = re.compile(r"^007,|,007,|dia B\.", re.MULTILINE)
    assert other.search((logbook / "clients.csv").read_text())
    assert not [path for path in tables if other.search(path.read_text())]


def test_a_batch_that_is_stopped_leaves_nothing_though_parts_are_still_computed(
    small_log, tmp_path, monkeypatch, brief
):
    temporary, go_on = tmp_path / "temporary", threading.Event()
    temporary.mkdir()
    monkeypatch.setattr("tempfile.tempdir", str(temporary))
    parts = []

    def compute(*given):
        if parts:
            go_on.wait(60)
        parts.append(given)
        return compute_part(*given)

    monkeypatch.setattr("plateline.report.batch_parts.compute_part", compute)

    def stop(_count, outcome):
        if outcome is not None:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        make_reports(Request([small_log], tmp_path / "out", month=dt.date(2026, 2, 1)), stop)
    go_on.set()
    for thread in threading.enumerate():
        if thread.name == "plateline-feed":
            thread.join(60)
    assert len(parts) == 2
    assert not list(temporary.glob("plateline-*"))


def test_a_file_that_is_gone_by_the_time_of_the_record_is_left_out(tmp_path, monkeypatch):
    """As what is under way in a logbook that is being added to."""
    here_still, gone = tmp_path / "a.csv", tmp_path / ".b.part"
    here_still.touch()
    monkeypatch.setattr(Path, "rglob", lambda _folder, _pattern: [gone, here_still])
    monkeypatch.setattr(Path, "is_file", lambda _path: True)
    assert [each["file"] for each in input_digests([tmp_path])] == [str(here_still)]


def test_results_that_cannot_be_kept_are_a_sentence(small_log, tmp_path, monkeypatch, brief):
    def full(_results, _folder):
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr("plateline.report.results.Results.save", full)
    done = here("reports", small_log, "--month", "2026-02", "--out", tmp_path / "out")
    assert done.returncode == 1
    assert "cannot be kept in the temporary folder" in done.stderr
    assert "name another folder in TMPDIR" in done.stderr
    assert not (tmp_path / "out").exists()


@pytest.mark.skipif(sys.platform == "win32", reason="signals are sent otherwise there")
@pytest.mark.parametrize(
    ("name", "status", "said"), [("SIGINT", 130, "\nStopped.\n"), ("SIGTERM", 143, "")]
)
def test_a_batch_that_is_stopped_or_ended_leaves_nothing(club, tmp_path, name, status, said):
    out, temporary = tmp_path / "out", tmp_path / "temporary"
    temporary.mkdir()
    call = [sys.executable, "-m", "plateline", "reports", str(club), "--out", str(out)]
    batch = subprocess.Popen(
        call, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, start_new_session=True,
        env=os.environ | {"TMPDIR": str(temporary)},
    )  # fmt: skip
    while not list(temporary.glob("*/*")):  # where workers, or their parent, are starting
        time.sleep(0.02)
    os.killpg(batch.pid, getattr(signal, name))
    assert batch.communicate(timeout=60) == ("", said)
    assert batch.returncode == status
    assert not out.exists()
    assert not list(temporary.iterdir())
