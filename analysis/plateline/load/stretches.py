"""Stretches of time that load is summed over: sessions, weeks, months and blocks of the plan."""

from __future__ import annotations

from typing import Any

import polars as pl

from plateline.errors import UnknownNameError
from plateline.load.door import optional_frame
from plateline.load.weeks import monday, partial_weeks

__all__ = ["STRETCHES", "in_stretches", "plan_blocks"]

STRETCHES = ("session", "week", "month", "block")

EDGE_DAYS = 7
"""A month or block is partial when the log leaves out a week or more at its beginning or end."""


def plan_blocks(plan: Any) -> pl.DataFrame:
    """Return `client, block, start, end` (its last day), one row per block of the plan.

    A block runs for its `weeks`, or until the client's next block begins.
    """
    blocks = (
        optional_frame(plan, "plan")
        .drop_nulls(["client", "start", "weeks"])
        .group_by("client", pl.col("block").fill_null("plan"), "start")
        .agg(pl.col("weeks").max().cast(pl.Int64))
        .sort("client", "start", "block")
    )
    following = pl.col("start").shift(-1).over("client")
    return (
        blocks.with_columns(
            end=pl.min_horizontal(
                pl.col("start") + pl.duration(days=7 * pl.col("weeks")), following
            ).dt.offset_by("-1d")
        )
        .filter(pl.col("end") >= pl.col("start"))
        .select("client", "block", "start", "end")
    )


def _day_span(bouts: pl.DataFrame) -> pl.DataFrame:
    """Return `client, first, last`: the days between which each client's log lies."""
    return bouts.group_by("client").agg(first=pl.col("date").min(), last=pl.col("date").max())


def in_stretches(bouts: pl.DataFrame, per: str, plan: Any = None) -> pl.DataFrame:
    """Add `start, end, label, is_partial` of the stretch in which each row lies.

    `label` is the session's or the block's name, null for weeks and months. Rows outside every
    block of the plan are left out when stretches are blocks.

    Parameters
    ----------
    bouts
        Rows with `client`, `date` and `session`.
    per
        One of `STRETCHES`.
    plan
        PLAN frame, for blocks.

    Raises
    ------
    plateline.errors.UnknownNameError
        When `per` is not one of `STRETCHES`.
    """
    date = pl.col("date")
    if per == "session":
        return bouts.with_columns(
            start=date, end=date, label=pl.col("session").cast(pl.String), is_partial=pl.lit(False)
        )
    if per == "week":
        week = monday(date)
        return (
            bouts.with_columns(week=week)
            .join(partial_weeks(bouts), on=["client", "week"], how="left")
            .with_columns(start=week, end=week.dt.offset_by("6d"), label=pl.lit(None, pl.String))
        )
    if per == "month":
        stretched = bouts.with_columns(
            start=date.dt.month_start(), end=date.dt.month_end(), label=pl.lit(None, pl.String)
        )
    elif per == "block":
        blocks = plan_blocks(plan).with_columns(
            pl.col("client").cast(bouts.schema["client"], strict=False), label=pl.col("block")
        )
        stretched = (
            bouts.sort("date")
            .join_asof(
                blocks.drop("block").sort("start"),
                left_on="date",
                right_on="start",
                by="client",
                strategy="backward",
                check_sortedness=False,
                coalesce=False,
            )
            .filter(date <= pl.col("end"))
        )
    else:
        raise UnknownNameError.among("stretch of time", per, STRETCHES)
    late = (pl.col("first") - pl.col("start")).dt.total_days() >= EDGE_DAYS
    early = (pl.col("end") - pl.col("last")).dt.total_days() >= EDGE_DAYS
    return (
        stretched.join(_day_span(bouts), on="client", how="left")
        .with_columns(is_partial=late | early)
        .drop("first", "last")
    )
