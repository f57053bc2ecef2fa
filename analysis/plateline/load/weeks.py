"""ISO weeks, named by their Monday, and which of them the log covers only in part."""

from __future__ import annotations

import polars as pl

__all__ = ["monday", "partial_weeks"]

USUAL_DAY_SHARE = 0.5
"""A weekday is a usual training day when the client trained on it in half of the whole weeks."""


def monday(date: pl.Expr) -> pl.Expr:
    """Return the Monday of the ISO week of `date`."""
    return date.dt.truncate("1w")


def partial_weeks(days: pl.DataFrame) -> pl.DataFrame:
    """Return `client, week, is_partial` for every week in which a client trained.

    Only the first and the last week of a client's log can be partial: the log may begin
    after that week's training did, or end before it was over. Such a week is partial when a
    usual training day of the client lies in it before the log's first day (or after its last).
    A weekday is usual when the client trained on it in at least half of the weeks in between
    in which there was any training. With no week in between, or no such weekday (an irregular
    lifter), all seven days count, so a week is whole only if the log reaches from Monday to
    Sunday.

    Parameters
    ----------
    days
        `client, date`; repeats are harmless.
    """
    trained = (
        days.select("client", "date")
        .unique()
        .drop_nulls()
        .with_columns(week=monday(pl.col("date")), weekday=pl.col("date").dt.weekday())
    )
    span = trained.group_by("client").agg(
        first=pl.col("date").min(),
        last=pl.col("date").max(),
        first_week=pl.col("week").min(),
        last_week=pl.col("week").max(),
    )
    return (
        trained.select("client", "week")
        .unique()
        .join(span, on="client")
        .join(_usual_days(trained, span), on="client", how="left")
        .with_columns(
            first_usual=pl.col("first_usual").fill_null(1),
            last_usual=pl.col("last_usual").fill_null(7),
        )
        .select(
            "client",
            "week",
            is_partial=(
                (pl.col("week") == pl.col("first_week"))
                & (pl.col("first_usual") < pl.col("first").dt.weekday())
            )
            | (
                (pl.col("week") == pl.col("last_week"))
                & (pl.col("last_usual") > pl.col("last").dt.weekday())
            ),
        )
        .sort("client", "week")
    )


def _usual_days(trained: pl.DataFrame, span: pl.DataFrame) -> pl.DataFrame:
    """Return the first and last weekday that is a usual training day of each client who has one."""
    inner = trained.join(span, on="client").filter(
        (pl.col("week") > pl.col("first_week")) & (pl.col("week") < pl.col("last_week"))
    )
    counts = inner.group_by("client").agg(inner_weeks=pl.col("week").n_unique())
    return (
        inner.group_by("client", "weekday")
        .agg(times=pl.len())
        .join(counts, on="client")
        .filter(pl.col("times") >= USUAL_DAY_SHARE * pl.col("inner_weeks"))
        .group_by("client")
        .agg(first_usual=pl.col("weekday").min(), last_usual=pl.col("weekday").max())
    )
