"""Write what came in: clean sets, rejected rows and the account, all or nothing."""

from __future__ import annotations

import json
import shutil
import tempfile
from collections.abc import Mapping
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import polars as pl

from plateline.errors import OutputError
from plateline.log.intake_types import Intake

__all__ = ["spreadsheet_safe", "write_columns", "write_intake"]

FORMULA = r"^\s*[=+\-@\t\r\uFF1D\uFF0B\uFF0D\uFF20]"
"""Beginnings that make a spreadsheet read a text cell as a formula (common practice)."""


MOST_LOOKED_UP = 2000.0
"""Kilograms up to which numbers are looked up rather than spelt one by one."""


def spreadsheet_safe(frame: pl.DataFrame) -> pl.DataFrame:
    """Return `frame` with an apostrophe before text cells a spreadsheet would execute."""
    return _with_apostrophes(frame, _distinct_texts(frame))


def _with_apostrophes(frame: pl.DataFrame, distinct: Mapping[str, pl.Series]) -> pl.DataFrame:
    texts = [name for name, own in distinct.items() if own.str.contains(FORMULA).any()]
    return frame.with_columns(
        pl.when(pl.col(name).str.contains(FORMULA))
        .then(pl.concat_str(pl.lit("'"), pl.col(name)))
        .otherwise(pl.col(name))
        .alias(name)
        for name in texts
    )


def _distinct_texts(frame: pl.DataFrame) -> dict[str, pl.Series]:
    """Return the distinct texts of every column that holds any, for checks of all cells."""
    names = [
        name
        for name, dtype in frame.schema.items()
        if dtype == pl.String and frame[name].null_count() < frame.height
    ]
    lists = frame.select(pl.col(name).unique().implode() for name in names)
    return {name: lists[name].explode() for name in names}


def _write_csv(frame: pl.DataFrame, path: Path) -> None:
    """Write a CSV file that a spreadsheet does not execute.

    Fractions are turned into text before they are written, and cells are looked at for quotes
    only where a text needs any: the file is the same, in half the time.
    """
    distinct = _distinct_texts(frame)
    needs_quotes = any(
        (own.str.contains(r'[",\r\n]') | (own == "")).any() for own in distinct.values()
    )
    floats = pl.col(pl.Float64).map_batches(_as_text, return_dtype=pl.String, is_elementwise=True)
    _with_apostrophes(frame, distinct).lazy().with_columns(floats).sink_csv(
        path, quote_style="necessary" if needs_quotes else "never"
    )


def _as_text(numbers: pl.Series) -> pl.Series:
    """Return numbers as the writer writes them; eighths, as loads mostly are, are looked up."""
    low, high = numbers.min(), numbers.max()
    if (
        not isinstance(low, float)
        or not isinstance(high, float)
        or not high - low <= MOST_LOOKED_UP
    ):
        return numbers.cast(pl.String)
    eighths = (numbers - low) * 8
    place = eighths.cast(pl.UInt32, strict=False)
    if low * 8 % 1 or abs(low) > MOST_LOOKED_UP or not (place == eighths).all():
        return numbers.cast(pl.String)
    texts = pl.Series([str(low + eighth / 8) for eighth in range(int((high - low) * 8) + 1)])
    return texts.gather(place)


def write_columns(intake: Intake, path: Path | str) -> None:
    """Write what the headers were recognised as, as a TOML file for `columns`.

    Raises
    ------
    OutputError
        When no header was recognised, or the file cannot be written.
    """
    target = Path(path)
    if not intake.columns_toml:
        raise OutputError("No header was recognised, so there are no columns to save.")
    aside = target.with_name(f".{target.name}.new")
    try:
        aside.write_text(intake.columns_toml, encoding="utf-8")
        aside.replace(target)
    except OSError as fault:
        raise OutputError(f"{target} cannot be written: {fault.strerror}.") from fault


def write_intake(intake: Intake, out: Path | str, names: pl.DataFrame | None = None) -> list[Path]:
    """Write `sets.parquet`, `sets.csv`, `rejected.csv` and `intake.json` into a folder.

    Where `names` (EXERCISE_NAMES) is given, `exercises.csv` lists what every name was read as.

    Files are written aside and renamed at the end. Parquet keeps text as it was; in the CSV
    files a text cell that a spreadsheet would execute starts with an apostrophe.

    Raises
    ------
    OutputError
        When the folder cannot be made or written.
    """
    folder = Path(out)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        aside = Path(tempfile.mkdtemp(prefix=".intake-", dir=folder))
    except OSError as fault:
        raise OutputError(f"The folder {folder} cannot be written: {fault.strerror}.") from fault
    try:
        with ThreadPoolExecutor(1) as beside:
            table = beside.submit(intake.sets.write_parquet, aside / "sets.parquet")
            _write_csv(intake.sets, aside / "sets.csv")
            table.result()
        _write_csv(intake.rejected, aside / "rejected.csv")
        if names is not None:
            _write_csv(names, aside / "exercises.csv")
        text = json.dumps(intake.account, indent=2, ensure_ascii=False) + "\n"
        (aside / "intake.json").write_text(text, encoding="utf-8")
        written = []
        for path in sorted(aside.iterdir()):
            path.replace(folder / path.name)
            written.append(folder / path.name)
    except OSError as fault:
        raise OutputError(f"The folder {folder} cannot be written: {fault.strerror}.") from fault
    finally:
        shutil.rmtree(aside, ignore_errors=True)
    return written
