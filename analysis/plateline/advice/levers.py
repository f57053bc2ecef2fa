"""The levers of each lift, in order, with the evidence for each."""

from __future__ import annotations

import datetime as dt
from typing import Any

import polars as pl

from plateline.advice.evidence import lift_evidence
from plateline.advice.rules import RULES, Rule
from plateline.advice.substitutes import as_polars, substitutes
from plateline.advice.tables import LEVERS, Evidence, Lever
from plateline.errors import MissingColumnError
from plateline.exercises import load_catalogue
from plateline.load import roles as infer_roles
from plateline.load import weekly_muscles
from plateline.words import LIFT_STATUS_DETAIL, Role, State, conform

__all__ = ["levers"]

EASIER_SETS_PCT = (50.0, 60.0)
"""Share of the usual sets in a week of backing off (common practice, no source)."""

SETS_STEP = (0.1, 0.2)
"""How much weekly sets are changed at a time, as a share (common practice, no source)."""

DIET_SETS_STEP = (0.2, 0.3)

TRY_WEEKS = 6
"""Weeks after which a change of range, variant or sets can be judged from the log."""

_OTHER_RANGE = ((6.0, 8.0, 10.0), (11.0, 12.0, 15.0), (15.0, 8.0, 10.0), (999.0, 10.0, 12.0))
"""Usual reps up to (first number) -> another range to try (low, high)."""


def levers(
    status: Any,
    *,
    sets: Any,
    catalogue: Any = None,
    clients: Any = None,
    plan: Any = None,
    muscles: Any = None,
    roles: Any = None,
    performance: Any = None,
    readiness: Any = None,
    drop_off: Any = None,
    back_off: Any = None,
    as_of: dt.date | None = None,
) -> pl.DataFrame:
    """Say for every lift what could be changed next month, in order, with the evidence.

    Parameters
    ----------
    status
        LIFT_STATUS_DETAIL at `as_of`, from `plateline.trend.lift_status`.
    sets
        SETS of the same clients; later sets are not looked at.
    catalogue, clients, plan
        As in a `Logbook`; what is not given does not speak.
    muscles, roles
        From `plateline.load.weekly_muscles` and `roles`; made from `sets` where not given.
    performance, readiness
        From `plateline.fatigue.performance_ratio` and `readiness`; where not given, fatigue
        and check-ins do not speak.
    drop_off, back_off
        From `plateline.fatigue.drop_off` and `back_off_ratio`: how reps hold up within a
        session; where not given, that does not speak.
    as_of
        The day to look from; left out, the last day of `sets`.

    Returns
    -------
    polars.DataFrame
        LEVERS, sorted by client, exercise, `rank` and `point`. `rank` orders the levers of a
        lift (1 first); a lever with several pieces of evidence has one row for each, numbered
        by `point`. `value` against `reference` in `unit` is the evidence; `now_*` to
        `proposed_*` in `proposed_unit` is the change and `for_weeks` how long to try it.

    Raises
    ------
    MissingColumnError
        When a column of `status` is missing.

    Notes
    -----
    A lever is a suggestion from what was logged, not a diagnosis: an association in one log
    is not a cause. Rows with a `caution` must be shown with it: `diet` and `pain` defer to
    licensed practice, `load jump` says to start lighter than the numbers allow.
    """
    lifts = as_polars(status)
    for name in LIFT_STATUS_DETAIL:
        if name not in lifts.columns:
            raise MissingColumnError(
                f"The status frame has no column {name!r}; pass what lift_status() returned."
            )
    done = as_polars(sets)
    known = load_catalogue() if catalogue is None else as_polars(catalogue)
    last = done["date"].max()
    day = as_of or (last if isinstance(last, dt.date) else dt.date(2000, 1, 1))
    done = done.filter(pl.col("date") <= day)
    evidence = lift_evidence(
        lifts,
        done,
        catalogue=known,
        as_of=day,
        muscles=weekly_muscles(done, catalogue=known) if muscles is None else as_polars(muscles),
        roles=infer_roles(done, _given(plan), catalogue=known)
        if roles is None
        else as_polars(roles),
        clients=_given(clients),
        plan=_given(plan),
        performance=_given(performance),
        readiness=_given(readiness),
        drop_off=_given(drop_off),
        back_off=_given(back_off),
    )
    rows = _without_contradictions(pl.concat([_apply(rule, evidence) for rule in RULES]))
    rows = _with_variants(rows, done, known, clients)
    return conform(_ranked(_with_the_rest(rows, evidence)), LEVERS)


def _given(frame: Any) -> pl.DataFrame | None:
    return None if frame is None else as_polars(frame)


def _apply(rule: Rule, evidence: pl.DataFrame) -> pl.DataFrame:
    """Return the rows of one rule."""
    low, high, unit, weeks = _proposal(rule)
    now_low, now_high = _now(rule)
    return evidence.filter(rule.when.fill_null(False)).select(
        "client",
        "exercise",
        "state",
        lever=pl.lit(rule.lever.value),
        evidence=pl.lit(rule.evidence.value),
        order=pl.lit(rule.order, pl.Int32),
        muscle=pl.col("muscle") if rule.of_muscle else pl.lit(None, pl.String),
        value=rule.value.cast(pl.Float64),
        reference=rule.reference.cast(pl.Float64),
        unit=pl.lit(rule.unit, pl.String),
        now_low=now_low.cast(pl.Float64),
        now_high=now_high.cast(pl.Float64),
        proposed_low=low.cast(pl.Float64),
        proposed_high=high.cast(pl.Float64),
        proposed_unit=pl.lit(unit, pl.String),
        for_weeks=pl.lit(weeks, pl.Int32),
        caution=pl.lit(rule.caution.value if rule.caution else None, pl.String),
    )


