"""Write what came in: clean sets, rejected rows and the account, all or nothing."""

from __future__ import annotations

import json
import shutil
import tempfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import polars as pl

from plateline.errors import OutputError
from plateline.log.csv_file import csv_cells, safe, write_csv
from plateline.log.intake_types import Intake

__all__ = ["spreadsheet_safe", "write_columns", "write_intake"]


def spreadsheet_safe(frame: pl.DataFrame) -> pl.DataFrame:
    """Return `frame` with an apostrophe before text cells a spreadsheet would execute."""
    texts = [name for name, dtype in frame.schema.items() if dtype == pl.String]
    return frame.with_columns(safe(pl.col(name)).alias(name) for name in texts)


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


def _write_parquet(frame: pl.DataFrame, path: Path) -> None:
    """Write a Parquet file: as small as by default, without statistics in three quarters of the time."""
    frame.lazy().sink_parquet(path, compression="zstd", compression_level=1, statistics=False)


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
        cells = csv_cells(intake.sets)
        with ThreadPoolExecutor(1) as beside:
            text = beside.submit(cells.sink_csv, aside / "sets.csv", quote_style="never")
            _write_parquet(intake.sets, aside / "sets.parquet")
            text.result()
        write_csv(intake.rejected, aside / "rejected.csv")
        if names is not None:
            write_csv(names, aside / "exercises.csv")
        account = json.dumps(intake.account, indent=2, ensure_ascii=False) + "\n"
        (aside / "intake.json").write_text(account, encoding="utf-8")
        written = []
        for path in sorted(aside.iterdir()):
            path.replace(folder / path.name)
            written.append(folder / path.name)
    except OSError as fault:
        raise OutputError(f"The folder {folder} cannot be written: {fault.strerror}.") from fault
    finally:
        shutil.rmtree(aside, ignore_errors=True)
    return written
