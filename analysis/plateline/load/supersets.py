"""Supersets: sets of two to four lifts done in rounds, by their label or by their order."""

from __future__ import annotations

from typing import Any

import polars as pl

from plateline.load.counting import counted, is_warm_up, worked_side
from plateline.load.door import lazy_sets
from plateline.load.keys import SESSION
from plateline.load.tables import SUPERSETS
from plateline.words import conform

__all__ = ["rows_with_supersets", "supersets"]

SIZES = (2, 3, 4)
"""How many lifts a superset may have to be recognised by its order alone."""

NUMBERED = r"^\s*([A-Za-z])\s?[.-]?\d\s*$"
"""A letter and a number, as in A1 and A2: the lifts of superset A in turn (common practice)."""


def supersets(sets: Any) -> pl.DataFrame:
    """Return every superset: its lifts, rounds, and how well reps held from first to last round.

    A superset is a `superset` label shared by sets of at least two lifts of one session
    (``how = "label"``; the lifts A1 and A2 share the label A), or, among sets without a label, an
    alternating order (``how = "order"``): two to four lifts in turn, the same turn at least twice,
    as in A B A B. Warm-ups are left out. An order is only seen where the log keeps the order in which sets were done.

    Parameters
    ----------
    sets
        SETS frame (Polars eager or lazy, pandas, Arrow).

    Returns
    -------
    polars.DataFrame
        One row per superset; `rounds` is the largest number of sets of one of its lifts,
        `reps_held` the reps of the last round over those of the first, of the lifts that were
        in every round. Columns at the top of `plateline.load`.
    """
    rows = rows_with_supersets(sets).drop_nulls("superset").with_columns(side=worked_side())
    keys = [*SESSION, "superset", "how"]
    numbered = rows.with_columns(
        round=pl.int_range(1, pl.len() + 1).over([*keys, "exercise", "side"])
    ).with_columns(
        rounds=pl.col("round").max().over(keys),
        lift_rounds=pl.col("round").max().over([*keys, "exercise"]),
    )
    stays = pl.col("lift_rounds") == pl.col("rounds")
    reps = pl.col("reps").cast(pl.Int64)
    table = (
        numbered.group_by(keys, maintain_order=True)
        .agg(
            exercises=pl.col("exercise").unique(maintain_order=True),
            rounds=pl.col("rounds").first(),
            sets=counted().sum(),
            reps_first_round=reps.filter(stays & (pl.col("round") == 1)).sum(),
            reps_last_round=reps.filter(stays & (pl.col("round") == pl.col("rounds"))).sum(),
        )
        .filter(pl.col("exercises").list.len() >= 2)
        .with_columns(
            reps_held=pl.when((pl.col("rounds") > 1) & (pl.col("reps_first_round") > 0)).then(
                pl.col("reps_last_round") / pl.col("reps_first_round")
            ),
            reason=pl.when(pl.col("rounds") == 1).then(pl.lit("one round only")),
        )
        .sort(*SESSION, "superset", nulls_last=True)
    )
    return conform(table, SUPERSETS)


def rows_with_supersets(sets: Any) -> pl.DataFrame:
    """Return the sets without warm-ups in the order done, `superset` filled in where the order says so.

    Adds `how` (`label`, `order` or null). A label on one lift alone stays, as logged.
    """
    # Many logs number the sets of each lift anew. Such numbers do not tell the order within the
    # session (sorted by them, three lifts done one after another would look like rounds).
    through = pl.col("set_order").n_unique().over(SESSION) == pl.len().over(SESSION)
    rows = (
        lazy_sets(sets)
        .with_row_index("_row")
        .filter(~is_warm_up())
        .with_columns(_order=pl.when(through).then("set_order"))
        .sort(*SESSION, "_order", "_row", nulls_last=True)
        # Polars 2.1 panics when its streaming engine sorts a million such rows.
        .collect(engine="in-memory")
        .drop("_order")
    )
    if rows.is_empty():
        return rows.with_columns(how=pl.lit(None, pl.String))
    rows = _by_letter(rows).with_columns(
        _lift=pl.col("exercise").rank("dense"),
        _free=pl.col("superset").is_null(),
        _place=pl.int_range(pl.len()).over(SESSION),
        _member=pl.lit(None, pl.Int64),
    )
    for size in SIZES:
        rows = _mark(rows, size)
    started = pl.col("_start").fill_null(False).cum_sum().over(SESSION)
    return rows.with_columns(
        how=pl.when(~pl.col("_free"))
        .then(pl.lit("label"))
        .when(pl.col("_member").is_not_null())
        .then(pl.lit("order")),
        superset=pl.when(pl.col("_free") & pl.col("_member").is_not_null())
        .then(pl.format("order {}", started))
        .otherwise(pl.col("superset")),
    ).drop("_row", "_lift", "_free", "_place", "_member", "_start")


def _by_letter(rows: pl.DataFrame) -> pl.DataFrame:
    """Give the lifts A1 and A2 of a session the label A.

    Only where each such label is of one lift: A1 beside both lifts is the first round.
    """
    letter = pl.col("superset").str.extract(NUMBERED).str.to_uppercase()
    if rows.select(letter.is_null().all()).item():
        return rows
    rows = rows.with_columns(_letter=letter).with_columns(
        _alone=pl.col("exercise").n_unique().over([*SESSION, "superset"]) == 1,
        _labels=pl.col("superset").n_unique().over([*SESSION, "_letter"]),
    )
    shared = pl.col("_alone").all().over([*SESSION, "_letter"]) & (pl.col("_labels") > 1)
    return rows.with_columns(
        superset=pl.when(shared & pl.col("_letter").is_not_null())
        .then("_letter")
        .otherwise("superset")
    ).drop("_letter", "_alone", "_labels")


def _mark(rows: pl.DataFrame, size: int) -> pl.DataFrame:
    """Mark the rows that take turns in groups of `size` and are in no smaller turn.

    A row repeats the turn when it has the same lift as `size` rows before and the rows between
    are all of other lifts, each of another. The first round repeats nothing, so it is found
    from the rows after it.
    """
    lift = pl.when(pl.col("_free") & pl.col("_member").is_null()).then(pl.col("_lift"))
    window = [lift.shift(back).over(SESSION) for back in range(size)]
    distinct = pl.lit(True)
    for first in range(size):
        for second in range(first + 1, size):
            distinct = distinct & (window[first] != window[second])
    repeats = (distinct & (lift == lift.shift(size).over(SESSION))).fill_null(False)
    marked = rows.with_columns(_repeats=repeats)
    # A whole second round must follow: `size` repeats in a row somewhere from here on.
    run = pl.col("_repeats").rle_id().over(SESSION)
    marked = marked.with_columns(_run=run).with_columns(
        _repeats=pl.col("_repeats") & (pl.len().over([*SESSION, "_run"]) >= size)
    )
    again = pl.col("_repeats")
    member = again | pl.any_horizontal(
        [again.shift(-ahead, fill_value=False).over(SESSION) for ahead in range(1, size + 1)]
    )
    marked = marked.with_columns(_in=member)
    before_in = pl.col("_in").shift(1, fill_value=False).over(SESSION)
    before_again = pl.col("_repeats").shift(1, fill_value=False).over(SESSION)
    starts = pl.col("_in") & ~again & (~before_in | before_again)
    if "_start" not in rows.columns:
        marked = marked.with_columns(_start=pl.lit(False))
    return marked.with_columns(
        _start=pl.col("_start") | starts,
        _member=pl.when(pl.col("_in")).then(pl.lit(size)).otherwise(pl.col("_member")),
    ).drop("_repeats", "_run", "_in")
