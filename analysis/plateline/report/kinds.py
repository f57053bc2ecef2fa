"""What kind of set each one is, where a log does not say so."""

from __future__ import annotations

import polars as pl

from plateline.words import SET_KIND_TYPE, SetKind

__all__ = ["with_kinds"]

# A set of at least this share of the session's heaviest load belongs to the heavy ones; one of
# at most the second share, for at least so many times their repetitions, is a back-off set
# (common practice, no source).
_HEAVY_SHARE = 0.97
_LIGHT_SHARE = 0.92
_MORE_REPS = 1.3

# From this share of a lift's sessions on the lift is done in that way.
_USUAL_SHARE = 0.5


def with_kinds(sets: pl.DataFrame) -> pl.DataFrame:
    """Return the sets with top and back-off sets told apart where the log calls all `working`.

    A lift whose sessions are usually of heavy sets and of clearly lighter ones for clearly more
    repetitions is prescribed two loads, not one for the middle of both. Only sets called
    `working` are renamed, and only of lifts that are done so in half of their sessions.

    Parameters
    ----------
    sets
        SETS.
    """
    session = ["client", "exercise", "date", "session"]
    working = (pl.col("set_kind") == SetKind.WORKING.value) & (pl.col("load_kg") > 0)
    heaviest = pl.col("load_kg").filter(working).max().over(session)
    heavy = working & (pl.col("load_kg") >= _HEAVY_SHARE * heaviest)
    usual = pl.col("reps").filter(heavy).median().over(session)
    light = (
        working
        & (pl.col("load_kg") <= _LIGHT_SHARE * heaviest)
        & (pl.col("reps") >= _MORE_REPS * usual)
    )
    sessions = pl.col("date").filter(working).n_unique()
    so_done = pl.col("date").filter(light).n_unique()
    split = (so_done >= _USUAL_SHARE * sessions).over("client", "exercise") & (
        so_done.over("client", "exercise") > 0
    )
    kind = (
        pl.when(split & light)
        .then(pl.lit(SetKind.BACK_OFF.value))
        .when(split & heavy)
        .then(pl.lit(SetKind.TOP.value))
        .otherwise(pl.col("set_kind").cast(pl.String))
    )
    return sets.with_columns(set_kind=kind.cast(SET_KIND_TYPE))
