"""Records: the best load at each number of repetitions, and the best estimated maximum."""

from __future__ import annotations

from typing import Any

import polars as pl

from plateline.strength.door import sets_frame
from plateline.strength.equations import e1rm
from plateline.strength.evidence import has_e1rm, set_evidence
from plateline.words import LIFT_RECORDS, conform

__all__ = ["lift_records"]

BEST_LOAD, BEST_E1RM = "best load", "best e1RM"


_PLACE = ("source_file", "source_line")
"""Of equal sets on one day the one that stands first in the log is the record."""


def lift_records(
    sets: Any,
    *,
    catalogue: pl.DataFrame | None = None,
    checkins: Any = None,
    equation: str = "epley",
) -> pl.DataFrame:
    """Return LIFT_RECORDS, sorted by client, exercise, record and repetitions.

    A `best load` row stands for every number of repetitions whose heaviest set is not beaten
    by a set of as many or more repetitions with as much or more load; of equal sets the first
    counts. `best e1RM` is the set with the highest estimate, from the repetitions alone where no
    reserve was logged; only sets of which `lift_sessions` gives an estimate can hold it (the
    repetitions to failure, with the reserve that is expected, within the equation's window, and
    the body mass in the load known). Warm-ups, drop sets and sets that carry a doubt (`flag`)
    set no records.

    Parameters
    ----------
    sets, catalogue, checkins
        As for `set_evidence`.
    equation
        One of `EQUATIONS`.
    """
    evidence = set_evidence(
        sets_frame(sets).filter(pl.col("flag").is_null()), catalogue=catalogue, checkins=checkins
    ).with_columns(
        e1rm_kg=pl.when(has_e1rm()).then(
            e1rm(
                pl.col("total_kg"), pl.col("reps"), pl.col("rir").fill_null(0.0), equation,
                in_window_only=True,
            )
        )
    )  # fmt: skip
    lift = ["client", "exercise"]
    best_at_reps = (
        evidence.sort(
            [*lift, "reps", "load_kg", "date", *_PLACE],
            descending=[False, False, True, True, False, False, False],
        )
        .unique([*lift, "reps"], keep="first", maintain_order=True)
        .with_columns(
            beaten_by=pl.col("load_kg")
            .cum_max()
            .shift(1)
            .over(lift, order_by="reps", descending=True)
        )
        .filter(pl.col("beaten_by").is_null() | (pl.col("load_kg") > pl.col("beaten_by")))
        .with_columns(record=pl.lit(BEST_LOAD))
    )
    best_e1rm = (
        evidence.filter(pl.col("e1rm_kg").is_not_null())
        .sort(
            [*lift, "e1rm_kg", "date", *_PLACE],
            descending=[False, False, True, False, False, False],
        )
        .unique(lift, keep="first", maintain_order=True)
        .with_columns(record=pl.lit(BEST_E1RM))
    )
    both = pl.concat([conform(best_at_reps, LIFT_RECORDS), conform(best_e1rm, LIFT_RECORDS)])
    return both.sort([*lift, "record", "reps"], descending=[False, False, True, False])
