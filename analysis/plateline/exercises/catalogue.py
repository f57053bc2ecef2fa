"""The catalogue of exercises: what ships, extended or overridden by the user's own file."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import polars as pl

from plateline.errors import InputFileError, MissingColumnError
from plateline.exercises.normal import normalise
from plateline.exercises.overlay import lay_over
from plateline.words import CATALOGUE, Position, conform

__all__ = ["EQUIPMENT", "LATERALITIES", "MUSCLES", "load_catalogue"]

MUSCLES = (
    "quadriceps", "hamstrings", "glutes", "hip abductors", "adductors", "hip flexors",
    "calves", "shins", "chest", "lats", "upper back", "traps", "lower back",
    "front deltoids", "side deltoids", "rear deltoids", "rotator cuff", "biceps", "triceps", "forearms",
    "abdominals", "obliques", "neck",
)  # fmt: skip
"""The words for muscles in the catalogue that ships. A user's file may use its own."""

EQUIPMENT = (
    "barbell", "dumbbell", "kettlebell", "machine", "cable", "body-weight", "band",
)  # fmt: skip

LATERALITIES = ("bilateral", "unilateral", "bilateral one-hand", "unilateral one-hand")
"""Whether a set is done with both sides or side by side. `one-hand` marks dumbbell and
kettlebell lifts whose logged load is the whole load; without it dumbbells come in pairs."""

_LISTS = ("aliases", "direct", "indirect", "substitutes")
_NUMBERS = {"body_mass_share": (0.0, 1.0), "load_step_kg": (0.0, 100.0)}
_CHOICES = {
    "position": tuple(p.value for p in Position),
    "laterality": LATERALITIES,
}
_SHIPPED = Path(__file__).with_name("catalogue.csv")


@cache
def _shipped() -> pl.DataFrame:
    return _read(_SHIPPED)


def load_catalogue(own: Path | str | None = None) -> pl.DataFrame:
    """Return the catalogue, with the user's own exercises on top.

    Parameters
    ----------
    own
        A CSV in the columns of CATALOGUE (only `exercise` is needed; lists are separated
        by semicolons). A row whose exercise or alias is in the catalogue (in any spelling
        that is read as the same) keeps what the catalogue says wherever a cell is empty;
        it takes the entry's place if it lists the entry's own name, and stands beside it
        if it lists one of its aliases. Any other row is a new exercise.

    Returns
    -------
    polars.DataFrame
        CATALOGUE, one row per exercise, sorted by exercise, with the column `own` at its
        end: the names that the user's file lists for it, null for what ships.

    Raises
    ------
    InputFileError
        When the file cannot be read, or a value is not one that is accepted.
    MissingColumnError
        When it has no column `exercise`.
    """
    shipped = _shipped().with_columns(own=pl.lit(None, pl.List(pl.String)))
    if own is None:
        return shipped
    mine = _read(Path(own))
    if mine.is_empty():
        return shipped
    return lay_over(shipped, mine)


def _keys(names: pl.Series) -> pl.Series:
    return pl.Series("key", [normalise(n) for n in names.to_list()], dtype=pl.String)


def _read(path: Path) -> pl.DataFrame:
    """Read a catalogue file and check every value that has a vocabulary or a range."""
    try:
        raw = pl.read_csv(path, infer_schema=False)
    except FileNotFoundError as fault:
        raise InputFileError(f"There is no exercises file {path}.") from fault
    except pl.exceptions.NoDataError as fault:
        raise InputFileError(f"The exercises file {path} is empty.") from fault
    except (OSError, pl.exceptions.PolarsError, UnicodeError) as fault:
        raise InputFileError(
            f"The exercises file {path} cannot be read as CSV in UTF-8: {fault}."
        ) from fault
    raw = raw.rename({name: name.strip().lower() for name in raw.columns})
    if "exercise" not in raw.columns:
        raise MissingColumnError(
            f"The exercises file {path} has no column 'exercise'; its columns are "
            f"{', '.join(map(repr, raw.columns))}."
        )
    raw = raw.with_row_index("line", offset=2).with_columns(
        pl.col(name).str.strip_chars().replace("", None) for name in raw.columns
    )
    raw = raw.filter(pl.col("exercise").is_not_null()).with_columns(
        pl.lit(None, pl.String).alias(name) for name in CATALOGUE if name not in raw.columns
    )
    _check(raw, path)
    lists = [
        pl.col(name)
        .str.split(";")
        .list.eval(pl.element().str.strip_chars())
        .list.filter(pl.element() != "")
        .fill_null(pl.lit([], dtype=pl.List(pl.String)))
        for name in _LISTS
    ]
    frame = raw.with_columns(lists)
    return conform(frame, CATALOGUE).sort("exercise")


def _check(raw: pl.DataFrame, path: Path) -> None:
    """Refuse a value outside its vocabulary or range, and an exercise that stands twice."""
    for name, choices in _CHOICES.items():
        wrong = raw.filter(pl.col(name).is_not_null() & ~pl.col(name).is_in(choices))
        if not wrong.is_empty():
            row = wrong.row(0, named=True)
            raise InputFileError(
                f"{path}, line {row['line']}: {name} {row[name]!r} of {row['exercise']!r} is "
                f"not one of {', '.join(choices)}."
            )
    for name, (low, high) in _NUMBERS.items():
        number = pl.col(name).cast(pl.Float64, strict=False)
        wrong = raw.filter(
            pl.col(name).is_not_null() & ~number.is_between(low, high).fill_null(False)
        )
        if not wrong.is_empty():
            row = wrong.row(0, named=True)
            raise InputFileError(
                f"{path}, line {row['line']}: {name} {row[name]!r} of {row['exercise']!r} is "
                f"not a number from {low:g} to {high:g}."
            )
    twice = raw.filter(_keys(raw["exercise"]).is_duplicated())
    if not twice.is_empty():
        row = twice.row(-1, named=True)
        raise InputFileError(
            f"{path}, line {row['line']}: the exercise {row['exercise']!r} stands there twice; "
            "keep one row of it."
        )
