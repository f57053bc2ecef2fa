"""A file of exercises, as it is or as a spreadsheet saved it, read and checked."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import polars as pl

from plateline.errors import InputFileError, MissingColumnError
from plateline.exercises.normal import normalise
from plateline.log.files import decode, read_bytes
from plateline.words import CATALOGUE, Position, conform

__all__ = ["LATERALITIES", "read_exercises"]

LATERALITIES = ("bilateral", "unilateral", "bilateral one-hand", "unilateral one-hand")
"""Whether a set is done with both sides or side by side. `one-hand` marks dumbbell and
kettlebell lifts whose logged load is the whole load; without it dumbbells come in pairs."""

_DELIMITERS = ",;\t|"
_LISTS = {"aliases": ";|", "direct": ";|,", "indirect": ";|,", "substitutes": ";|"}
"""What separates the names of a list; a comma may stand within an alias."""

_NUMBERS = {"body_mass_share": (0.0, 1.0), "load_step_kg": (0.0, 100.0)}
_CHOICES = {"position": tuple(p.value for p in Position), "laterality": LATERALITIES}

_MUSCLE_WORDS = {
    "quads": "quadriceps", "hams": "hamstrings", "glute": "glutes", "gluteus": "glutes",
    "pecs": "chest", "pectorals": "chest", "abs": "abdominals", "core": "abdominals",
    "calf": "calves", "front delts": "front deltoids", "side delts": "side deltoids",
    "rear delts": "rear deltoids", "bicep": "biceps", "tricep": "triceps", "lat": "lats",
    "trapezius": "traps", "erectors": "lower back", "abductors": "hip abductors",
}  # fmt: skip
"""Other words of the trade for the muscles of the catalogue."""


def read_exercises(path: Path) -> pl.DataFrame:
    """Read a file of exercises into CATALOGUE, sorted by exercise.

    Raises
    ------
    InputFileError
        When the file cannot be read, or a value is outside its vocabulary or range.
    MissingColumnError
        When there is no column `exercise`.
    """
    if not path.exists():
        raise InputFileError(f"There is no exercises file {path}.")
    text = decode(read_bytes(path), path.name).text
    raw = _rows(text, path)
    _check(raw, path)
    return conform(
        raw.with_columns(
            *(_listed(name, separators) for name, separators in _LISTS.items()),
            *(pl.col(name).str.replace(",", ".", literal=True) for name in _NUMBERS),
        ),
        CATALOGUE,
    ).sort("exercise")


def _rows(text: str, path: Path) -> pl.DataFrame:
    """Return the rows as text under the catalogue's columns, with the line of each."""
    first = next((line for line in text.split("\n") if line.strip()), "")
    delimiter = max(_DELIMITERS, key=first.count)
    reader = csv.reader(io.StringIO(text), delimiter=delimiter)
    columns: list[str] | None = None
    rows: list[dict[str, str | int]] = []
    for cells in reader:
        if not any(cell.strip() for cell in cells):
            continue
        if columns is None:
            columns = [cell.strip().casefold() for cell in cells]
            if "exercise" not in columns:
                raise MissingColumnError(
                    f"The exercises file {path} has no column 'exercise'; its columns are "
                    f"{', '.join(map(repr, columns))}."
                )
            continue
        if len(cells) > len(columns) and any(c.strip() for c in cells[len(columns) :]):
            raise InputFileError(
                f"{path}, line {reader.line_num} has {len(cells)} cells under {len(columns)} "
                f"columns; put quotes around a cell that holds {delimiter!r}."
            )
        rows.append({"line": reader.line_num, **dict(zip(columns, cells, strict=False))})
    schema = {"line": pl.Int64} | dict.fromkeys(CATALOGUE, pl.String)
    known = [{name: row.get(name) for name in schema} for row in rows]
    frame = pl.DataFrame(known, schema=schema, orient="row").with_columns(
        pl.col(name).str.strip_chars().replace("", None) for name in CATALOGUE
    )
    return frame.filter(pl.col("exercise").is_not_null()).with_columns(
        pl.col(name).str.to_lowercase() for name in (*_CHOICES, "equipment", "pattern")
    )


def _listed(name: str, separators: str) -> pl.Expr:
    """Return a cell as the list of names in it."""
    cell = pl.col(name)
    for other in separators[1:]:
        cell = cell.str.replace_all(other, separators[0], literal=True)
    item = pl.element().str.strip_chars()
    if name in ("direct", "indirect"):
        item = item.str.to_lowercase().replace(_MUSCLE_WORDS)
    return (
        cell.str.split(separators[0])
        .list.eval(item)
        .list.filter(pl.element() != "")
        .fill_null(pl.lit([], dtype=pl.List(pl.String)))
        .alias(name)
    )


def _check(raw: pl.DataFrame, path: Path) -> None:
    """Refuse a value outside its vocabulary or range, and an exercise that stands twice."""
    for name, choices in _CHOICES.items():
        wrong = raw.filter(pl.col(name).is_not_null() & ~pl.col(name).is_in(choices))
        _refuse(wrong, path, name, f"is not one of {', '.join(choices)}")
    for name, (low, high) in _NUMBERS.items():
        number = pl.col(name).str.replace(",", ".", literal=True).cast(pl.Float64, strict=False)
        sound = number.is_between(low, high).fill_null(False)
        wrong = raw.filter(pl.col(name).is_not_null() & ~sound)
        _refuse(wrong, path, name, f"is not a number from {low:g} to {high:g}")
    keys = pl.Series([normalise(n) for n in raw["exercise"].to_list()], dtype=pl.String)
    twice = raw.filter(keys.is_duplicated())
    if not twice.is_empty():
        row = twice.row(-1, named=True)
        raise InputFileError(
            f"{path}, line {row['line']}: the exercise {row['exercise']!r} stands there twice; "
            "keep one row of it."
        )


def _refuse(wrong: pl.DataFrame, path: Path, name: str, why: str) -> None:
    if not wrong.is_empty():
        row = wrong.row(0, named=True)
        raise InputFileError(
            f"{path}, line {row['line']}: {name} {row[name]!r} of {row['exercise']!r} {why}."
        )
