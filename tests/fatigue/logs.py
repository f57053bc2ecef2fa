"""Daily loads and logs for the tests of ratios and monotony."""

from __future__ import annotations

from pathlib import Path

import polars as pl
from tests.load.rows import MONDAY, day, log, work


def three_athletes() -> pl.DataFrame:
    """Daily loads of three athletes over 28 days.

    The example of Menaspa (Br J Sports Med 51:618) that Williams et al. 2017 (Br J Sports Med
    51:209-210) recompute; that these are his athletes is inferred from the match of all results.
    """
    return pl.read_csv(Path(__file__).with_name("load_three_athletes.csv")).select(
        client=pl.col("athlete").cast(pl.String),
        measure=pl.lit("load"),
        date=pl.lit(MONDAY) + pl.duration(days=pl.col("day") - 1),
        load=pl.col("load"),
    )


def series(loads: list[float | None]) -> pl.DataFrame:
    return pl.DataFrame(
        {
            "client": ["ann"] * len(loads),
            "measure": ["load"] * len(loads),
            "date": [day(n) for n in range(len(loads))],
            "load": loads,
        },
        schema_overrides={"load": pl.Float64},
    )


def three_a_week(weeks: int, load_kg: float = 100, **common) -> pl.DataFrame:
    days = [7 * week + d for week in range(weeks) for d in (0, 2, 4)]
    return log(*[work("Back squat", load_kg, 10, date=day(d)) for d in days], **common)
