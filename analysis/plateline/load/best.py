"""The best e1RM of a lift and session, by the rules of the strength room's records.

Epley from the repetitions and the reserve as logged (none where none was), of sets whose
repetitions to failure, with the reserve that is *expected*, lie within the equation's window.
"""

from __future__ import annotations

import polars as pl

from plateline.load.counting import from_exact, is_warm_up
from plateline.load.door import Engine
from plateline.load.keys import BOUT, LIFT
from plateline.strength import LARGEST_REPS, e1rm
from plateline.strength.hard import HARD_SET_RIR
from plateline.strength.reserve import UNLOGGED_RIR, true_rir
from plateline.words import SetKind

__all__ = ["logged_e1rm", "with_looked_up_e1rm"]


def logged_e1rm() -> pl.Expr:
    """Return the e1RM of sets that tell it by themselves: external load and a logged reserve."""
    rir = pl.col("rir")
    counts = _counts() & (pl.col("load_kg") > 0) & rir.is_not_null()
    return pl.when(counts & _in_window(true_rir(rir))).then(
        e1rm(pl.col("load_kg"), pl.col("reps"), rir, in_window_only=True)
    )


def with_looked_up_e1rm(frame: pl.DataFrame, rows: pl.LazyFrame, engine: Engine) -> pl.DataFrame:
    """Replace `e1rm_kg` where body mass is moved or the reserve was not logged.

    The reserve that is expected of a set without one is the lift's usual (median of its hard
    sets), else the client's, else `UNLOGGED_RIR`. Where body mass is moved, the load is that of
    both hands and the body's share.

    Parameters
    ----------
    frame
        Bouts with `e1rm_kg` from `logged_e1rm`, `hands`, `body_ug` (null where unknown) and
        `_share` (of body mass that is moved), which is dropped.
    rows
        The sets, their names of the same types as those of the bouts.
    """
    body_lifts = frame.filter(pl.col("_share") > 0)["exercise"].unique().implode()
    open_sets = (
        rows.filter(_counts() & (pl.col("rir").is_null() | pl.col("exercise").is_in(body_lifts)))
        .select(*BOUT, "load_kg", "reps", "rir")
        .collect(engine=engine)
    )
    if open_sets.is_empty():
        return frame.drop("_share")
    total = pl.col("hands") * pl.col("load_kg") + from_exact(pl.col("body_ug"))
    best = (
        _with_reserve(open_sets, rows, engine)
        .join(
            frame.select(*BOUT, "body_ug", "hands"),
            on=BOUT, how="inner", nulls_equal=True,
        )
        .filter(total > 0, _in_window(pl.col("reserve")))
        .group_by(BOUT)
        .agg(
            _looked_up=e1rm(
                total, pl.col("reps"), pl.col("rir").fill_null(0.0), in_window_only=True
            ).max()
        )
    )  # fmt: skip
    told = pl.when(pl.col("_share") == 0).then(pl.col("e1rm_kg"))
    return (
        frame.join(best, on=BOUT, how="left", nulls_equal=True, maintain_order="left")
        .with_columns(e1rm_kg=pl.max_horizontal(told, "_looked_up"))
        .drop("_looked_up", "_share")
    )


def _counts() -> pl.Expr:
    """Say which sets tell of strength: no warm-ups, no drop sets, none with a doubt."""
    return (
        ~is_warm_up()
        & (pl.col("set_kind") != SetKind.DROP.value)
        & (pl.col("reps") >= 1)
        & pl.col("flag").is_null()
    )


def _in_window(reserve: pl.Expr) -> pl.Expr:
    return pl.col("reps") + reserve <= LARGEST_REPS


def _with_reserve(sets: pl.DataFrame, rows: pl.LazyFrame, engine: Engine) -> pl.DataFrame:
    """Add the `reserve` that is expected of each set: as logged, as usual, or a guess."""
    if not sets["rir"].has_nulls():
        return sets.with_columns(reserve=true_rir(pl.col("rir")))
    hard = (
        rows.filter(_counts() & (pl.col("rir") <= HARD_SET_RIR))
        .group_by(*LIFT, "rir")
        .agg(n=pl.len())
        .collect(engine=engine)
    )
    by_lift = _usual(hard, LIFT).rename({"usual": "_of_lift"})
    by_client = _usual(hard, ["client"]).rename({"usual": "_of_client"})
    return (
        sets.join(by_lift, on=LIFT, how="left")
        .join(by_client, on="client", how="left")
        .with_columns(
            reserve=true_rir(pl.coalesce("rir", "_of_lift", "_of_client", pl.lit(UNLOGGED_RIR)))
        )
        .drop("_of_lift", "_of_client")
    )


def _usual(hard: pl.DataFrame, by: list[str]) -> pl.DataFrame:
    """Return the median reserve from counts of each reserve."""
    return (
        hard.group_by(*by, "rir")
        .agg(pl.col("n").sum())
        .sort(*by, "rir")
        .group_by(by)
        .agg(usual=pl.col("rir").repeat_by("n").explode().median())
    )
