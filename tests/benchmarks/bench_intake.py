"""The intake of clean and awkward logs, against reading the same file with Polars alone.

Every job runs in a process of its own, in turn, so that time and peak memory are those the
system counts and a busy moment hits all of them. Run by hand: `python bench_intake.py JOB FILE`.
The jobs time themselves after the imports of the front, which cost the same on both sides; `write`
is the whole command with all its files.
"""

from __future__ import annotations

import contextlib
import io
import statistics
import sys
import tempfile
import time
from pathlib import Path

import numpy as np
import polars as pl
import pytest

SETS_A_SESSION, SESSIONS = 15, 156
LIFTS = ("Squat", "Bench press", "Romanian deadlift", "Lat pulldown", "Cable fly")
BASE_KG = (100.0, 70.0, 90.0, 55.0, 20.0)


def write_clean(path: Path, rows: int) -> None:
    """Write a contract log: three sets of five lifts a session, a load that climbs, no fault."""
    chance = np.random.default_rng(1)
    number = np.arange(rows)
    day = number // SETS_A_SESSION % SESSIONS
    lift = number // 3 % len(LIFTS)
    share = np.where(number % 3 == 0, 1.0, 0.8) * (1 + 0.001 * day)
    load = np.array(BASE_KG)[lift] * share * (1 + 0.02 * chance.standard_normal(rows))
    pl.DataFrame(
        {
            "client": number // (SETS_A_SESSION * SESSIONS) + 10_000,
            "date": pl.Series(day * 7 // 3).cast(pl.Int32),
            "session": np.where(day % 2 == 0, "A", "B"),
            "exercise": np.array(LIFTS)[lift],
            "set_order": number % SETS_A_SESSION + 1,
            "set_kind": np.array(["top", "back-off", "working"])[number % 3],
            "superset": pl.Series([None] * rows, dtype=pl.String),
            "load": np.round(load / 2.5) * 2.5,
            "unit": np.full(rows, "kg"),
            "reps": np.where(number % 3 == 0, 8, 15) + chance.integers(0, 3, rows),
            "rir": chance.integers(0, 4, rows),
            "rest_s": np.full(rows, 120),
            "feel": chance.integers(1, 6, rows),
            "note": pl.Series([None] * rows, dtype=pl.String),
        }
    ).with_columns(date=pl.date(2023, 1, 2) + pl.duration(days="date")).write_csv(path)


def write_compact(path: Path, rows: int) -> None:
    """Write a German log of short forms, no two cells alike: four sets a row."""
    chance = np.random.default_rng(2)
    lines = ["Datum;Übung;Ergebnis;Notiz"]
    for i in range(rows):
        kg, (a, b, c, d) = 40 + chance.integers(0, 400) / 4, chance.integers(5, 20, 4)
        sets = f"{kg:g}x{a}, {kg + 2.5:g}x{b}, {kg - 7.25:g}x{c} @8, {kg:g}x{d}"
        lines.append(f"{1 + i % 28:02d}.{1 + i // 28 % 9:02d}.2026;Übung {i % 40};{sets};nr {i}")
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")


def write_mixed(path: Path, rows: int) -> None:
    """Write an American log whose every cell carries its unit or a mark, units mixed."""
    chance = np.random.default_rng(3)
    lines = ["Date,Exercise,Set,Weight,Reps,RPE,Notes"]
    for i in range(rows):
        kg, reps = 40 + chance.integers(0, 4000) / 40, chance.integers(5, 20)
        unit, mark = ("kg", "lb", "lbs", "")[i % 4], ("", " reps", "F")[i % 3]
        lines.append(
            f"{1 + i // 28 % 9}/{1 + i % 28}/2026,Lift {i % 40},{i % 5 + 1},{kg:g} {unit},{reps}{mark},"
            f"@{6 + i % 4},n{i}"
        )
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")


def job(name: str, path: Path) -> float:
    """Do one job and return its seconds."""
    from plateline.cli.intake import command
    from plateline.log import read_intake

    with tempfile.TemporaryDirectory(dir=path.parent) as out:
        started = time.perf_counter()
        if name == "polars":
            pl.read_csv(path)
        elif name == "read":
            read_intake(path)
        else:
            with contextlib.redirect_stdout(io.StringIO()):
                command.main([str(path), "--out", out], standalone_mode=False)
        return time.perf_counter() - started


if __name__ == "__main__":
    print(job(sys.argv[1], Path(sys.argv[2])))
else:
    from .measure import SMALL, run

    def _seconds(name: str, path: Path) -> float:
        import subprocess

        said = subprocess.run(
            [sys.executable, __file__, name, str(path)], check=True, capture_output=True, text=True
        )
        return float(said.stdout)

    def test_a_clean_million_against_polars(benchmark, tmp_path: Path) -> None:
        path = tmp_path / "log.csv"
        write_clean(path, 50_000 if SMALL else 1_000_000)
        bare, read, written = [], [], []

        def round_of_jobs() -> None:
            bare.append(_seconds("polars", path))
            read.append(_seconds("read", path))
            written.append(_seconds("write", path))

        benchmark.pedantic(round_of_jobs, rounds=1 if SMALL else 5)
        base = statistics.median(bare)
        benchmark.extra_info["read_csv_s"] = round(base, 3)
        benchmark.extra_info["read_intake_ratio"] = round(statistics.median(read) / base, 2)
        benchmark.extra_info["read_and_write_ratio"] = round(statistics.median(written) / base, 2)

    def test_ten_million_in_little_memory(benchmark, tmp_path: Path) -> None:
        path = tmp_path / "log.csv"
        write_clean(path, 100_000 if SMALL else 10_000_000)
        command = [
            sys.executable, "-m", "plateline", "intake", str(path), "--out", str(tmp_path / "out"),
        ]  # fmt: skip
        cost = benchmark.pedantic(run, args=(command,), rounds=1)
        benchmark.extra_info["peak_gib"] = round(cost.peak_mib / 1024, 2)

    @pytest.mark.parametrize("write", [write_compact, write_mixed])
    def test_awkward_rows_a_minute(benchmark, tmp_path: Path, write) -> None:
        path = tmp_path / "log.csv"
        rows = 2_000 if SMALL else 50_000
        write(path, rows)
        seconds = [benchmark.pedantic(_seconds, args=("read", path), rounds=1 if SMALL else 3)]
        benchmark.extra_info["rows_a_minute"] = round(rows / statistics.median(seconds) * 60)
