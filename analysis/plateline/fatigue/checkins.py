"""What check-ins say: the Hooper index and the trend of body mass against the phase's aim."""

from __future__ import annotations

from typing import Any

import polars as pl

from plateline.fatigue.intervals import t_90
from plateline.fatigue.tables import BODY_MASS_TREND, HOOPER
from plateline.load.door import optional_frame
from plateline.words import Phase, conform

__all__ = [
    "AIMS_PCT_WEEK",
    "HOOPER_ITEMS",
    "PHASE_DAYS",
    "SMOOTHING_HALF_LIFE_DAYS",
    "body_mass_trend",
    "hooper",
]

HOOPER_ITEMS = ("sleep", "stress", "fatigue", "soreness")
"""The four items, each 1 (very, very low or good) to 7 (very, very high or bad)."""

USUAL_DAYS = 56
"""The index of a day is held against the client's own of the eight weeks before it."""

USUAL_LEAST = 4
"""Fewer earlier check-ins than this make no habit."""

AIMS_PCT_WEEK: dict[str, tuple[float, float]] = {
    Phase.GAIN.value: (0.25, 0.5),
    Phase.HOLD.value: (-0.25, 0.25),
    Phase.LOSE.value: (-1.0, -0.5),
}
"""Aimed change of body mass, percent a week.

Gain: Iraki, Fitschen, Espinar & Helms 2019, Sports 7(7):154. Lose: Helms, Aragon & Fitschen
2014, J Int Soc Sports Nutr 11:20. Hold: within a quarter of a percent; common practice, no
source. The three are quoted from memory. Starting points for a talk with the client, not
limits; faster loss, and any loss that is not wanted, belongs before a licensed professional."""

SMOOTHING_HALF_LIFE_DAYS = 5.0
"""Weighings lose half their say in five days: about two weeks of smoothing; common practice."""

SLOPE_DAYS = 28
SLOPE_LEAST = 4
SLOPE_SPAN_DAYS = 10
"""A slope needs four weighings over ten days within the last four weeks."""

PHASE_DAYS = 28
"""The clients file says the phase of now; further back than this it may have been another."""


def hooper(checkins: Any) -> pl.DataFrame:
    """Return the Hooper index of every check-in: the sum of four ratings, 4 (best) to 28 (worst).

    Sleep, stress, fatigue and soreness, each 1 to 7, high is bad for all four, sleep too
    (Hooper & Mackinnon 1995, Sports Med 20:321-327). A five-item version with mood (5-35) is
    also in use; this is the four-item one. An index with an item missing would be another
    scale, so it is null; ratings outside 1 to 7 count as missing.

    `usual_index` and `usual_sd` are of the client's own check-ins of the 56 days before: the
    index means something against one's own habit, not against another person.

    Parameters
    ----------
    checkins
        CHECKINS frame; None or an empty one gives an empty table.
    """
    frame = _one_a_day(optional_frame(checkins, "check-ins"), HOOPER_ITEMS)
    frame = frame.with_columns(
        pl.when(pl.col(item).is_between(1, 7)).then(pl.col(item)) for item in HOOPER_ITEMS
    ).with_columns(
        items=pl.sum_horizontal(pl.col(item).is_not_null().cast(pl.Int64) for item in HOOPER_ITEMS)
    )
    complete = pl.col("items") == len(HOOPER_ITEMS)
    frame = (
        frame.filter(pl.col("items") > 0)
        .with_columns(
            hooper_index=pl.when(complete).then(pl.sum_horizontal(HOOPER_ITEMS)),
            reason=pl.when(~complete).then(
                pl.format(
                    "not rated from 1 to 7: {}",
                    pl.concat_str(
                        [pl.when(pl.col(i).is_null()).then(pl.lit(i)) for i in HOOPER_ITEMS],
                        separator=", ",
                        ignore_nulls=True,
                    ),
                )
            ),
        )
        .sort("client", "date")
    )
    return conform(_with_usual(frame), HOOPER)


def _with_usual(frame: pl.DataFrame) -> pl.DataFrame:
    """Add mean and deviation of the index in the eight weeks before each day."""
    if frame.is_empty():
        return frame.with_columns(
            usual_index=pl.lit(None, pl.Float64), usual_sd=pl.lit(None, pl.Float64)
        )
    usual = (
        frame.select("client", "date", "hooper_index")
        .rolling("date", period=f"{USUAL_DAYS}d", closed="left", group_by="client")
        .agg(
            _n=pl.col("hooper_index").count(),
            usual_index=pl.col("hooper_index").mean(),
            usual_sd=pl.col("hooper_index").std(),
        )
        .with_columns(pl.when(pl.col("_n") >= USUAL_LEAST).then(pl.col("usual_index", "usual_sd")))
    )
    return frame.join(usual, on=["client", "date"], how="left")


