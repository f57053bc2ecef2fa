"""The body mass of a day, between the days on which it was weighed."""

from __future__ import annotations

import polars as pl

__all__ = ["body_mass_by_day"]


def body_mass_by_day(
    days: pl.DataFrame, checkins: pl.DataFrame, *, within_days: int | None = None
) -> pl.DataFrame:
    """Return `client, date, body_mass_kg` for every distinct day, sorted.

    Between two weighings body mass is taken on the straight line that joins them; before the
    first and after the last it is that weighing's. Several weighings of a day are averaged.

    Parameters
    ----------
    days
        `client, date`; repeats are harmless.
    checkins
        At least `client, date, body_mass_kg`; masses that are not above zero are not known.
    within_days
        A day with no weighing so near, before or after, has an unknown body mass (null). Left
        out, a weighing is carried however far.
    """
    wanted = days.select("client", "date").unique()
    weighed = (
        checkins.select("client", "date", "body_mass_kg")
        .filter(pl.col("body_mass_kg") > 0)
        .group_by("client", "date")
        .agg(pl.col("body_mass_kg").mean())
        .drop_nulls("date")
    )
    if weighed.is_empty() or wanted.is_empty():
        return wanted.with_columns(body_mass_kg=pl.lit(None, pl.Float64)).sort("client", "date")
    mass = pl.col("body_mass_kg").interpolate_by("date").forward_fill().backward_fill()
    weighing = pl.when(pl.col("body_mass_kg").is_not_null()).then(pl.col("date"))
    away = pl.min_horizontal(
        pl.col("date") - weighing.forward_fill().over("client"),
        weighing.backward_fill().over("client") - pl.col("date"),
    ).dt.total_days()
    near = pl.lit(True) if within_days is None else away <= within_days
    return (
        wanted.join(weighed, on=["client", "date"], how="full", coalesce=True)
        .sort("client", "date")
        .with_columns(pl.when(near).then(mass.over("client")).alias("body_mass_kg"))
        .join(wanted, on=["client", "date"], how="semi")
        .sort("client", "date")
    )
