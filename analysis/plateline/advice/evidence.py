"""What the log says beside each lift's state, as one wide row per lift.

Every column is null where the log does not say it, so that a rule that needs it stays silent.
"""

from __future__ import annotations

import datetime as dt

import polars as pl

from plateline.advice.fading import fading
from plateline.advice.planned import planned_range, planned_sets
from plateline.exercises import annotate
from plateline.strength import e1rm
from plateline.words import LIFT, Role, SetKind, State

__all__ = [
    "EASY_WEEK_SHARE",
    "LAYOFF_DAYS",
    "RECENT_WEEKS",
    "SAME_REPS_WEEKS",
    "lift_evidence",
]

RECENT_WEEKS = 4
"""Weeks that stand for "now": the month that is reported."""

SAME_REPS_WEEKS = 12
SAME_REPS_RATIO = 1.4
"""Reps of a session's heaviest set count as the same range within this ratio of the usual."""

FEEL_WEEKS = 12
RIR_WEEKS = 8
OWN_WEEKS = 12
"""How far back feel, RIR and the progressing weeks before a lift got stuck are looked at."""

EASY_WEEK_SHARE = 0.6
EASY_WEEK_SPAN = 16
"""A week with at most this share of the usual working sets of the client's weeks (median of
the last sixteen) was an easier one, meant or not (common practice, no source)."""

EASY_LOAD_SHARE = 0.88
EASY_LOAD_WEEKS = 4
"""So was one whose sets were this much lighter for their repetitions than in the four weeks before:
light weeks take a tenth to a fifth off the load (common practice, no source)."""

LAYOFF_DAYS = 10
AFTER_LAYOFF_DAYS = 28
"""A gap of at least ten days is a layoff; strength is judged with care for four weeks after
it (common practice, no source)."""


def lift_evidence(
    status: pl.DataFrame,
    sets: pl.DataFrame,
    *,
    catalogue: pl.DataFrame,
    as_of: dt.date,
    muscles: pl.DataFrame,
    roles: pl.DataFrame,
    clients: pl.DataFrame | None = None,
    plan: pl.DataFrame | None = None,
    performance: pl.DataFrame | None = None,
    readiness: pl.DataFrame | None = None,
    drop_off: pl.DataFrame | None = None,
    back_off: pl.DataFrame | None = None,
) -> pl.DataFrame:
    """Join the evidence for every row of `status`; see `levers` for the arguments."""
    sets = sets.filter(pl.col("date") <= as_of)
    work = sets.filter(pl.col("set_kind") != SetKind.WARM_UP.value)
    facts = annotate(status["exercise"].unique(maintain_order=True), catalogue).select(
        "exercise", muscle=pl.col("direct").list.first()
    )
    lifts = (
        status.join(facts, on="exercise", how="left", maintain_order="left")
        .join(roles.select(*LIFT, "role"), on=LIFT, how="left", maintain_order="left")
        .join(_habits(work, as_of), on=LIFT, how="left", maintain_order="left")
        .join(_weeks(work, as_of), on="client", how="left", maintain_order="left")
        .join(_gaps(work, as_of), on="client", how="left", maintain_order="left")
        .join(_phases(clients), on="client", how="left", maintain_order="left")
        .join(_ready(readiness, as_of), on="client", how="left", maintain_order="left")
        .join(_performance(performance, as_of), on=LIFT, how="left", maintain_order="left")
        .join(planned_range(plan, as_of), on=LIFT, how="left", maintain_order="left")
        .join(fading(status, drop_off, back_off, as_of), on=LIFT, how="left", maintain_order="left")
    )
    begun = work.group_by(LIFT).agg(begun=pl.col("date").min().dt.truncate("1w"))
    lifts = _with_weekly_sets(lifts, muscles, begun, as_of)
    planned = planned_sets(plan, catalogue, as_of)
    lifts = lifts.join(planned, on=["client", "muscle"], how="left", maintain_order="left")
    # Accessory lifts move by effort and volume; whether a stall is one lift's own or the client's
    # is told by the lifts that are loaded to progress.
    main = (pl.col("role") == Role.PROGRESSION.value).fill_null(True)
    moving = (pl.col("state") == State.PROGRESSING.value) & main
    judged = (pl.col("state") != State.UNCLEAR.value) & main
    return lifts.with_columns(
        weeks_stuck=(pl.lit(as_of) - pl.col("since")).dt.total_days() / 7,
        others_moving=(moving.sum().over("client") - moving.cast(pl.Int64))
        / (judged.sum().over("client") - judged.cast(pl.Int64)).replace(0, None),
    )


