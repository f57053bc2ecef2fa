"""What went with a bad month: association with diet, sleep, fatigue and load, and its size."""

from __future__ import annotations

from datetime import date
from typing import Any

import polars as pl

from plateline.fatigue.intervals import t_90
from plateline.fatigue.tables import EXPLAIN_MONTH
from plateline.fatigue.trend_line import against_course, lift_strength
from plateline.load.door import polars_frame
from plateline.load.weeks import monday
from plateline.words import LIFT, conform

__all__ = ["explain_month"]

FACTORS = {
    "losing mass": "is_losing_mass",
    "short sleep": "is_short_sleep",
    "high fatigue": "is_high_fatigue",
    "high load": "is_high_load",
}

SLOW = ("losing mass",)
"""Factors that are held against the slope of strength; the others against its level that week."""

HIGH_LOAD_RATIO = 1.3
"""A week of high load has a load ratio above this: nearly a third more than usual."""

LEAST_WEEKS = 4
"""Weeks with, and weeks without the factor, before they are compared."""

GAP_DAYS = 7
"""A session is held against the course that ended a week before it."""

BEFORE_DAYS = 42
"""A month is held against the six weeks before it."""

BAD_Z = -1.28
"""A month is bad when chance alone would show so little strength one month in ten."""

LEAST_LIFTS = 3
"""Lifts that must be there before a slow factor is judged: each lift is one witness."""

SLOW_WIDENING = 1.5
"""Intervals of slow factors are made this much wider: all lifts of a person share slow ups and
downs that lifts as witnesses do not show. Set so that, on simulated lifters whose training has
nothing to do with a made-up phase of twelve weeks, about one in ten is said to go with it
(tests/fatigue/test_explain.py)."""

SPAN_WEEKS = 4
"""A slow factor's size is told for four weeks of it."""


def explain_month(curves: Any, readiness: Any, month: date) -> pl.DataFrame:
    """Say what a lift's month went with: losing body mass, short sleep, high fatigue, high load.

    `month_pct` is the mean strength of the month's sessions over that of the six weeks before it,
    and `is_bad_month` whether chance alone (the client's own session-to-session noise) would show
    so little one month in ten.

    Each factor's size, `difference_pct` with its 90 % interval, comes from all lifts and the
    whole log up to the month's end:

    - short sleep, high fatigue, high load (`load_ratio` above 1.3): mean of the sessions of weeks
      with it, less those of weeks without, in percent of what the lift was on course for;
    - losing mass works slowly: percent of strength that four weeks of it go with, from a
      regression of log strength on the weeks of losing mass so far, each lift with its own level
      and slope; three lifts at least, because each is one witness.

    `share_in_month` and `share_before` are the shares of weeks that had the factor, and
    `explains_pct` is size times the change of share: the part of the month that goes with it.

    This is association. Weeks differ in many ways at once, one log has few of them, and four
    comparisons find something by chance in a third of logs where there is nothing (1 - 0.9^4).

    Parameters
    ----------
    curves
        LIFT_CURVES or LIFT_SESSIONS.
    readiness
        The table of `readiness`.
    month
        Any day of the month.

    Returns
    -------
    polars.DataFrame
        One row per lift trained in the month and factor. `verdict` is `goes with weaker
        sessions`, `goes with stronger sessions`, `no clear association` or `cannot be told`.
    """
    start, end = month.replace(day=1), _month_end(month)
    strength = lift_strength(curves).filter(pl.col("date") <= end)
    weeks = _factor_weeks(readiness).filter(pl.col("week") <= end)
    sizes = pl.concat([_level_sizes(strength, weeks), _slope_sizes(strength, weeks)])
    grid = _months(strength, start).join(pl.DataFrame({"factor": list(FACTORS)}), how="cross")
    table = (
        grid.join(_shares(weeks, start), on=["client", "factor"], how="left")
        .join(sizes, on=["client", "factor"], how="left")
        .with_columns(pl.col("sessions_with", "sessions_without").fill_null(0))
        .with_columns(
            month=pl.lit(start),
            explains_pct=pl.col("difference_pct")
            * (pl.col("share_in_month") - pl.col("share_before")),
            verdict=pl.when(pl.col("difference_pct").is_null())
            .then(pl.lit("cannot be told"))
            .when(pl.col("difference_high") < 0)
            .then(pl.lit("goes with weaker sessions"))
            .when(pl.col("difference_low") > 0)
            .then(pl.lit("goes with stronger sessions"))
            .otherwise(pl.lit("no clear association")),
            reason=pl.when(pl.col("month_pct").is_null())
            .then(pl.lit("no session in the six weeks before the month"))
            .when(pl.col("share_in_month").is_null())
            .then(pl.lit("not logged in this month"))
            .when(pl.col("difference_pct").is_null())
            .then(
                pl.lit(f"fewer than {LEAST_WEEKS} weeks with it or without it, or too few lifts")
            ),
        )
        .sort(*LIFT, "factor")
    )
    return conform(table, EXPLAIN_MONTH)


