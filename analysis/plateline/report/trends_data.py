"""An athlete's lifts as lean arrays for the page's own script.

Days are whole numbers since 1970, strength and loads kilograms with five digits (fewer, and a light
lift's line goes up in stairs and 135 lb come back as 134.9), each lift
its own columns; days and log lines, which mostly climb, are written as steps from the row
before. Ten years of training stay under a megabyte.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import polars as pl

from plateline.charts.lean import lean_number
from plateline.charts.trend import (
    DATED_STATES,
    LONGEST_LINE_DAYS,
    context_spans,
    share_of_start,
)
from plateline.charts.window import overview_spec, strength_window_spec, volume_window_spec
from plateline.strength import share_of_max

if TYPE_CHECKING:
    from plateline.report.trends import TrendsPage

__all__ = ["page_data"]


def page_data(page: TrendsPage) -> dict[str, Any]:
    """Return everything the script draws from: `unit, files, apart, lifts, specs`."""
    curves = page.frames["curves"].sort("exercise", "date")
    files = curves["source_file"].drop_nulls().unique().sort().to_list()
    curves = curves.with_columns(
        file=pl.col("source_file").replace_strict(files, list(range(len(files))), default=None)
        if files
        else pl.lit(None)
    )
    maxima = page.frames["sessions"].select("exercise", "date", "e1rm_kg")
    joined = curves.join(maxima, on=["exercise", "date"], how="left", maintain_order="left")
    by_lift = joined.partition_by("exercise", as_dict=True)
    weekly = page.frames["weekly"].sort("exercise", "week").partition_by("exercise", as_dict=True)
    stretches = page.frames["stretches"].select("start", "end", "label")
    return {
        "unit": page.unit,
        "files": files,
        "apart": LONGEST_LINE_DAYS,
        "lifts": [
            _lift(row, by_lift[(row["exercise"],)], weekly.get((row["exercise"],)), stretches)
            for row in page.frames["status"].iter_rows(named=True)
            if (row["exercise"],) in by_lift
        ],
        "strength": strength_window_spec(),
        "volume": volume_window_spec(),
        "overview": overview_spec(),
    }


def _lift(
    row: dict[str, Any], curve: pl.DataFrame, weekly: pl.DataFrame | None, stretches: pl.DataFrame
) -> dict[str, Any]:
    past, ahead = curve.filter(kind="session"), curve.filter(kind="forecast")
    usual = row["usual_reps"]
    return {
        "name": row["exercise"],
        "state": row["state"],
        "scale": "max" if row["scale"] == "e1rm" else "working",
        "reps": usual,
        "share": round(float(share_of_max(usual)), 4) if usual else None,
        "percent": round(share_of_start(curve), 6) if row["is_relative"] else None,
        "since": _since(row, past),
        "past": _columns(
            past,
            {
                "d": "date", "o": "observed_kg", "f": "fitted_kg", "l": "low_kg", "h": "high_kg",
                "m": "e1rm_kg", "kg": "load_kg", "r": "reps", "i": "rir", "n": "source_line",
                "s": "file",
            },
        ),
        "ahead": _columns(ahead, {"d": "date", "f": "fitted_kg", "l": "low_kg", "h": "high_kg"}),
        "weeks": _columns(weekly, {"d": "week", "v": "volume_load_kg", "r": "reps"})
        if weekly is not None
        else {"d": [], "v": [], "r": []},
        "spans": _spans(pl.concat([context_spans(past), stretches])),
    }  # fmt: skip


def _since(row: dict[str, Any], past: pl.DataFrame) -> int | None:
    """Return since when, where that says something: not "since the first session"."""
    since = row["since"]
    if since is None or row["state"] not in DATED_STATES or since <= past["date"].min():
        return None
    return (since - _EPOCH).days


def _columns(frame: pl.DataFrame, columns: dict[str, str]) -> dict[str, list[Any]]:
    return {
        key: [lean_number(value) for value in _plain(frame[name])] for key, name in columns.items()
    }


def _plain(column: pl.Series) -> list[Any]:
    if column.dtype == pl.Date:
        return _steps(column.cast(pl.Int64))
    if column.name == "source_line":
        return _steps(column)
    if column.dtype.is_float():
        return column.round_sig_figs(DIGITS).to_list()
    return column.to_list()


def _steps(column: pl.Series) -> list[int | None]:
    """Return whole numbers as steps from the known number before; unknown ones stay unknown."""
    before = column.forward_fill().shift(1).fill_null(0)
    return (column - before).to_list()


def _spans(named: pl.DataFrame) -> list[list[Any]]:
    """Return named stretches: first day, last day, what it was."""
    days = named.sort("start").with_columns(pl.col("start", "end").cast(pl.Int32))
    return [list(row) for row in days.iter_rows()]


DIGITS = 5

_EPOCH = pl.Series([0], dtype=pl.Int32).cast(pl.Date)[0]
