"""Weekly tables of a million sets against the same group-bys written bare, and of ten million;
and from a clean CSV on, against reading it with Polars alone.

Every job runs in a process of its own, in turn, so that time and peak memory are those the
system counts and a busy moment hits all of them. Run by hand: `python bench_weekly.py JOB FILE`.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import polars as pl

SETS_A_SESSION, SESSIONS_A_CLIENT = 22, 150
LIFTS_A_SESSION = 6


def make_sets(rows: int, seed: int) -> pl.DataFrame:
    """Make clean sets of lifters who train four days a week: six lifts, 22 sets, a quarter warm-ups."""
    from plateline.exercises import load_catalogue
    from plateline.load.door import lazy_sets

    chance = np.random.default_rng(seed)
    each = SETS_A_SESSION * SESSIONS_A_CLIENT
    number = np.arange(max(1, rows // each) * each)
    client, place = number // each, number % each
    session, set_number = place // SETS_A_SESSION, place % SETS_A_SESSION
    slot = set_number * LIFTS_A_SESSION // SETS_A_SESSION
    names = load_catalogue()["exercise"].sort().to_list()
    lift = (client * 7 + session % 4 * LIFTS_A_SESSION + slot) % len(names)
    frame = pl.DataFrame(
        {
            "client": client,
            "day": session // 4 * 7 + session % 4 * 2 - (session % 4 == 3),
            "session": session % 4,
            "lift": lift,
            "set_order": (set_number + 1).astype(np.int32),
            "load_kg": chance.integers(8, 60, number.size) * 2.5,
            "reps": chance.integers(5, 25, number.size).astype(np.int32),
            "rir": np.where(
                chance.random(number.size) < 0.3, np.nan, chance.integers(0, 5, number.size)
            ),
            "warm_up": set_number % 4 == 0,
        }
    )
    return lazy_sets(
        frame.select(
            "set_order",
            "load_kg",
            "reps",
            "rir",
            client=pl.format("client {}-{}", pl.lit(seed), "client"),
            date=pl.date(2025, 6, 2) + pl.duration(days="day"),
            session=pl.format("Day {}", pl.col("session") + 1),
            exercise=pl.col("lift").replace_strict(dict(enumerate(names))),
            set_kind=pl.when("warm_up").then(pl.lit("warm-up")).otherwise(pl.lit("working")),
        )
    ).collect()


def bare_polars(sets: pl.LazyFrame) -> int:
    """Write the same tables' group-bys as one would by hand: no names checked, nothing explained."""
    rows = sets.with_columns(
        week=pl.col("date").dt.truncate("1w"),
        work=pl.col("set_kind") != "warm-up",
    ).with_columns(hard=pl.col("work") & (pl.col("rir").is_null() | (pl.col("rir") <= 4)))
    rows = rows.collect()
    lift, reps, kg = ["client", "week", "exercise"], pl.col("reps"), pl.col("load_kg")
    tables = [
        rows.group_by(lift).agg(
            rows=pl.len(),
            working=pl.col("work").sum(),
            hard=pl.col("hard").sum(),
            all_reps=reps.sum(),
            volume=(reps * kg).sum(),
            working_volume=(reps * kg).filter("work").sum(),
            mean_load=(reps * kg).sum() / reps.sum(),
            top_load=kg.filter("work").max(),
            best=(kg * (1 + (reps + pl.col("rir").fill_null(0)) / 30)).filter("work").max(),
            rir=pl.col("rir").filter("work").mean(),
            days=pl.col("date").n_unique(),
        )
    ]
    about = _about()
    hard = rows.filter("hard").join(_muscles(about), on="exercise")
    tables += [
        hard.group_by("client", "week", *keys).agg(
            pl.col("counts").sum(), all_reps=reps.sum(), days=pl.col("date").n_unique()
        )
        for keys in (["muscle"], ["muscle", "position"])
    ]
    patterns = rows.join(about.select("exercise", "pattern"), on="exercise")
    tables.append(
        patterns.group_by("client", "week", "pattern").agg(
            pl.len(), pl.col("hard").sum(), all_reps=reps.sum(), volume=(reps * kg).sum()
        )
    )
    work = rows.filter("work").with_columns(
        zone=(reps > 5).cast(pl.Int8) + (reps > 12).cast(pl.Int8) + (reps > 20).cast(pl.Int8),
        effort=pl.col("rir").round(),
    )
    tables += [work.group_by(*lift, "zone").len(), work.group_by(*lift, "effort").len()]
    loads = work.join(tables[0].select(*lift, "best"), on=lift)
    tables.append(loads.group_by(*lift, share=(10 * kg / pl.col("best")).floor()).len())
    return sum(table.sort(table.columns[:3]).height for table in tables)


def pandas_tables(path: str) -> int:
    """Write the two main tables in pandas: volume by lift and week, hard sets by muscle and week."""
    import pandas as pd

    columns = ["client", "date", "exercise", "load_kg", "reps", "rir", "set_kind"]
    rows = pd.read_parquet(path, columns=columns)
    date = pd.to_datetime(rows["date"])
    rows["week"] = date - pd.to_timedelta(date.dt.weekday, unit="D")
    rows["volume"] = rows["reps"] * rows["load_kg"]
    rows["hard"] = (rows["set_kind"] != "warm-up") & ~(rows["rir"] > 4)
    lift = ["client", "week", "exercise"]
    by_lift = rows.groupby(lift, observed=True)[["volume", "reps", "hard"]].sum()
    long = rows[rows["hard"]].merge(_muscles(_about()).to_pandas(), on="exercise")
    by_muscle = long.groupby(["client", "week", "muscle"], observed=True)["counts"].sum()
    return len(by_lift) + len(by_muscle)