def _month_end(month: date) -> date:
    return (pl.Series([month]).dt.month_end())[0]


def _factor_weeks(readiness: Any) -> pl.DataFrame:
    """Return `client, week, factor, has`, without the weeks in which it is not known."""
    frame = polars_frame(readiness, "readiness").lazy().collect()
    return (
        frame.with_columns(is_high_load=pl.col("load_ratio") > HIGH_LOAD_RATIO)
        .rename({column: factor for factor, column in FACTORS.items()})
        .unpivot(list(FACTORS), index=["client", "week"], variable_name="factor", value_name="has")
        .drop_nulls("has")
    )


def _months(strength: pl.DataFrame, start: date) -> pl.DataFrame:
    """Hold every lift's month against the six weeks before it."""
    log = 100 * pl.col("strength_kg").log()
    inside = pl.col("date") >= start
    before = ~inside & (pl.col("date") >= pl.lit(start).dt.offset_by(f"-{BEFORE_DAYS}d"))
    steps = (
        strength.select("client", step=log.diff().over(LIFT))
        .drop_nulls()
        .group_by("client")
        .agg(noise=(pl.col("step").pow(2).mean() * 0.5).sqrt())
    )
    change = log.filter(inside).mean() - log.filter(before).mean()
    return (
        strength.group_by(LIFT)
        .agg(
            month_pct=100 * ((change * 0.01).exp() - 1),
            _spread=(1 / inside.sum() + 1 / before.sum()).sqrt(),
            _sessions=inside.sum(),
        )
        .filter(pl.col("_sessions") > 0)
        .join(steps, on="client", how="left")
        .with_columns(
            is_bad_month=pl.col("month_pct") < BAD_Z * pl.col("_spread") * pl.col("noise")
        )
        .select(*LIFT, "month_pct", "is_bad_month")
    )


def _shares(weeks: pl.DataFrame, start: date) -> pl.DataFrame:
    inside = pl.col("week") >= monday(pl.lit(start))
    return weeks.group_by("client", "factor").agg(
        share_in_month=pl.col("has").filter(inside).mean(),
        share_before=pl.col("has").filter(~inside).mean(),
    )


def _counts() -> tuple[pl.Expr, pl.Expr]:
    """Return sessions in weeks with, and in weeks without the factor."""
    has = pl.col("has")
    return has.sum().cast(pl.Int64), (~has).sum().cast(pl.Int64)


def _enough() -> pl.Expr:
    week, has = pl.col("week"), pl.col("has")
    with_it, without = week.filter(has).n_unique(), week.filter(~has).n_unique()
    return (with_it >= LEAST_WEEKS) & (without >= LEAST_WEEKS)


def _level_sizes(strength: pl.DataFrame, weeks: pl.DataFrame) -> pl.DataFrame:
    """Compare sessions of weeks with and without each quick factor, all lifts together."""
    off = pl.col("off_course_pct")
    rows = (
        against_course(strength, gap_days=GAP_DAYS)
        .drop_nulls("off_course_pct")
        .with_columns(week=monday(pl.col("date")), y=off - off.mean().over(LIFT))
        .join(weeks.filter(~pl.col("factor").is_in(SLOW)), on=["client", "week"])
    )
    x = pl.col("has").cast(pl.Float64)
    centred = rows.with_columns(
        x=x - x.mean().over("client", "factor"),
        y=pl.col("y") - pl.col("y").mean().over("client", "factor"),
    )
    return _regressed(centred, witness="week", scale=1.0)


