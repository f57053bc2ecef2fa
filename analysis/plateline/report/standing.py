"""How far back the state of a lift goes, where that is as far as a state looks.

A state looks back over a little more than a year. Where a standstill may be older than that,
a date would only be the edge of what was looked at; it is called a year or longer instead.
"""

from __future__ import annotations

import datetime as dt

import polars as pl

from plateline.trend.assumptions import MAX_WEEKS

__all__ = ["age_of_state"]

EDGE_WEEKS = 13
"""A standstill that seems to begin in the first quarter of what was looked at is called long."""


def age_of_state(end: dt.date) -> dict[str, pl.Expr]:
    """Return `is_long` and `may_be_long`, of `since`, `since_low` and the lift's `first_date`.

    Parameters
    ----------
    end
        The day from which the states were looked at.

    Returns
    -------
    dict
        `is_long`: the state is as old as can be told; `may_be_long`: the best guess is younger,
        but it may be as old. Never null.
    """
    oldest = end - dt.timedelta(weeks=MAX_WEEKS)
    edge = (pl.col("since_low") <= oldest + dt.timedelta(weeks=1)) & (pl.col("first_date") < oldest)
    early = pl.col("since") <= oldest + dt.timedelta(weeks=EDGE_WEEKS)
    return {
        "is_long": (edge & early).fill_null(value=False),
        "may_be_long": (edge & ~early).fill_null(value=False),
    }
