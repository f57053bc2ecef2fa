"""What needs a decision, per client, most urgent first; for all clients at once.

A decision is a code with the facts it rests on; `sentences_decisions` puts it into words. The
order of the codes is an order of reading for a coach with two minutes, not a measurement.
"""

from __future__ import annotations

import datetime as dt

import polars as pl

from plateline.report.facts import BREAK_DAYS
from plateline.report.months import month_end
from plateline.report.urgency import URGENCY, Decision
from plateline.words import Phase, Role, State

__all__ = ["client_decisions"]


# A loss of more than 1 % of body mass a week is the upper end of what is usually advised
# to athletes who want to keep their strength (common practice, no source).
FAST_LOSS_PCT_WEEK = -1.0

# Fewer than three in four planned sessions done is more than a missed day (common practice,
# no source).
SESSIONS_DONE_SHARE = 0.75

# From this probability on a state is worth changing something for; below it, waiting costs less
# than a change that was not needed. A standstill of one lift that no session begins with is
# waited out until it is clear.
SURE_ENOUGH = 0.65
CLEAR = 0.85

# From this share of a client's lifts on (and from three lifts on) the stall is the client's, not
# one lift's (common practice, no source).
MOST_SHARE = 0.6
MOST_LIFTS = 3

# A standstill that began longer before the end of the month than this is not made by a break
# or light week of the month.
_EXPLAINED_SPAN = dt.timedelta(days=35)

# How much a lift weighs beside others when clients are put in order: a fall more than a
# standstill, a lift that sessions begin with more than one that follows, a state that a break,
# a deload or a diet explains less than one that nothing does.
_FALL_WEIGHT = 1.5
_FOLLOWING_SHARE = 0.6
_EXPLAINED_SHARE = 0.6

# What a reason that is not about a lift weighs beside lifts.
_CLIENT_WEIGHT = {
    Decision.MASS_FALLS_FAST: 6.0,
    Decision.PAIN_NOTED: 4.0,
    Decision.STOPPED: 4.0,
    Decision.SESSIONS_MISSED: 1.5,
}

# Reserve written down for fewer than this share of sets: the report works mostly without it.
RESERVE_SHARE = 0.25

# A share of unclear progression lifts from which the month as a whole says little.
UNCLEAR_SHARE = 0.5

DECISIONS = {
    "client": pl.String,
    "decision": pl.String,
    "urgency": pl.Float64,
    "exercise": pl.String,
    "p": pl.Float64,
    "since": pl.Date,
    "is_long": pl.Boolean,
    "lifts": pl.Int32,
    "others": pl.List(pl.String),
    "weight": pl.Float64,
    "moving": pl.Int32,
    "judged": pl.Int32,
}


def client_decisions(lifts: pl.DataFrame, clients: pl.DataFrame, month: dt.date) -> pl.DataFrame:
    """Return what asks for a decision: several rows a client, the most urgent first.

    Parameters
    ----------
    lifts
        The frame of lifts, most in need of attention first within a client.
    clients
        The frame of clients with the facts of the month.
    month
        First day of the month.

    Returns
    -------
    pl.DataFrame
        `client, decision, urgency, exercise, p, since, is_long, lifts` (how many it is about),
        `others` (their names but the first), `weight` (how much it weighs when clients are put
        in order), `moving, judged` (how many of the client's lifts are moving up); every client
        has at least one row.
    """
    judged = _judged(lifts)
    end = month_end(month)
    losing = clients.filter(
        pl.col("phase") == Phase.LOSE, pl.col("mass_pct_week") < 0, pl.col("mass_high") < 0
    ).select("client", losing=pl.lit(value=True))
    judged = judged.join(losing, on="client", how="left", maintain_order="left")
    # A lift done now and then (a stand-in for another, say) is told of, but decides nothing.
    often = ~_beside("few sessions")
    in_diet = _beside("diet phase") | pl.col("losing").fill_null(value=False)
    explained = _beside("layoff", "deload")
    falling, still = pl.col("state") == State.DECLINING, pl.col("state") == State.PLATEAU
    unexplained = falling & ~in_diet & ~explained & often
    falls = pl.col("p_declining") >= SURE_ENOUGH
    recent = explained & (pl.col("since").is_null() | (pl.col("since") > end - _EXPLAINED_SPAN))
    stands = still & ~in_diet & ~recent & often
    stuck = judged.filter(stands & ~explained).with_columns(stands=_stands())
    fast = (pl.col("mass_pct_week") < FAST_LOSS_PCT_WEEK) & (pl.col("mass_high") < 0)
    missed = pl.col("sessions_done") < SESSIONS_DONE_SHARE * pl.col("sessions_planned")
    open_break = pl.col("break_to") == end
    idle = (pl.col("sessions_month") == 0) | (open_break & (pl.col("break_days") >= BREAK_DAYS))
    back = ~open_break & (pl.col("break_days") >= BREAK_DAYS)
    about_lifts = [
        (
            _most(judged.filter(unexplained | (stands & ~explained)), judged),
            Decision.MOST_STUCK,
            "p",
        ),
        (judged.filter(unexplained, falls), Decision.FALLING, "p_declining"),
        (judged.filter(unexplained, ~falls), Decision.PERHAPS_FALLING, "p_declining"),
        (judged.filter(falling, in_diet), Decision.FALLING_IN_DIET, "p_declining"),
        (judged.filter(falling, ~in_diet, explained), Decision.FALLING_EXPLAINED, "p_declining"),
        (judged.filter(stands, explained), Decision.STUCK_EXPLAINED, "p_plateau"),
        (stuck.filter("stands"), Decision.STUCK, "p_plateau"),
        (stuck.filter(~pl.col("stands")), Decision.PERHAPS_STUCK, "p_plateau"),
        (judged.filter(still, in_diet), Decision.HOLDING_IN_DIET, "p_plateau"),
        (_mostly_unclear(judged), Decision.UNCLEAR, None),
        (judged.filter(_beside("rep-range switch")), Decision.RANGE_SWITCHED, None),
        (judged.filter(_beside("deload")), Decision.DELOADED, None),
    ]
    about_clients = [
        (clients.filter(pl.col("pain_notes") > 0), Decision.PAIN_NOTED),
        (clients.filter(fast), Decision.MASS_FALLS_FAST),
        (clients.filter(idle), Decision.STOPPED),
        (clients.filter(missed), Decision.SESSIONS_MISSED),
        (clients.filter(back), Decision.BACK_FROM_BREAK),
        (clients.filter(pl.col("rejected") > 0), Decision.ROWS_UNREADABLE),
        (clients.filter(pl.col("rir_share") < RESERVE_SHARE), Decision.NO_RESERVE),
        (clients.filter(pl.col("swap_from").is_not_null()), Decision.FELT_LITTLE),
        (clients, Decision.STEADY),
    ]
    found = [_about_lifts(*case) for case in about_lifts]
    found += [_about_client(*case) for case in about_clients]
    return (
        pl.concat(found)
        .join(_moving(judged), on="client", how="left", maintain_order="left")
        .with_columns(pl.col("moving", "judged").fill_null(0))
        .select(pl.col(name).cast(dtype) for name, dtype in DECISIONS.items())
        .sort("client", "urgency", "decision", descending=[False, True, False], maintain_order=True)
    )


