"""The catalogue of exercises: what ships, extended or overridden by the user's own file."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import polars as pl

from plateline.exercises.overlay import lay_over
from plateline.exercises.sheet import LATERALITIES, read_exercises

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

_SHIPPED = Path(__file__).with_name("catalogue.csv")


@cache
def _shipped() -> pl.DataFrame:
    return read_exercises(_SHIPPED)


def load_catalogue(own: Path | str | None = None) -> pl.DataFrame:
    """Return the catalogue, with the user's own exercises on top.

    Parameters
    ----------
    own
        A CSV in the columns of CATALOGUE (only `exercise` is needed; lists are separated by
        semicolons or bars, muscles by commas too). A row whose exercise or alias is in the
        catalogue (in any spelling that is read as the same) keeps what the catalogue says wherever
        a cell is empty; it takes the entry's place if it lists the entry's own name, and stands
        beside it if it lists one of its aliases. Any other row is a new exercise.

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
    mine = read_exercises(Path(own))
    if mine.is_empty():
        return shipped
    return lay_over(shipped, mine)
