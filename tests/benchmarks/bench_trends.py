"""An athlete's page of ten years against reading the same log, and against starting up, in turn."""

from __future__ import annotations

import datetime as dt
import statistics
from pathlib import Path

import numpy as np
import polars as pl

from .measure import SMALL, in_turn, plateline

YEARS, SETS, ROUNDS = (1, 2_000, 1) if SMALL else (10, 50_000, 5)
LAST_DAY = dt.date(2026, 3, 31)
LIFTS = {
    "Back squat": (80.0, 6), "Bench press": (60.0, 7), "Deadlift": (100.0, 5),
    "Overhead press": (40.0, 8), "Barbell row": (55.0, 9), "Pull-up": (0.0, 8),
    "Leg press": (120.0, 14), "Romanian deadlift": (70.0, 9), "Lat pulldown": (50.0, 11),
    "Leg curl": (35.0, 13), "Lateral raise": (8.0, 17), "Cable fly": (12.0, 16),
    "Calf raise": (60.0, 20), "Hammer curl": (12.0, 12), "Push-up": (0.0, 24),
}  # fmt: skip
"""An invented athlete's lifts: load at the start and usual repetitions."""

SETS_A_LIFT, LIFTS_A_DAY = 4, 6


def write_years(path: Path) -> None:
    """Write a log whose gains flatten over the years, four sets of six lifts a day."""
    chance = np.random.default_rng(5)
    number = np.arange(SETS)
    visit = number // SETS_A_LIFT
    day = visit // LIFTS_A_DAY
    lift = (visit + day) % len(LIFTS)
    ago = (day[-1] - day) * YEARS * 365 // max(int(day[-1]), 1)
    share = 1 + 0.5 * (1 - np.exp(-(YEARS * 365 - ago) / 900))
    start, usual = (np.array(values)[lift] for values in zip(*LIFTS.values(), strict=True))
    load = np.round(start * share * (1 + 0.015 * chance.standard_normal(SETS)) / 2.5) * 2.5
    pl.DataFrame(
        {
            "date": pl.Series(ago).cast(pl.Int32),
            "exercise": np.array(list(LIFTS))[lift],
            "load": load,
            "reps": usual + chance.integers(-1, 2, SETS),
            "rir": chance.integers(0, 4, SETS),
        }
    ).with_columns(date=pl.lit(LAST_DAY) - pl.duration(days="date")).write_csv(path)


def test_ten_years_on_one_page(benchmark, tmp_path: Path) -> None:
    log, page = tmp_path / "log.csv", tmp_path / "trends.html"
    write_years(log)
    commands = {
        "start": plateline("--help"),
        "intake": plateline("intake", log, "--out", tmp_path / "intake"),
        "trends": plateline("trends", log, "--out", page),
    }
    costs = benchmark.pedantic(in_turn, (list(commands.values()), ROUNDS), rounds=1)
    seconds = {
        name: statistics.median(cost.seconds for cost in each)
        for name, each in zip(commands, costs, strict=True)
    }
    benchmark.extra_info.update(
        sets=SETS,
        seconds={name: round(taken, 2) for name, taken in seconds.items()},
        times_the_intake=round(seconds["trends"] / seconds["intake"], 2),
        times_a_start=round(seconds["trends"] / seconds["start"], 1),
        peak_mib=round(max(cost.peak_mib for cost in costs[-1])),
        page_mb=round(page.stat().st_size / 1e6, 2),
    )
