"""What the catalogue knows of the labels of a log."""

from __future__ import annotations

from typing import Any

import polars as pl

from plateline.exercises.match import match_names
from plateline.exercises.qualifiers import EQUIPMENT_WORDS, ONE_SIDE_WORDS
from plateline.words import CATALOGUE

__all__ = ["annotate"]


def annotate(exercises: Any, catalogue: pl.DataFrame) -> pl.DataFrame:
    """Say what the catalogue knows of each exercise label.

    Parameters
    ----------
    exercises
        Labels: a Series, or anything that can be iterated.
    catalogue
        From `load_catalogue`.

    Returns
    -------
    polars.DataFrame
        One row per distinct label: `exercise` (the label), `catalogue`, `how`, `score`,
        `suggestion`, `variant` (see MATCHES), then the columns of CATALOGUE after
        `aliases`. All are null where the label is unknown. A variant has the muscles of
        its entry; a variant's own words win for `equipment` ("machine", "cable", ...) and
        `laterality` ("one-arm", "single-leg").
    """
    labels = exercises.to_list() if isinstance(exercises, pl.Series) else list(exercises)
    found = match_names(labels, catalogue).rename({"name": "exercise"})
    facts = [c for c in CATALOGUE if c not in ("exercise", "aliases")]
    joined = found.join(
        catalogue.select(pl.col("exercise").alias("catalogue"), *facts),
        on="catalogue",
        how="left",
        maintain_order="left",
    )
    words = pl.col("variant").str.split(" ")
    said = pl.coalesce(
        pl.when(words.list.contains(word)).then(pl.lit(kind))
        for word, kind in EQUIPMENT_WORDS.items()
    )
    one_side = pl.any_horizontal(words.list.contains(w) for w in ONE_SIDE_WORDS).fill_null(False)
    equipment = pl.coalesce(said, "equipment")
    return joined.with_columns(
        equipment=equipment,
        laterality=pl.when(one_side & (equipment == "dumbbell"))
        .then(pl.lit("unilateral one-hand"))
        .when(one_side)
        .then(pl.lit("unilateral"))
        .otherwise("laterality"),
    )