def _slope_sizes(strength: pl.DataFrame, weeks: pl.DataFrame) -> pl.DataFrame:
    """Regress log strength on the weeks of each slow factor so far, all lifts together.

    Level and slope of every lift are taken out of both sides first (Frisch & Waugh 1933), so
    one slope per client and factor is left.
    """
    so_far = (
        weeks.filter(pl.col("factor").is_in(SLOW))
        .sort("client", "factor", "week")
        .with_columns(x=pl.col("has").cast(pl.Float64).cum_sum().over("client", "factor"))
    )
    series = ["client", "exercise", "factor"]
    rows = strength.with_columns(
        week=monday(pl.col("date")),
        t=pl.col("date").cast(pl.Int32).cast(pl.Float64),
        y=100 * pl.col("strength_kg").log(),
    ).join(so_far, on=["client", "week"])

    def centred(column: str) -> pl.Expr:
        return pl.col(column) - pl.col(column).mean().over(series)

    rows = rows.with_columns(centred("t"), centred("x"), centred("y"))
    along = pl.col("t").pow(2).sum().over(series)

    def detrended(column: str) -> pl.Expr:
        slope = (pl.col("t") * pl.col(column)).sum().over(series) / along
        return (pl.col(column) - slope * pl.col("t")).alias(column)

    usable = rows.filter(pl.len().over(series) > 2, along > 0)
    flat = usable.with_columns(detrended("x"), detrended("y"))
    return _regressed(flat, witness="exercise", scale=SPAN_WEEKS)


def _regressed(rows: pl.DataFrame, *, witness: str, scale: float) -> pl.DataFrame:
    """Regress y on x per client and factor, with errors clustered by `witness`; times `scale`.

    A quick factor's witnesses are weeks: all lifts share a week's sleep, so they are one. A slow
    factor's are lifts: the weeks of one lift are not independent of each other, and a lift that
    happened to stall when the diet began is one lift. Degrees of freedom are those of the smaller
    group, less one.
    """
    keys = ["client", "factor"]
    x, y = pl.col("x"), pl.col("y")
    with_it, without = _counts()
    weeks_with = pl.col("week").filter(pl.col("has")).n_unique()
    weeks_without = pl.col("week").filter(~pl.col("has")).n_unique()
    lifts = pl.col("exercise").n_unique()
    slopes = rows.group_by(keys).agg(
        _sxx=(x * x).sum(),
        _slope=(x * y).sum() / (x * x).sum(),
        _enough=_enough() & ((lifts >= LEAST_LIFTS) if witness == "exercise" else pl.lit(True)),
        _degrees=(
            lifts if witness == "exercise" else pl.min_horizontal(weeks_with, weeks_without)
        ).cast(pl.Int64)
        - 1,
        sessions_with=with_it,
        sessions_without=without,
    )
    clusters = (
        rows.join(slopes, on=keys)
        .group_by(*keys, witness)
        .agg(_score=(x * (y - pl.col("_slope") * x)).sum())
        .group_by(keys)
        .agg(_scores=pl.col("_score").pow(2).sum(), _clusters=pl.len())
    )
    count = pl.col("_clusters").cast(pl.Float64)
    half = (
        (scale * SLOW_WIDENING if witness == "exercise" else scale)
        * t_90(pl.col("_degrees"))
        * (pl.col("_scores") * count / (count - 1)).sqrt()
        / pl.col("_sxx")
    )
    told = pl.col("_enough") & (pl.col("_sxx") > 0) & (count > 1)
    size = scale * pl.col("_slope")
    return slopes.join(clusters, on=keys).select(
        *keys,
        difference_pct=pl.when(told).then(size),
        difference_low=pl.when(told).then(size - half),
        difference_high=pl.when(told).then(size + half),
        sessions_with=pl.col("sessions_with"),
        sessions_without=pl.col("sessions_without"),
    )
