"""How long a command takes to start, against an interpreter that does nothing, in turn."""

from __future__ import annotations

import statistics
import sys

from .measure import SMALL, in_turn, plateline

ROUNDS = 2 if SMALL else 15


def test_start(benchmark, tmp_path):
    commands = {
        "python -c pass": [sys.executable, "-c", "pass"],
        "plateline --help": plateline("--help"),
        "plateline status": plateline(
            "status", _demo(), "--as-of", "2026-03-31", "--out", tmp_path / "status.csv"
        ),
        "import plateline": [sys.executable, "-c", "import plateline"],
    }
    costs = benchmark.pedantic(in_turn, (list(commands.values()), ROUNDS), rounds=1)
    seconds = {
        name: statistics.median(cost.seconds for cost in each)
        for name, each in zip(commands, costs, strict=True)
    }
    floor = seconds["python -c pass"]
    benchmark.extra_info.update(
        seconds=seconds,
        beyond_an_idle_interpreter_s={name: taken - floor for name, taken in seconds.items()},
        times_an_idle_interpreter={name: taken / floor for name, taken in seconds.items()},
    )


def _demo() -> str:
    from plateline.places import data_demo

    return str(data_demo())