_NOTHING = pl.lit(None, pl.Float64)


def _now(rule: Rule) -> tuple[pl.Expr, pl.Expr]:
    match rule.lever:
        case Lever.MORE_SETS | Lever.FEWER_SETS:
            return pl.col("sets_now"), pl.col("sets_now")
        case Lever.REP_RANGE:
            return pl.coalesce("plan_low", "reps_low"), pl.coalesce("plan_high", "reps_high")
        case Lever.BACK_OFF:
            return pl.lit(100.0), pl.lit(100.0)
        case _:
            return _NOTHING, _NOTHING


def _proposal(rule: Rule) -> tuple[pl.Expr, pl.Expr, str | None, int | None]:
    """Return what would change: low, high, unit, and for how many weeks."""
    now = pl.col("sets_now")
    match rule.lever:
        case Lever.BACK_OFF:
            return pl.lit(EASIER_SETS_PCT[0]), pl.lit(EASIER_SETS_PCT[1]), "% of usual sets", 1
        case Lever.MORE_SETS:
            aim = pl.max_horizontal(rule.reference, now + 1)
            # At most a fifth more (and always room for one set), however far the aim is.
            one_more = (now + 1).floor()
            top = pl.max_horizontal((now * (1 + SETS_STEP[1])).ceil(), one_more)
            low = pl.max_horizontal((now * (1 + SETS_STEP[0])).ceil(), one_more)
            if rule.evidence is Evidence.FEW_SETS:
                # One set more of three is hardly a change; two are.
                return low, low + 1, "hard sets a week", TRY_WEEKS
            high = pl.min_horizontal(aim.ceil(), top)
            return pl.min_horizontal(low, high), high, "hard sets a week", TRY_WEEKS
        case Lever.FEWER_SETS:
            step = DIET_SETS_STEP if rule.evidence is Evidence.DIET_COST else SETS_STEP
            low, high = (now * (1 - step[1])).floor(), (now * (1 - step[0])).floor()
            return low, high, "hard sets a week", TRY_WEEKS
        case Lever.REP_RANGE:
            reps = pl.col("reps_now")
            low, high = _NOTHING, _NOTHING
            for up_to, to_low, to_high in reversed(_OTHER_RANGE):
                low = pl.when(reps <= up_to).then(pl.lit(to_low)).otherwise(low)
                high = pl.when(reps <= up_to).then(pl.lit(to_high)).otherwise(high)
            return low, high, "reps", TRY_WEEKS
        case Lever.VARIANT:
            return _NOTHING, _NOTHING, None, TRY_WEEKS
        case _:
            return _NOTHING, _NOTHING, None, None


def _without_contradictions(rows: pl.DataFrame) -> pl.DataFrame:
    """Drop sets levers from a lift's own history where two lifts of a muscle pull two ways."""
    muscle = ["client", "muscle"]
    more = (pl.col("lever") == Lever.MORE_SETS.value).any().over(muscle)
    fewer = (pl.col("lever") == Lever.FEWER_SETS.value).any().over(muscle)
    from_own = pl.col("evidence").is_in(
        [Evidence.SETS_ABOVE_OWN.value, Evidence.SETS_BELOW_OWN.value]
    )
    return rows.filter(~(more & fewer & from_own & pl.col("muscle").is_not_null()))


def _with_variants(
    rows: pl.DataFrame, sets: pl.DataFrame, catalogue: pl.DataFrame, clients: Any
) -> pl.DataFrame:
    """Name the best substitute of each lift whose variant lever speaks; none, no lever."""
    is_variant = pl.col("lever") == Lever.VARIANT.value
    best = substitutes(
        rows.filter(is_variant), sets=sets, catalogue=catalogue, clients=clients
    ).filter(pl.col("rank") == 1)
    named = best.select("client", "exercise", "substitute", substitute_feel="feel")
    return (
        rows.join(named, on=["client", "exercise"], how="left", maintain_order="left")
        .with_columns(
            pl.when(is_variant).then(pl.col(name)).alias(name)
            for name in ("substitute", "substitute_feel")
        )
        .filter(~is_variant | pl.col("substitute").is_not_null())
    )


def _with_the_rest(rows: pl.DataFrame, evidence: pl.DataFrame) -> pl.DataFrame:
    """Say of stuck lifts for which nothing speaks that they are left alone."""
    acted = rows.filter(pl.col("lever") != Lever.LOG_BETTER.value)
    rest = evidence.join(acted, on=["client", "exercise"], how="anti").filter(
        pl.col("state") != State.UNCLEAR.value
    )
    accessory = (pl.col("role") == Role.ACCESSORY.value).fill_null(False)
    silent = rest.select(
        "client",
        "exercise",
        "state",
        lever=pl.lit(Lever.LEAVE_ALONE.value),
        evidence=pl.when(accessory)
        .then(pl.lit(Evidence.ACCESSORY.value))
        .otherwise(pl.lit(Evidence.NO_CAUSE.value)),
        order=pl.lit(60, pl.Int32),
        value="slope_pct_week",
        unit=pl.lit("% a week"),
    )
    return pl.concat([rows, silent], how="diagonal_relaxed")


def _ranked(rows: pl.DataFrame) -> pl.DataFrame:
    """Return the levers of each lift numbered by their strongest evidence, and it within them."""
    lift = ["client", "exercise"]
    return (
        rows.with_columns(first=pl.col("order").min().over(*lift, "lever"))
        .sort(*lift, "first", "order", maintain_order=True)
        .with_columns(
            rank=pl.col("first").rank("dense").over(lift),
            point=pl.int_range(1, pl.len() + 1).over(*lift, "lever"),
        )
    )