def _about() -> pl.DataFrame:
    from plateline.exercises import load_catalogue

    return load_catalogue().select("exercise", "pattern", "position", "direct", "indirect")


def _muscles(about: pl.DataFrame) -> pl.DataFrame:
    parts = [
        about.select("exercise", "position", muscle=pl.col(column), counts=pl.lit(counts))
        for column, counts in (("direct", 1.0), ("indirect", 0.5))
    ]
    return pl.concat(parts).explode("muscle", empty_as_null=True).drop_nulls("muscle")


def from_csv(name: str, path: str) -> float:
    """Read a contract log, make tables of it and return the seconds, imports aside."""
    import plateline
    from plateline.load import weekly_tables

    read, by_lift, by_muscle = plateline.read_log, plateline.weekly_load, plateline.weekly_muscles
    started = time.perf_counter()
    if name == "csv":
        pl.read_csv(path)
    else:
        sets = read(path)
        if name == "csv-lifts":
            by_lift(sets)
        elif name == "csv-main":
            by_lift(sets)
            by_muscle(sets)
        else:
            weekly_tables(sets)
    return time.perf_counter() - started


def job(name: str, path: str) -> float:
    """Do one job and return the number of rows it made, or the seconds of one from a CSV."""
    if name.startswith("csv"):
        return from_csv(name, path)
    sets = pl.scan_parquet(path)
    if name == "read":
        return sets.collect().height
    if name == "bare":
        return bare_polars(sets)
    if name == "pandas":
        return pandas_tables(path)
    from plateline.load.weekly import weekly_tables, write_weekly_tables

    if name == "tables":
        return sum(table.height for table in weekly_tables(sets).values())
    return len(write_weekly_tables(sets, Path(path).parent / "tables"))


def command(name: str, path: Path) -> list[str]:
    return [sys.executable, __file__, name, str(path)]


def test_weekly_tables_against_bare_group_bys(benchmark, tmp_path):
    from .measure import SMALL, in_turn

    path = tmp_path / "sets.parquet"
    make_sets(50_000 if SMALL else 1_000_000, seed=1).write_parquet(path)
    names = ("read", "bare", "tables", "pandas")
    commands = [command(name, path) for name in names]
    costs = benchmark.pedantic(in_turn, (commands, 1 if SMALL else 5), rounds=1)
    seconds = {
        name: statistics.median(cost.seconds for cost in each)
        for name, each in zip(names, costs, strict=True)
    }
    peak = {
        name: max(cost.peak_mib for cost in each) for name, each in zip(names, costs, strict=True)
    }
    start = seconds["read"]
    benchmark.extra_info.update(
        seconds=seconds,
        peak_mib=peak,
        times_bare=seconds["tables"] / seconds["bare"],
        times_bare_beyond_reading=(seconds["tables"] - start) / (seconds["bare"] - start),
        pandas_two_tables_times_ours=seconds["pandas"] / seconds["tables"],
    )


FROM_CSV = ("csv", "csv-lifts", "csv-main", "csv-all")
"""Reading alone; weekly load by lift; with hard sets by muscle; all seven weekly tables."""


def test_csv_to_weekly_tables_against_reading_it(benchmark, tmp_path):
    from .bench_intake import write_clean
    from .measure import SMALL

    path = tmp_path / "log.csv"
    write_clean(path, 50_000 if SMALL else 1_000_000)
    work: dict[str, list[float]] = {name: [] for name in FROM_CSV}
    whole: dict[str, list[float]] = {name: [] for name in FROM_CSV}

    def round_of_jobs() -> None:
        for name in FROM_CSV:
            started = time.perf_counter()
            said = subprocess.run(
                command(name, path), check=True, capture_output=True, text=True
            ).stdout
            whole[name].append(time.perf_counter() - started)
            work[name].append(float(said))

    benchmark.pedantic(round_of_jobs, rounds=1 if SMALL else 5)
    for what, seconds in (("work", work), ("process", whole)):
        median = {name: statistics.median(each) for name, each in seconds.items()}
        benchmark.extra_info[f"{what}_s"] = median
        benchmark.extra_info[f"{what}_times_reading"] = {
            name: round(median[name] / median["csv"], 2) for name in FROM_CSV[1:]
        }


def test_ten_million_from_the_csv_in_little_memory(benchmark, tmp_path):
    from .bench_intake import write_clean
    from .measure import SMALL, run

    path = tmp_path / "log.csv"
    write_clean(path, 100_000 if SMALL else 10_000_000)
    costs = benchmark.pedantic(
        lambda: {name: run(command(name, path)) for name in FROM_CSV[:3]}, rounds=1
    )
    benchmark.extra_info.update(
        seconds={name: cost.seconds for name, cost in costs.items()},
        peak_mib={name: cost.peak_mib for name, cost in costs.items()},
    )


def test_ten_million_sets_stream(benchmark, tmp_path):
    from .measure import SMALL, run

    parts, rows = (2, 50_000) if SMALL else (10, 1_000_000)
    for part in range(parts):
        make_sets(rows, seed=part).write_parquet(tmp_path / f"sets-{part}.parquet")
    every = tmp_path / "sets-*.parquet"
    names = ("tables", "write")
    costs = benchmark.pedantic(lambda: [run(command(name, every)) for name in names], rounds=1)
    benchmark.extra_info.update(
        sets=parts * rows,
        seconds={name: cost.seconds for name, cost in zip(names, costs, strict=True)},
        peak_mib={name: cost.peak_mib for name, cost in zip(names, costs, strict=True)},
    )


if __name__ == "__main__":
    print(job(*sys.argv[1:]))
