"""What stood around the training of a month: one row of facts per client.

Everything that the first screen may name beside the state of a lift: sessions, breaks,
reserve logged, deloads, rows that could not be read. All for all clients at once.
"""

from __future__ import annotations

import datetime as dt

import polars as pl

from plateline.report.months import month_end, previous_month
from plateline.words import KG_PER_LB, Role, SetKind

__all__ = [
    "BREAK_DAYS",
    "breaks",
    "logged_in_month",
    "named_stretches",
    "range_switches",
    "reserve_logged",
    "stretches",
    "units_logged",
]

BREAK_DAYS = 10
"""From this many days without a session a gap is named as a break in training."""

# How far back before the month a break may have ended and still be worth naming: strength
# comes back within about as many weeks as a short break lasted (common practice, no source).
_BREAK_LOOKBACK_DAYS = 28


def logged_in_month(sets: pl.DataFrame, month: dt.date) -> pl.DataFrame:
    """Return `client, sessions_month, sets_month, sessions_before, sets_before`.

    A session is a day with at least one set. `*_before` are those of the month before.
    """
    first, last = month, month_end(month)
    before, before_end = previous_month(month), month - dt.timedelta(days=1)
    inside = pl.col("date").is_between(first, last)
    earlier = pl.col("date").is_between(before, before_end)
    return sets.group_by("client", maintain_order=True).agg(
        pl.col("date").filter(inside).n_unique().cast(pl.Int32).alias("sessions_month"),
        inside.sum().cast(pl.Int32).alias("sets_month"),
        pl.col("date").filter(earlier).n_unique().cast(pl.Int32).alias("sessions_before"),
        earlier.sum().cast(pl.Int32).alias("sets_before"),
    )


def breaks(sets: pl.DataFrame, month: dt.date) -> pl.DataFrame:
    """Return each client's longest recent break in training.

    Returns
    -------
    pl.DataFrame
        `client, break_from, break_to, break_days`: the first and last day without a session,
        of the longest gap of at least ten days that ended in the month or in the four weeks
        before it, or that is still open at its end.
    """
    end = month_end(month)
    days = sets.select("client", "date").unique().sort("client", "date")
    closing = days.group_by("client", maintain_order=True).agg(
        pl.lit(end + dt.timedelta(days=1)).alias("date")
    )
    gaps = (
        pl.concat([days, closing])
        .sort("client", "date")
        .with_columns(pl.col("date").shift(1).over("client").alias("previous"))
        .filter(pl.col("previous").is_not_null())
        .with_columns(
            break_from=pl.col("previous") + pl.duration(days=1),
            break_to=pl.col("date") - pl.duration(days=1),
        )
        .with_columns(
            break_days=((pl.col("break_to") - pl.col("break_from")).dt.total_days() + 1).cast(
                pl.Int32
            )
        )
        .filter(
            pl.col("break_days") >= BREAK_DAYS,
            pl.col("break_to") >= month - dt.timedelta(days=_BREAK_LOOKBACK_DAYS),
        )
    )
    return (
        gaps.sort("client", "break_days", descending=[False, True])
        .unique("client", keep="first", maintain_order=True)
        .select("client", "break_from", "break_to", "break_days")
    )


def stretches(sets: pl.DataFrame, readiness: pl.DataFrame, switches: pl.DataFrame) -> pl.DataFrame:
    """Return the stretches that a trend is read against: breaks, diets, changes of rep range.

    Parameters
    ----------
    sets
        SETS up to the end of the month.
    readiness
        The fatigue room's weekly readiness, with `is_losing_mass`.
    switches
        From `range_switches`.

    Returns
    -------
    pl.DataFrame
        `client, start, end, label`: every gap of at least ten days, every run of at least
        three weeks in which body mass was falling, and the week from a change of rep range on.
    """
    days = sets.select("client", "date").unique().sort("client", "date")
    gaps = (
        days.with_columns(pl.col("date").shift(1).over("client").alias("previous"))
        .filter((pl.col("date") - pl.col("previous")).dt.total_days() > BREAK_DAYS)
        .select("client", start="previous", end="date", label=pl.lit("break"))
    )
    weeks = readiness.sort("client", "week").with_columns(
        losing=pl.col("is_losing_mass").fill_null(value=False)
    )
    runs = weeks.with_columns(run=pl.struct("client", "losing").rle_id()).filter("losing")
    losing = (
        runs.group_by("client", "run", maintain_order=True)
        .agg(
            start=pl.col("week").min(),
            end=pl.col("week").max() + pl.duration(days=6),
            weeks=pl.len(),
        )
        .filter(pl.col("weeks") >= _LOSING_WEEKS)
        .select("client", "start", "end", label=pl.lit("losing body mass"))
    )
    changed = switches.drop_nulls("switch_date").select(
        "client",
        start="switch_date",
        end=pl.col("switch_date") + pl.duration(days=6),
        label=pl.format(
            "from here about {} reps", pl.col("switch_reps_after").round().cast(pl.Int64)
        ),
    )
    return pl.concat([gaps, losing, changed]).sort("client", "start", "label")


_LOSING_WEEKS = 3