def _habits(work: pl.DataFrame, as_of: dt.date) -> pl.DataFrame:
    """Return usual reps, effort, feel and how much was logged, per lift."""
    ago = (pl.lit(as_of) - pl.col("date")).dt.total_days() / 7
    work = work.with_columns(ago=ago)
    recent = pl.col("ago") < RECENT_WEEKS
    rated = pl.col("feel").filter(pl.col("ago") < FEEL_WEEKS)
    per_lift = work.group_by(LIFT).agg(
        failure_share=(pl.col("rir") == 0).filter(recent & pl.col("rir").is_not_null()).mean(),
        rir_share=pl.col("rir").is_not_null().filter(pl.col("ago") < RIR_WEEKS).mean(),
        feel=rated.mean(),
        feel_ratings=rated.count(),
        top_load_kg=pl.col("load_kg").filter(recent).max(),
    )
    heaviest = (
        work.filter(pl.col("ago") < SAME_REPS_WEEKS)
        .sort("load_kg", "reps")
        .group_by(*LIFT, "date")
        .agg(pl.col("ago").last(), pl.col("reps").last())
        .with_columns(reps_now=pl.col("reps").filter(recent).median().over(LIFT))
    )
    ratio = (pl.col("reps") / pl.col("reps_now")).log().abs()
    ranges = heaviest.group_by(LIFT).agg(
        pl.col("reps_now").first(),
        reps_low=pl.col("reps").quantile(0.1, "nearest").cast(pl.Float64),
        reps_high=pl.col("reps").quantile(0.9, "nearest").cast(pl.Float64),
        same_reps_share=(ratio <= pl.lit(SAME_REPS_RATIO).log()).mean(),
        same_reps_weeks=pl.col("ago").max(),
        sessions_recent=recent.sum(),
    )
    return per_lift.join(ranges, on=LIFT, how="left")


