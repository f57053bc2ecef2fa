"""Every name in a log, and the label that stands for it in the clean table."""

from __future__ import annotations

import polars as pl

from plateline.exercises.match import match_names
from plateline.exercises.normal import normalise
from plateline.words import EXERCISE_NAMES, conform

__all__ = ["label_names", "relabel"]


def label_names(written: pl.DataFrame, catalogue: pl.DataFrame) -> pl.DataFrame:
    """Settle for each client and name as written which label stands for it.

    Names of one client that are read as the same entry and variant are one lift; its label
    is the client's own most frequent spelling (of equally frequent ones the first seen).
    A name that the user's own exercises file lists becomes that file's name. Unknown names
    that differ only in case, accents, punctuation or plurals are one lift too.

    Parameters
    ----------
    written
        `client`, `name`, `rows` (how often), in the order of first sight.
    catalogue
        From `load_catalogue`.

    Returns
    -------
    polars.DataFrame
        EXERCISE_NAMES, sorted by client and label.
    """
    matches = match_names(written["name"].unique(maintain_order=True), catalogue)
    names = matches["name"].to_list()
    matches = matches.with_columns(
        key=pl.coalesce(
            "catalogue",
            pl.Series([f"?{normalise(n) or n}" for n in names], dtype=pl.String),
        )
        + pl.lit("/")
        + pl.col("variant").fill_null("")
    )
    joined = (
        written.join(matches, on="name", how="left", maintain_order="left")
        .with_row_index("seen")
        .with_columns(
            exercise=pl.when(pl.col("how") == "own")
            .then("catalogue")
            .otherwise(
                pl.col("name")
                .sort_by(["rows", "seen"], descending=[True, False])
                .first()
                .over("client", "key")
            )
        )
    )
    return conform(joined, EXERCISE_NAMES).sort("client", "exercise", "name")


def relabel(frame: pl.DataFrame, names: pl.DataFrame) -> pl.DataFrame:
    """Return `frame` (`client`, `exercise` as written) with the labels in `exercise`."""
    labels = names.select("client", "name", label="exercise")
    if (labels["name"] == labels["label"]).all():
        return frame  # every name is its own label: nothing to copy
    return (
        frame.join(
            labels,
            left_on=["client", "exercise"],
            right_on=["client", "name"],
            how="left",
            maintain_order="left",
        )
        .with_columns(exercise=pl.coalesce("label", "exercise"))
        .drop("label")
    )
