"""The reserve behind a set: what a reported one stands for, and what to expect where none is.

Lifters stop earlier than they think, leave the reserve out, or note it of hard sets alone. Here a
set gets the repetitions to failure that are expected, and how far off these may be.
"""

from __future__ import annotations

from typing import Any

import polars as pl

from plateline.strength.curves import BEND_REPS, depth
from plateline.strength.hard import HARD_SET_RIR
from plateline.words import LIFT

__all__ = ["UNLOGGED_RIR", "error_reps", "expected_rir", "true_rir", "with_learned_rir"]

OVERLOOKED_REPS = 0.3
RIR_STRETCH = 0.2
"""Reserve that lifters overlook: some, and more per repetition of reported reserve.

They stop earlier than they think: 0.4 repetitions at one and 0.9 at three in reserve in trained
people at the end of their sets (Refalo et al. 2024, read second-hand); pooled over predictions
of all kinds 0.95, 95 % CI 0.17 to 1.73 (Halperin et al. 2022, Sports Med 52(2):377-390). A
reported 1, 2 and 3 stand for 1.5, 2.7 and 3.9 repetitions. The constants shift every level
alike; no trend depends on them.
"""

STRETCH_LIMIT = 5.0
"""Reserves above this are guesses; nothing more is added to them."""

UNLOGGED_RIR = 2.0
"""Reserve of a hard set whose lifter never logs any: common practice, no source.

It moves the level of such a lift, never its slope.
"""

# Errors of the repetitions to failure, as standard deviations in repetitions.
RIR_ERROR_NEAR = 0.6
"""Logged reserve close to failure (Refalo et al. 2024: absolute error 0.65 +/- 0.78)."""
SURE_RIR = 2.0
RIR_ERROR_GROWTH = 0.3
"""More per repetition of reserve beyond `SURE_RIR` (Hackett et al. 2017, J Strength Cond Res
31(8):2162-2168: about 1 at 0 to 5 from failure, more than 2 at 7 to 10)."""
RIR_ERROR_FAR = 0.15
"""Times the square of the reserve beyond `HARD_SET_RIR`: such sets say next to nothing."""
HIGH_REPS = 12.0
RIR_ERROR_HIGH_REPS = 0.12
"""More per repetition to failure above `HIGH_REPS` (Halperin et al. 2022: errors rise steeply there)."""
RIR_ERROR_UNLOGGED = 1.2
"""Reserve that was not logged: common practice, no source."""
GAP_SD_PCT = 3.5
"""Two sets of a lift a few days apart differ by about this much for other reasons: the errors
above, twice, and a day's variation."""
GAP_REPS, GAP_PRIOR_REPS = 1.0, 1.0
"""How many more repetitions such a lifter leaves in the other sets, before looking, and the
doubt about it: at least one more than what still was worth a note."""
GAP_DAYS = 10
"""Sets further apart differ by more than the reserve: strength has moved."""
GAP_PAIRS = 8
"""Fewer pairs come of a lifter who took up or gave up writing the reserve: no sign of hard sets
alone."""
NOTED_SHARE, NOTED_RIR = 0.95, 2.0
"""A client who notes this or less in so many of the noted sets may be noting hard sets alone."""
GAP_CAP_PCT = 12.0
"""A difference beyond this has another cause, and counts as this much."""
PAIRS_PER_SIGN = 1.5
"""Pairs that follow each other share a set: three count for about two."""


def true_rir(rir: Any) -> Any:
    """Return the reserve that is expected behind a reported one (numbers or an expression).

    Examples
    --------
    >>> round(true_rir(2.0), 2)
    2.7
    """
    if isinstance(rir, pl.Expr):
        return rir + OVERLOOKED_REPS + RIR_STRETCH * rir.clip(upper_bound=STRETCH_LIMIT)
    return rir + OVERLOOKED_REPS + RIR_STRETCH * min(rir, STRETCH_LIMIT)


def expected_rir() -> pl.Expr:
    """Return the reserve to use: as logged, else as usual for this lift, else this client."""
    hard = pl.when(pl.col("rir") <= HARD_SET_RIR).then(pl.col("rir"))
    return true_rir(
        pl.coalesce(
            pl.col("rir"),
            hard.median().over("client", "exercise"),
            hard.median().over("client"),
            pl.lit(UNLOGGED_RIR),
        )
    )


def with_learned_rir(frame: pl.DataFrame, steepness: pl.Expr) -> pl.DataFrame:
    """Correct the reserve of sets without one, for clients who log it on some sets only.

    Whoever notes the reserve of hard sets alone leaves more in the others than in those.
    Neighbouring sets of a lift, one with and one without, tell by how much: at equal strength
    the one that seems weaker had more in reserve. One correction a client, shrunk towards none.
    """
    hard_only = pl.col("rir").quantile(NOTED_SHARE) <= NOTED_RIR
    some = frame.filter((hard_only & ~pl.col("rir_logged").all()).over("client"))
    if some.is_empty():
        return frame
    to_failure = pl.col("reps") + pl.col("rir_used")
    pairs = some.select(
        *LIFT, "date", logged="rir_logged",
        said=100 * (pl.col("total_kg").log() + steepness * depth(to_failure)),
        per_rep=100 * steepness / (BEND_REPS + to_failure),
    ).with_columns(
        pl.col("date", "logged", "said", "per_rep").shift(1).over(LIFT).name.suffix("_before")
    ).filter(
        (pl.col("logged") != pl.col("logged_before"))
        & (pl.col("date") - pl.col("date_before") <= pl.duration(days=GAP_DAYS))
    )  # fmt: skip
    weaker = pl.when("logged_before").then(1.0).otherwise(-1.0) * (
        pl.col("said_before") - pl.col("said")
    ).clip(-GAP_CAP_PCT, GAP_CAP_PCT)
    per_rep = pl.when("logged").then("per_rep_before").otherwise("per_rep")
    known = (GAP_SD_PCT / GAP_PRIOR_REPS) ** 2
    learned = pairs.group_by("client").agg(
        pairs=pl.len(),
        more_rir=((per_rep * weaker).sum() / PAIRS_PER_SIGN + known * GAP_REPS)
        / ((per_rep**2).sum() / PAIRS_PER_SIGN + known),
    )
    learned = learned.filter(pl.col("pairs") >= GAP_PAIRS).drop("pairs")
    found = frame.join(learned, on="client", how="left", maintain_order="left")
    more = pl.when("rir_logged").then(0.0).otherwise(pl.col("more_rir").fill_null(0.0))
    return found.with_columns((pl.col("rir_used") + more).clip(lower_bound=0.0)).drop("more_rir")


def error_reps() -> pl.Expr:
    """Return the error of the repetitions to failure from the reserve, in repetitions."""
    rir = pl.col("rir").fill_null(UNLOGGED_RIR)
    return (
        pl.when("rir_logged").then(RIR_ERROR_NEAR).otherwise(RIR_ERROR_UNLOGGED)
        + RIR_ERROR_GROWTH * (rir - SURE_RIR).clip(lower_bound=0.0)
        + RIR_ERROR_FAR * (rir - HARD_SET_RIR).clip(lower_bound=0.0) ** 2
        + RIR_ERROR_HIGH_REPS * (pl.col("reps_to_failure") - HIGH_REPS).clip(lower_bound=0.0)
    )