def _weeks(work: pl.DataFrame, as_of: dt.date) -> pl.DataFrame:
    """Return how many weeks ago each client's last easier week was (whole log where none)."""
    trained = work.group_by("client", week=pl.col("date").dt.truncate("1w")).agg(
        sets=pl.len().cast(pl.Float64)
    )
    now = as_of - dt.timedelta(days=as_of.weekday())
    grid = trained.group_by("client").agg(
        week=pl.date_ranges(pl.col("week").min(), pl.lit(now), "1w").first(),
        usual=pl.col("sets")
        .filter(pl.col("week") > now - dt.timedelta(weeks=EASY_WEEK_SPAN))
        .median(),
    )
    weeks = (
        grid.explode("week")
        .join(trained, on=["client", "week"], how="left")
        .join(_week_loads(work), on=["client", "week"], how="left")
        .with_columns(
            pl.col("sets").fill_null(0.0),
            weeks_ago=((pl.lit(now) - pl.col("week")).dt.total_days() // 7).cast(pl.Int32),
        )
    )
    # The first week and the one that is not over yet may be short by date alone.
    whole = (pl.col("week") > pl.col("week").min().over("client")) & (
        (pl.col("weeks_ago") > 0) | (as_of.weekday() == 6)
    )
    few = pl.col("sets") <= EASY_WEEK_SHARE * pl.col("usual")
    light = (pl.col("load_share") <= EASY_LOAD_SHARE).fill_null(value=False)
    easy = whole & (few | light)
    return weeks.group_by("client").agg(
        weeks_since_easy=pl.col("weeks_ago").filter(easy).min().cast(pl.Float64),
        weeks_of_log=pl.col("weeks_ago").max().cast(pl.Float64),
    )


def _week_loads(work: pl.DataFrame) -> pl.DataFrame:
    """Return each week's loads, for their repetitions, against the weeks before (a share)."""
    each = (
        work.filter(pl.col("load_kg") > 0, pl.col("reps") > 0)
        .group_by(*LIFT, week=pl.col("date").dt.truncate("1w"))
        .agg(asked=e1rm(pl.col("load_kg"), pl.col("reps")).mean(), sets=pl.len())
        .sort(*LIFT, "week")
        .with_columns(
            usual=pl.col("asked")
            .shift(1)
            .rolling_median(EASY_LOAD_WEEKS, min_samples=2)
            .over(LIFT, order_by="week")
        )
        .drop_nulls("usual")
    )
    share = (pl.col("asked") / pl.col("usual") * pl.col("sets")).sum() / pl.col("sets").sum()
    return each.group_by("client", "week", maintain_order=True).agg(load_share=share)


def _gaps(work: pl.DataFrame, as_of: dt.date) -> pl.DataFrame:
    """Return the last layoff of each client that ended less than four weeks ago."""
    days = work.select("client", "date").unique().sort("client", "date")
    gap = (pl.col("date") - pl.col("date").shift().over("client")).dt.total_days()
    back = (pl.lit(as_of) - pl.col("date")).dt.total_days()
    return (
        days.with_columns(layoff_days=gap, back_days=back)
        .filter(pl.col("layoff_days") >= LAYOFF_DAYS, pl.col("back_days") < AFTER_LAYOFF_DAYS)
        .group_by("client", maintain_order=True)
        .agg(pl.col("layoff_days").last().cast(pl.Float64), pl.col("back_days").last())
    )


def _phases(clients: pl.DataFrame | None) -> pl.DataFrame:
    if clients is None or clients.is_empty():
        return pl.DataFrame(schema={"client": pl.String, "phase": pl.String})
    return clients.select("client", "phase").unique("client", keep="last")


_SLOPE = "body_mass_pct_week"
_READY = {
    "hooper_index": pl.Float64,
    "usual_index": pl.Float64,
    "sleep_h": pl.Float64,
    _SLOPE: pl.Float64,
}
_READY_FLAGS = ("is_high_fatigue", "is_short_sleep", "is_losing_mass")


def _ready(readiness: pl.DataFrame | None, as_of: dt.date) -> pl.DataFrame:
    """Return the month's readiness per client: means, and flags set in most of its weeks."""
    if readiness is None:
        schema = {"client": pl.String} | _READY
        schema |= dict.fromkeys(_READY_FLAGS, pl.Boolean) | {"against_aim": pl.String}
        return pl.DataFrame(schema=schema)
    month = readiness.filter(
        pl.col("week") <= as_of, pl.col("week") > as_of - dt.timedelta(weeks=RECENT_WEEKS)
    ).sort("client", "week")
    return month.group_by("client", maintain_order=True).agg(
        *(pl.col(name).mean() for name in _READY if name != _SLOPE),
        # A slope looks back four weeks by itself: the latest is the month's.
        pl.col(_SLOPE).drop_nulls().last(),
        *(_mostly(name).alias(name) for name in _READY_FLAGS),
        pl.col("against_aim").drop_nulls().last(),
    )


def _mostly(flag: str) -> pl.Expr:
    """Return whether a flag is set in at least two of the weeks, and in half of those known."""
    weeks = pl.col(flag).cast(pl.Float64)
    return (weeks.mean() >= 0.5) & (weeks.sum() >= 2)


def _performance(performance: pl.DataFrame | None, as_of: dt.date) -> pl.DataFrame:
    """Return the mean fatigue/performance ratio of the last two weeks."""
    if performance is None:
        return pl.DataFrame(
            schema={"client": pl.String, "exercise": pl.String, "performance_ratio": pl.Float64}
        )
    return (
        performance.filter(pl.col("week") <= as_of, pl.col("week") > as_of - dt.timedelta(weeks=3))
        .group_by(LIFT)
        .agg(pl.col("performance_ratio").mean())
    )


def _with_weekly_sets(
    lifts: pl.DataFrame, muscles: pl.DataFrame, begun: pl.DataFrame, as_of: dt.date
) -> pl.DataFrame:
    """Add the muscle's hard sets a week: now, and in the weeks before the lift got stuck.

    Of these only weeks since the lift was `begun`: before, it did not move either.
    """
    weekly = muscles.filter(
        pl.col("week") <= as_of - dt.timedelta(days=6), ~pl.col("is_partial").fill_null(False)
    ).select("client", "muscle", "week", "hard_sets")
    now = (
        weekly.filter(pl.col("week") > as_of - dt.timedelta(weeks=RECENT_WEEKS + 1))
        .group_by("client", "muscle")
        .agg(sets_now=pl.col("hard_sets").median())
    )
    stuck = lifts.filter(
        pl.col("state").is_in([State.PLATEAU.value, State.DECLINING.value]),
        pl.col("since").is_not_null(),
    )
    own = (
        stuck.select(*LIFT, "muscle", "since")
        .join(begun, on=LIFT, how="left")
        .join(weekly, on=["client", "muscle"])
        .filter(
            (pl.col("week") >= pl.col("begun")).fill_null(value=True),
            pl.col("week") < pl.col("since"),
            pl.col("week") >= pl.col("since") - pl.duration(weeks=OWN_WEEKS),
        )
        .group_by(LIFT)
        .agg(sets_own=pl.col("hard_sets").median(), own_weeks=pl.len())
    )
    return lifts.join(now, on=["client", "muscle"], how="left", maintain_order="left").join(
        own, on=LIFT, how="left", maintain_order="left"
    )
