"""The state of every lift at a date."""

from __future__ import annotations

import datetime as dt
from math import erf

import polars as pl

from plateline.strength import lift_scale, lift_sessions
from plateline.strength.evidence import set_evidence
from plateline.words import LIFT_STATUS_DETAIL, State, conform

__all__ = ["lift_status"]


def _normal_cdf(x: pl.Expr) -> pl.Expr:
    return x.map_elements(lambda v: 0.5 * (1 + erf(v / 2**0.5)), return_dtype=pl.Float64)


def lift_status(
    sets: pl.DataFrame,
    as_of: dt.date | None = None,
    *,
    catalogue: pl.DataFrame | None = None,
    checkins: pl.DataFrame | None = None,
    clients: pl.DataFrame | None = None,
    plan: pl.DataFrame | None = None,
) -> pl.DataFrame:
    """Return LIFT_STATUS_DETAIL: a row per lift, sorted by client and exercise."""
    if as_of is None:
        as_of = sets["date"].max()
    sets = sets.filter(pl.col("date") <= as_of)
    sessions = lift_sessions(sets, catalogue=catalogue, checkins=checkins)
    scale = lift_scale(set_evidence(sets, catalogue=catalogue, checkins=checkins))
    week = (pl.col("date") - pl.lit(as_of)).dt.total_days() / 7
    y = pl.col("strength_kg").log()
    recent = sessions.with_columns(t=week, y=y).filter(
        pl.col("t") > pl.col("t").max().over("client", "exercise") - 8
    )
    fits = recent.group_by("client", "exercise", maintain_order=True).agg(
        n=pl.len(),
        since=pl.col("date").min(),
        last_date=pl.col("date").max(),
        mt=pl.col("t").mean(),
        my=pl.col("y").mean(),
        sxx=((pl.col("t") - pl.col("t").mean()) ** 2).sum() + 1.0,
        sxy=((pl.col("t") - pl.col("t").mean()) * pl.col("y")).sum(),
    )
    fits = fits.with_columns(slope=pl.col("sxy") / pl.col("sxx"), sd=0.03 / pl.col("sxx").sqrt())
    total = sessions.group_by("client", "exercise").agg(sessions=pl.len())
    z = pl.col("slope") / pl.col("sd")
    edge = 0.0015 / pl.col("sd")
    out = (
        fits.join(total, on=["client", "exercise"], maintain_order="left")
        .join(scale, on=["client", "exercise"], maintain_order="left")
        .with_columns(
            p_progressing=1 - _normal_cdf(edge - z),
            p_declining=_normal_cdf(-edge - z),
            level=pl.col("my") - pl.col("slope") * pl.col("mt"),
        )
        .with_columns(p_plateau=1 - pl.col("p_progressing") - pl.col("p_declining"))
        .with_columns(
            state=pl.when(pl.col("p_progressing") > 0.6).then(pl.lit(State.PROGRESSING))
            .when(pl.col("p_declining") > 0.6).then(pl.lit(State.DECLINING))
            .when(pl.col("p_plateau") > 0.6).then(pl.lit(State.PLATEAU))
            .otherwise(pl.lit(State.UNCLEAR)),
            slope_pct_week=100 * pl.col("slope"),
            slope_low=100 * (pl.col("slope") - 1.645 * pl.col("sd")),
            slope_high=100 * (pl.col("slope") + 1.645 * pl.col("sd")),
            since_low=pl.col("since"), since_high=pl.col("since"),
            strength_kg=pl.col("level").exp(),
            strength_low=(pl.col("level") - 0.03).exp(),
            strength_high=(pl.col("level") + 0.03).exp(),
            forecast_kg=(pl.col("level") + 4 * pl.col("slope")).exp(),
            forecast_low=(pl.col("level") + 4 * pl.col("slope") - 0.05).exp(),
            forecast_high=(pl.col("level") + 4 * pl.col("slope") + 0.05).exp(),
            noise_pct=pl.lit(3.0), sessions_needed=pl.lit(None),
            context=pl.lit([], dtype=pl.List(pl.String)), reason=pl.lit(None, dtype=pl.String),
        )
        .with_columns(
            e1rm_kg=pl.when(pl.col("scale") == "e1rm").then("strength_kg"),
            e1rm_low=pl.when(pl.col("scale") == "e1rm").then("strength_low"),
            e1rm_high=pl.when(pl.col("scale") == "e1rm").then("strength_high"),
        )
    )  # fmt: skip
    return conform(out.sort("client", "exercise"), LIFT_STATUS_DETAIL)
