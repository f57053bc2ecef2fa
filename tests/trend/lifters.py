"""Plain lifters for the tests: strength is given, sets follow from it with noise."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

import numpy as np
import polars as pl

from plateline.words import SETS, conform

AS_OF = dt.date(2026, 6, 28)


def lifter(
    path: Callable[[np.ndarray], np.ndarray],
    *,
    client: str = "a",
    exercise: str = "Bench press",
    weeks: int = 26,
    days_between: float = 3.5,
    noise_pct: float = 1.5,
    reps: Callable[[np.ndarray], np.ndarray] | int = 8,
    rir: float | None = 2.0,
    as_of: dt.date = AS_OF,
    one_rm_kg: float = 120.0,
    seed: int = 1,
) -> pl.DataFrame:
    """Return one lift's sets: one set a session, at the load that the strength of the day allows.

    `path` gives strength in % over `one_rm_kg` at times in weeks from the start; `reps` may
    depend on the time too. The load is exact, so what noise there is stands in it.
    """
    rng = np.random.default_rng(seed)
    day = np.arange(0, weeks * 7, days_between).astype(int)
    t = day / 7
    done = np.broadcast_to(reps(t) if callable(reps) else reps, t.shape).astype(int)
    reserve = 2.0 if rir is None else rir
    log_one_rm = np.log(one_rm_kg) + (path(t) + rng.normal(0, noise_pct, t.size)) / 100
    load = np.exp(log_one_rm) / (1 + (done + reserve) / 30)
    frame = pl.DataFrame(
        {
            "client": client,
            "exercise": exercise,
            "date": [as_of - dt.timedelta(days=weeks * 7 - 1 - int(d)) for d in day],
            "set_order": 1,
            "set_kind": "working",
            "load_kg": load,
            "reps": done,
            "rir": rir,
            "source_file": "log.csv",
            "source_line": np.arange(len(t)) + 2,
        }
    )
    missing = [name for name in SETS if name not in frame.columns]
    return conform(frame.with_columns(pl.lit(None).alias(name) for name in missing), SETS)


def steady(slope: float) -> Callable[[np.ndarray], np.ndarray]:
    """Strength that changes by `slope` % a week throughout."""
    return lambda t: slope * t


def turning(before: float, after: float, week: float) -> Callable[[np.ndarray], np.ndarray]:
    """Strength whose slope turns at a week."""
    return lambda t: before * np.minimum(t, week) + after * np.maximum(t - week, 0)
