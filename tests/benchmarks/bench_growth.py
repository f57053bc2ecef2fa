"""How cost grows with work: time and memory at 1x, 10x and 100x, by the system's accounting.

Set PLATELINE_BENCH_PLOTS to a folder to have the two pictures drawn there, by the kit itself.
"""

from __future__ import annotations

import math
import os
from pathlib import Path

import pytest

from .club import write_club, write_store
from .measure import SMALL, Cost, plateline, run

CLIENTS = (1, 2, 4) if SMALL else (20, 200, 2000)
REPORTS = (1, 2) if SMALL else (1, 10, 100)
MONTH, DAY = "2026-03", "2026-03-31"

found: dict[str, dict[int, Cost]] = {}
"""Costs by kind of work and number of clients, for the pictures."""


@pytest.fixture(scope="module", autouse=True)
def pictures():
    yield
    folder = os.environ.get("PLATELINE_BENCH_PLOTS")
    if folder:
        draw(Path(folder))


def _status(tmp_path: Path, clients: int) -> list[str]:
    folder = write_club(tmp_path / "club", clients)
    return plateline("status", folder, "--as-of", DAY, "--out", tmp_path / "status.csv")


def _status_of_store(tmp_path: Path, clients: int) -> list[str]:
    folder = write_store(tmp_path / "store", clients)
    return plateline("status", folder, "--as-of", DAY, "--out", tmp_path / "status.csv")


def _reports(tmp_path: Path, clients: int) -> list[str]:
    folder = write_club(tmp_path / "club", clients)
    return plateline("reports", folder, "--month", MONTH, "--out", tmp_path / "out")


@pytest.mark.timeout(1800)
@pytest.mark.parametrize(
    ("work", "command", "clients"),
    [
        *(("states, log in memory", _status, clients) for clients in CLIENTS),
        *(("states, partitioned log", _status_of_store, clients) for clients in CLIENTS),
        *(("reports", _reports, clients) for clients in REPORTS),
    ],
)
def test_growth(benchmark, tmp_path, work, command, clients):
    cost = benchmark.pedantic(run, (command(tmp_path, clients),), rounds=1)
    smallest = found.setdefault(work, {}).setdefault(min(found[work], default=clients), cost)
    found[work][clients] = cost
    benchmark.extra_info.update(
        work=work,
        clients=clients,
        seconds=cost.seconds,
        peak_mib=cost.peak_mib,
        times_the_smallest={
            "clients": clients / min(found[work]),
            "seconds": cost.seconds / smallest.seconds,
            "peak_mib": cost.peak_mib / smallest.peak_mib if smallest.peak_mib else math.nan,
        },
    )


def draw(folder: Path) -> None:
    """Draw seconds and memory against the number of clients."""
    from plateline.charts import Figure

    folder.mkdir(parents=True, exist_ok=True)
    for field, title, unit in (("seconds", "Time", "s"), ("peak_mib", "Memory", "MiB")):
        points = [
            {"work": work, "clients": clients, "cost": getattr(cost, field)}
            for work, costs in found.items()
            for clients, cost in sorted(costs.items())
        ]
        axis = {"type": "quantitative", "scale": {"type": "log"}}
        Figure(
            {
                "data": {"values": points},
                "mark": {"type": "line", "point": True},
                "encoding": {
                    "x": {"field": "clients", "title": "Clients of nine months each", **axis},
                    "y": {"field": "cost", "title": None, **axis},
                    "color": {"field": "work", "type": "nominal", "title": None},
                    "strokeDash": {"field": "work", "type": "nominal", "title": None},
                },
            },
            title=f"{title} as work grows ({unit})",
            alt=f"{title} of each kind of work against the number of clients, both on log scales.",
        ).save(folder / f"growth-{field}.svg")
