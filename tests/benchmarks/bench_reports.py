"""A batch of reports against the same notebooks run by papermill alone, in turn."""

from __future__ import annotations

import json
import statistics
import sys
from pathlib import Path

import polars as pl
import pytest

from .club import write_club
from .measure import SMALL, in_turn, plateline, run

MONTH = "2026-03"
CLIENTS = 2 if SMALL else 10
MANY = 4 if SMALL else 100
ROUNDS = 1 if SMALL else 3
PLAIN = str(Path(__file__).with_name("plain_batch.py"))


@pytest.fixture(scope="module")
def club(tmp_path_factory):
    folder = write_club(tmp_path_factory.mktemp("club"), CLIENTS)
    clients = pl.read_csv(folder / "clients.csv", infer_schema=False)["client"].to_list()
    return folder, sorted(clients)


def _saved_results(folder: Path, place: Path) -> Path:
    from plateline.exercises import read_logbook
    from plateline.report.results import compute_results

    compute_results(read_logbook([folder]), MONTH).save(place)
    return place


def test_reports_against_plain_papermill(benchmark, club, tmp_path):
    folder, clients = club
    results = _saved_results(folder, tmp_path / "results")
    for name in ("kit", "plain", "spared"):
        (tmp_path / name).mkdir()
    commands = [
        plateline("reports", folder, "--month", MONTH, "--out", tmp_path / "kit"),
        [sys.executable, PLAIN, str(folder), str(tmp_path / "plain"), MONTH, *clients],
        [sys.executable, PLAIN, str(results), str(tmp_path / "spared"), MONTH, *clients],
    ]
    kit, plain, spared = benchmark.pedantic(in_turn, (commands, ROUNDS), rounds=1)
    assert len(list((tmp_path / "kit").glob("*.html"))) == CLIENTS + 1
    for client in clients:
        # The pages must be the same before their times are worth comparing.
        assert _body(tmp_path / "plain" / f"{client}.html") == _body(
            tmp_path / "kit" / f"{client}-{MONTH}.html"
        )
    seconds = [statistics.median(cost.seconds for cost in costs) for costs in (kit, plain, spared)]
    benchmark.extra_info.update(
        clients=CLIENTS,
        kit_s=seconds[0],
        plain_s=seconds[1],
        plain_from_saved_results_s=seconds[2],
        times_faster_than_plain=seconds[1] / seconds[0],
        times_faster_than_plain_from_saved_results=seconds[2] / seconds[0],
        kit_peak_mib=max(cost.peak_mib for cost in kit),
        plain_peak_mib=max(cost.peak_mib for cost in plain),
    )


@pytest.mark.timeout(1800)
def test_a_large_batch(benchmark, tmp_path):
    """Seconds for many clients, until the first page is there, and against papermill alone.

    papermill alone makes a few of the same log's reports; each costs it the same.
    """
    folder = write_club(tmp_path / "club", MANY)
    out, plain_out = tmp_path / "out", tmp_path / "plain"
    plain_out.mkdir()
    cost = benchmark.pedantic(
        run, (plateline("reports", folder, "--month", MONTH, "--out", out),), rounds=1
    )
    record = json.loads((out / "run.json").read_text())
    assert len(record["clients"]) == MANY
    assert {client["outcome"] for client in record["clients"]} == {"done"}
    some = [client["client"] for client in record["clients"]][: 1 if SMALL else 5]
    plain = run([sys.executable, PLAIN, str(folder), str(plain_out), MONTH, *some])
    benchmark.extra_info.update(
        clients=MANY,
        plain_seconds_a_report=plain.seconds / len(some),
        times_faster_than_plain=plain.seconds / len(some) / (cost.seconds / MANY),
        seconds=cost.seconds,
        seconds_a_report=cost.seconds / MANY,
        first_page_s=record["timing"]["first_page_s"],
        peak_mib=cost.peak_mib,
    )


def _body(page: Path) -> str:
    text = page.read_text(encoding="utf-8")
    return text[text.index("<section") :]