def units_logged(sets: pl.DataFrame) -> pl.DataFrame:
    """Say in which unit each client's loads were written: `client, logged_unit`.

    The clean table knows kilograms only. Loads that nearly all are whole half-pounds, and
    mostly no quarter-kilograms, were pounds.
    """

    def whole(step_kg: float) -> pl.Expr:
        steps = pl.col("load_kg") / step_kg
        return ((steps - steps.round()).abs() < _WHOLE).mean()

    loads = sets.filter(pl.col("load_kg") > 0)
    return loads.group_by("client", maintain_order=True).agg(
        pl.when((whole(KG_PER_LB / 2) > _NEARLY_ALL) & (whole(0.25) < 1 - _NEARLY_ALL / 2))
        .then(pl.lit("lb"))
        .otherwise(pl.lit("kg"))
        .alias("logged_unit")
    )


_WHOLE = 0.002
_NEARLY_ALL = 0.9


def reserve_logged(sets: pl.DataFrame, month: dt.date) -> pl.DataFrame:
    """Return `client, rir_share, feel_share, rest_share`: how many hard-work sets carry it.

    Warm-ups are left out; shares are of the month's sets, null where there is none.
    """
    return (
        sets.filter(
            pl.col("date").is_between(month, month_end(month)),
            pl.col("set_kind") != SetKind.WARM_UP.value,
        )
        .group_by("client", maintain_order=True)
        .agg(
            pl.col("rir").is_not_null().mean().alias("rir_share"),
            pl.col("feel").is_not_null().mean().alias("feel_share"),
            pl.col("rest_s").is_not_null().mean().alias("rest_share"),
        )
    )


def named_stretches(
    lifts: pl.DataFrame, curves: pl.DataFrame, plan: pl.DataFrame, month: dt.date
) -> pl.DataFrame:
    """Return the days of the month's deload: `client, deload_from, deload_to, deload_planned`.

    Only clients with a lift whose state is told with a deload beside it. The plan gives the
    days where it has a block of a single week in the month; else the sessions of progression
    lifts that the curve names so.

    Parameters
    ----------
    lifts
        The frame of lifts, with `context`.
    curves
        LIFT_CURVES, whose `context` names the sessions of a deload.
    plan
        PLAN.
    month
        First day of the month.
    """
    end = month_end(month)
    seen = (
        lifts.filter(
            pl.col("role") == Role.PROGRESSION,
            pl.col("context").list.contains("deload"),
        )
        .select("client", "exercise")
        .unique()
    )
    last_day = pl.col("start") + pl.duration(days=6)
    planned = (
        plan.filter(pl.col("weeks") == 1, pl.col("start") <= end, last_day >= month)
        .group_by("client")
        .agg(
            pl.col("start").max().alias("plan_from"),
            last_day.max().clip(upper_bound=end).alias("plan_to"),
        )
    )
    light = (
        curves.join(seen, on=["client", "exercise"], how="semi")
        .filter(pl.col("date").is_between(month, end), pl.col("context").str.starts_with("deload"))
        .group_by("client")
        .agg(pl.col("date").min().alias("light_from"), pl.col("date").max().alias("light_to"))
    )
    return (
        seen.select("client")
        .unique()
        .join(planned, on="client", how="left")
        .join(light, on="client", how="left")
        .select(
            "client",
            deload_from=pl.coalesce("plan_from", "light_from"),
            deload_to=pl.coalesce("plan_to", "light_to"),
            deload_planned=pl.col("plan_from").is_not_null(),
        )
        .sort("client")
    )


def range_switches(lifts: pl.DataFrame, curves: pl.DataFrame) -> pl.DataFrame:
    """Return the largest change of rep range of each client: from about, to about, when.

    Looks at the progression lifts whose state is told with a `rep-range switch` beside it: the
    session where the medians of the four sessions before and the four from there on differ
    most, and of these the median day and repetitions over the client's lifts.

    Returns
    -------
    pl.DataFrame
        `client, switch_date, switch_reps_before, switch_reps_after`.
    """
    key = ["client", "exercise"]
    switched = lifts.filter(
        pl.col("role") == Role.PROGRESSION, pl.col("context").list.contains("rep-range switch")
    ).select(key)
    before = pl.col("reps").shift(1).rolling_median(_SWITCH_SESSIONS).over(key)
    after = pl.col("reps").reverse().rolling_median(_SWITCH_SESSIONS).reverse().over(key)
    sessions = (
        curves.filter(pl.col("kind") == "session", pl.col("reps").is_not_null())
        .join(switched, on=key, how="semi")
        .sort(*key, "date")
        .with_columns(before=before, after=after)
        .with_columns(size=(pl.col("after") / pl.col("before")).log().abs())
        .drop_nulls("size")
    )
    each = sessions.filter(pl.col("size") == pl.col("size").max().over(key)).unique(
        key, keep="first", maintain_order=True
    )
    return (
        each.group_by("client", maintain_order=True)
        .agg(
            pl.col("date")
            .cast(pl.Int32)
            .median()
            .cast(pl.Int32)
            .cast(pl.Date)
            .alias("switch_date"),
            pl.col("before").median().alias("switch_reps_before"),
            pl.col("after").median().alias("switch_reps_after"),
        )
        .sort("client")
    )


_SWITCH_SESSIONS = 4
