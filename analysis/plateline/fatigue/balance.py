"""The fatigue/performance ratio: load against habit over performance against the lift's course."""

from __future__ import annotations

from typing import Any

import polars as pl

from plateline.fatigue.daily import MEASURES, daily_load, long_measures
from plateline.fatigue.ratios import ACUTE_DAYS, daily_ratios
from plateline.fatigue.tables import PERFORMANCE_RATIO
from plateline.fatigue.trend_line import HISTORY_LEAST, against_course, lift_strength
from plateline.load.counting import over
from plateline.load.weeks import monday
from plateline.words import conform

__all__ = ["HIGH_RATIO", "performance_ratio"]

HIGH_RATIO = 1.5
"""A ratio worth a look, chosen with `alarm_study`.

There, seven in ten simulated over-reachers lose 5 % of their strength; 99 in 100 of them have a
ratio above 1.5 before, half of them eight days or more before. In lifters who never over-reach it
is exceeded in two weeks a year each (mostly after a deload or a week off); 1.3 would be exceeded
in nine. Most of it is the load: the load ratio alone warns 97 of 100, in 2.2 weeks a year.

On a simulation of another kind (strength lost 9 to 18 days after the load has doubled, no
impulse-response model behind it) the figures are 94 of 100, 13 days and 2.8 weeks a year. Over-reaching
by less is mostly missed: with half again the work before 45 of 100 are warned, with a quarter more
18; a threshold of 1.3 would warn 90 and 60 of them, at nine false weeks a year."""


def performance_ratio(sets: Any, curves: Any) -> pl.DataFrame:
    """Return load against habit over performance against course, per lift and week; 1 = in balance.

    ``performance_ratio = load_ratio / performance``, both without unit:

    - `load_ratio`: the client's volume-load of seven days over that of twenty-eight, per day
      (`load_ratios`, coupled). The rolling form, because it is exactly 1 when every week is like
      the last, on whatever weekday one looks; the weighted form is not;
    - `performance`: strength of the lift's sessions of the last seven days over what the six
      weeks before those led to expect (geometric mean; a short line whose slope is drawn
      towards none). Above 1 when the lift is ahead of its course.

    It is above 1 when more load is met by less strength than the lift was on course for. Load
    rises first and strength falls later, so the ratio rises before strength falls; `alarm_study`
    shows by how long on simulated over-reaching, and how often it cries wolf. It is not a risk
    of injury, and one high week after a light one is ordinary.

    Parameters
    ----------
    sets
        SETS frame (Polars eager or lazy, pandas, Arrow).
    curves
        LIFT_CURVES (`observed_kg` of kind `session`) or LIFT_SESSIONS (`strength_kg`). Only
        sessions up to a week are used for that week.

    Returns
    -------
    polars.DataFrame
        One row per client, lift and week with a session of the lift, as on the week's last such
        session (`date`). Columns at the top of `plateline.fatigue`.
    """
    strength = against_course(lift_strength(curves), gap_days=ACUTE_DAYS)
    volume = MEASURES["volume_load_kg"]
    ratios = daily_ratios(
        long_measures(daily_load(sets)).filter(pl.col("measure") == volume)
    ).select("client", "date", load_ratio="ratio_coupled", load_reason="reason")
    joined = _recent(strength).join(ratios, on=["client", "date"], how="left")
    table = (
        joined.with_columns(
            performance_ratio=over(pl.col("load_ratio"), pl.col("performance")),
            week=monday(pl.col("date")),
            reason=pl.when(pl.col("performance").is_null())
            .then(pl.lit(f"fewer than {HISTORY_LEAST} sessions in the six weeks before"))
            .when(pl.col("load_ratio").is_null())
            .then(pl.col("load_reason").fill_null("no load on that day")),
        )
        .sort("client", "exercise", "date")
        .group_by("client", "exercise", "week", maintain_order=True)
        .last()
    )
    return conform(table.sort("client", "week", "exercise"), PERFORMANCE_RATIO)


def _recent(strength: pl.DataFrame) -> pl.DataFrame:
    """Return performance over the last seven days at every session."""
    lift = ["client", "exercise"]
    if strength.is_empty():
        return strength.select(*lift, "date").with_columns(
            performance=pl.lit(None, pl.Float64), sessions=pl.lit(None, pl.Int64)
        )
    return strength.rolling("date", period=f"{ACUTE_DAYS}d", closed="right", group_by=lift).agg(
        performance=(pl.col("off_course_pct").mean() * 0.01).exp(),
        sessions=pl.col("off_course_pct").count().cast(pl.Int64),
    )