def _judged(lifts: pl.DataFrame) -> pl.DataFrame:
    """Keep progression lifts trained this month; all trained lifts where there is none."""
    trained = lifts.filter(pl.col("sessions_month") > 0)
    is_progression = pl.col("role") == Role.PROGRESSION
    return trained.filter(is_progression | ~is_progression.any().over("client"))


def _beside(*contexts: str) -> pl.Expr:
    return pl.col("context").list.set_intersection(list(contexts)).list.len().fill_null(0) > 0


def _mostly_unclear(judged: pl.DataFrame) -> pl.DataFrame:
    unclear = pl.col("state") == State.UNCLEAR
    return judged.filter(unclear & (unclear.mean().over("client") > UNCLEAR_SHARE))


def _stands() -> pl.Expr:
    """Tell whether a standstill is sure enough to change something for it.

    It is where it is clear, where sessions begin with the lift, or where it is not the only one.
    """
    sure = pl.col("p_plateau") >= SURE_ENOUGH
    several = sure.sum().over("client") > 1
    return (pl.col("p_plateau") >= CLEAR) | (sure & (pl.col("leads") | several))


def _most(in_need: pl.DataFrame, judged: pl.DataFrame) -> pl.DataFrame:
    """Keep the lifts in need of clients of whom most lifts are; `p` is that of their state."""
    all_lifts = judged.group_by("client").agg(pl.len().alias("all_lifts"))
    least = pl.max_horizontal(pl.lit(MOST_LIFTS), MOST_SHARE * pl.col("all_lifts"))
    falls = pl.col("state") == State.DECLINING
    return (
        in_need.join(all_lifts, on="client", how="left", maintain_order="left")
        .filter(pl.len().over("client") >= least)
        .with_columns(p=pl.when(falls).then("p_declining").otherwise("p_plateau"))
    )


def _lift_weight(p: str) -> pl.Expr:
    fall = pl.when(pl.col("state") == State.DECLINING).then(_FALL_WEIGHT).otherwise(1.0)
    place = pl.when(pl.col("leads")).then(1.0).otherwise(_FOLLOWING_SHARE)
    diet = _beside("diet phase", "layoff", "deload") | pl.col("losing").fill_null(value=False)
    cause = pl.when(diet).then(_EXPLAINED_SHARE).otherwise(1.0)
    return pl.col(p).fill_null(0.0) * fall * place * cause


def _about_lifts(lifts: pl.DataFrame, decision: Decision, p: str | None) -> pl.DataFrame:
    """Return one row per client, about the first of its lifts."""
    return _row(
        lifts.group_by("client", maintain_order=True).agg(
            pl.col("exercise", "since", "is_long").first(),
            pl.col("exercise").slice(1).alias("others"),
            (pl.col(p).first() if p else pl.lit(None)).cast(pl.Float64).alias("p"),
            pl.len().alias("lifts"),
            (_lift_weight(p).sum() if p else pl.lit(0.0)).alias("weight"),
        ),
        decision,
    )


def _moving(judged: pl.DataFrame) -> pl.DataFrame:
    """Count the lifts of each client, and those that are moving up."""
    return judged.group_by("client").agg(
        (pl.col("state") == State.PROGRESSING).sum().alias("moving"), pl.len().alias("judged")
    )


def _about_client(clients: pl.DataFrame, decision: Decision) -> pl.DataFrame:
    return _row(
        clients.select(
            "client",
            exercise=pl.lit(None, pl.String),
            others=pl.lit([], pl.List(pl.String)),
            p=pl.lit(None, pl.Float64),
            since=pl.lit(None, pl.Date),
            is_long=pl.lit(value=False),
            lifts=pl.lit(0),
            weight=pl.lit(_CLIENT_WEIGHT.get(decision, 0.0)),
        ),
        decision,
    )


def _row(frame: pl.DataFrame, decision: Decision) -> pl.DataFrame:
    whole = frame.with_columns(decision=pl.lit(decision.value), urgency=pl.lit(URGENCY[decision]))
    known = {name: dtype for name, dtype in DECISIONS.items() if name not in ("moving", "judged")}
    return whole.select(pl.col(name).cast(dtype) for name, dtype in known.items())