def body_mass_trend(checkins: Any, clients: Any = None) -> pl.DataFrame:
    """Return smoothed body mass and its change in percent a week, against the phase's aim.

    Smoothed: exponentially weighted by time (half-life five days), so gaps are gaps. An average
    trails what falls or rises: `level_kg` is the end of the line through the last 28 days where
    there is one, else the average. Change: least-squares slope of log body mass over the 28 days up to the day, with its 90 % interval;
    it needs four weighings over at least ten days. Water, salt and food in the gut move body
    mass by a kilogram or two from day to day (common practice, no source): a single weighing
    says nothing.

    Parameters
    ----------
    checkins
        CHECKINS frame.
    clients
        CLIENTS frame, for the phase; without it `against_aim` is null.

    Returns
    -------
    polars.DataFrame
        One row per client and weighing. `against_aim` is `within`, `faster`, `slower` or
        `other way` (of gain and lose) and, when body mass is meant to hold, `within`,
        `gaining` or `losing`. The phase has no date, so it is held against the last 28 days of
        the client's check-ins only. Columns at the top of `plateline.fatigue`.
    """
    masses = _one_a_day(optional_frame(checkins, "check-ins"), ("body_mass_kg",)).filter(
        pl.col("body_mass_kg") > 0
    )
    aims = pl.DataFrame(
        {
            "phase": list(AIMS_PCT_WEEK),
            "aim_low_pct_week": [low for low, _ in AIMS_PCT_WEEK.values()],
            "aim_high_pct_week": [high for _, high in AIMS_PCT_WEEK.values()],
        }
    )
    phases = (
        optional_frame(clients, "clients")
        .select("client", pl.col("phase").str.to_lowercase().str.strip_chars())
        .unique("client", keep="last")
        .join(aims, on="phase", how="left")
    )
    smoothed = masses.sort("client", "date").with_columns(
        smoothed_kg=pl.col("body_mass_kg")
        .ewm_mean_by("date", half_life=f"{int(SMOOTHING_HALF_LIFE_DAYS)}d")
        .over("client")
    )
    recent = pl.col("date") > pl.col("date").max().over("client").dt.offset_by(f"-{PHASE_DAYS}d")
    table = (
        smoothed.join(_slopes(smoothed), on=["client", "date"], how="left")
        .join(phases, on="client", how="left")
        .with_columns(
            level_kg=pl.coalesce("level_kg", "smoothed_kg"),
            against_aim=pl.when(recent).then(_against_aim()),
            reason=pl.when(pl.col("slope_pct_week").is_null())
            .then(pl.lit(f"fewer than {SLOPE_LEAST} weighings over {SLOPE_SPAN_DAYS} days"))
            .when(pl.col("aim_low_pct_week").is_null())
            .then(pl.lit("no phase in the clients file"))
            .when(~recent)
            .then(pl.lit("the phase is known for the last four weeks only")),
        )
        .sort("client", "date")
    )
    return conform(table, BODY_MASS_TREND)


def _slopes(masses: pl.DataFrame) -> pl.DataFrame:
    """Return slope and 90 % interval, in percent a week, over the last four weeks of each day."""
    if masses.is_empty():
        return masses.select("client", "date").with_columns(
            pl.lit(None, pl.Float64).alias(name)
            for name in ("slope_pct_week", "slope_low", "slope_high", "level_kg", "weighings")
        )
    x = pl.col("date").cast(pl.Int32).cast(pl.Float64)
    y = pl.col("body_mass_kg").log()
    n = pl.len().cast(pl.Float64)
    dx, dy = x - x.mean(), y - y.mean()
    sxx, sxy, syy = (dx * dx).sum(), (dx * dy).sum(), (dy * dy).sum()
    sums = masses.rolling("date", period=f"{SLOPE_DAYS}d", closed="right", group_by="client").agg(
        weighings=pl.len().cast(pl.Int64),
        _span=(pl.col("date").max() - pl.col("date").min()).dt.total_days(),
        _sxx=sxx,
        _slope=sxy / sxx,
        _end=y.mean() + sxy / sxx * (x.max() - x.mean()),
        _error=((syy - sxy * sxy / sxx).clip(lower_bound=0.0) / (n - 2) / sxx).sqrt(),
    )
    enough = (pl.col("weighings") >= SLOPE_LEAST) & (pl.col("_span") >= SLOPE_SPAN_DAYS)
    t = t_90(pl.col("weighings") - 2)
    week = 700.0
    return sums.with_columns(
        slope_pct_week=pl.when(enough).then(week * pl.col("_slope")),
        slope_low=pl.when(enough).then(week * (pl.col("_slope") - t * pl.col("_error"))),
        slope_high=pl.when(enough).then(week * (pl.col("_slope") + t * pl.col("_error"))),
        level_kg=pl.when(enough).then(pl.col("_end").exp()),
    ).select("client", "date", "slope_pct_week", "slope_low", "slope_high", "level_kg", "weighings")


def _against_aim() -> pl.Expr:
    slope = pl.col("slope_pct_week")
    low, high = pl.col("aim_low_pct_week"), pl.col("aim_high_pct_week")
    phase = pl.col("phase")
    gaining, losing = phase == Phase.GAIN.value, phase == Phase.LOSE.value
    return (
        pl.when(slope.is_null() | low.is_null())
        .then(None)
        .when((slope >= low) & (slope <= high))
        .then(pl.lit("within"))
        .when(gaining & (slope < 0))
        .then(pl.lit("other way"))
        .when(losing & (slope > 0))
        .then(pl.lit("other way"))
        .when((gaining & (slope > high)) | (losing & (slope < low)))
        .then(pl.lit("faster"))
        .when(gaining | losing)
        .then(pl.lit("slower"))
        .when(slope > high)
        .then(pl.lit("gaining"))
        .otherwise(pl.lit("losing"))
    )


def _one_a_day(checkins: pl.DataFrame, columns: tuple[str, ...]) -> pl.DataFrame:
    """Return one row per client and day: the mean of what was logged of each column."""
    return (
        checkins.drop_nulls(["client", "date"])
        .group_by("client", "date")
        .agg(pl.col(*columns).mean())
        .sort("client", "date")
    )
