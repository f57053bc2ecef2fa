"""The rules of the room: which evidence speaks for which lever, and how strongly.

Every rule is one row: when it holds, for what it speaks, the numbers that show why, and what
would change. `order` sorts the levers of a lift; the smallest comes first. The order is what
a careful coach does: look again before changing anything that an interruption explains; take
away what costs strength; then change one thing about the training, the cheapest first; then
mend the log. It is common practice, no source, except where a source is named.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import polars as pl

from plateline.advice.substitutes import FEEL_POOR
from plateline.advice.tables import Caution, Evidence, Lever
from plateline.fatigue.balance import HIGH_RATIO
from plateline.words import Phase, Role, State

__all__ = ["RULES", "Rule"]

NO_EASY_WEEKS = 8.0
"""Weeks of hard training after which an easier one is usual (common practice, no source). What
an easier week is for: Bell et al. 2023, Sports Med Open 9, doi 10.1186/s40798-023-00633-0."""

FAILURE_SHARE = 0.6
"""Share of a lift's sets to failure that is most of them (common practice, no source)."""

SLOW_LOSS_PCT_WEEK = -0.7
"""Loss of body mass that athletes are told to aim for who want to gain strength meanwhile: those
who lost 0.7 % a week gained lean mass and those who lost 1.0 % did not (Garthe et al. 2011, Int
J Sport Nutr Exerc Metab 21:97-104, abstract)."""

ENOUGH_SLEEP_H = 7.0
"""Joint consensus for adults (Watson et al. 2015, Sleep 38:843-844: seven or more)."""

SLEEP_CLEARLY_H = 0.25
"""A month's mean this far below speaks; a few minutes do not (common practice, no source)."""

SETS_CLEARLY = 0.15
LEAST_SETS_APART = 2.0
"""Weekly sets differ where they are more than this share and at least two sets apart."""

FEW_WEEKLY_SETS = 5.0
MANY_WEEKLY_SETS = 20.0
"""Hard sets a week of a muscle below which more, and above which fewer, are worth a try.
Progress rises with weekly sets and ever more slowly (Pelland et al. 2024, SportRxiv preprint);
the two borders themselves are common practice, no source."""

CUT_ABOVE_SETS = 6.0
"""Weekly sets of a muscle are not cut from this many down (common practice, no source)."""

FADING_WEEKLY_SETS = 10.0
FADING_DROP_OFF = 0.2
FADING_MORE = 0.05
FADING_BACK_OFF = 0.9
"""Reps that fall by a fifth from the first set to the later ones, and by more than while the
lift still moved, or back-off sets with a tenth fewer reps than the top set led to expect, tell
of more work than is recovered from, where a muscle gets ten hard sets a week or more (borders:
common practice, no source)."""

LONG_STUCK_WEEKS = 6.0
SAME_SHARE = 0.8
SAME_WEEKS = 10.0
FEW_RATINGS = 5
RIR_SHARE = 0.5
STALE_DAYS = 28
MOST_OTHERS_MOVE = 0.5


@dataclass(frozen=True)
class Rule:
    """One piece of evidence and the lever that it speaks for."""

    lever: Lever
    evidence: Evidence
    order: int
    when: pl.Expr
    value: pl.Expr = field(default_factory=lambda: pl.lit(None))
    reference: pl.Expr = field(default_factory=lambda: pl.lit(None))
    unit: str | None = None
    of_muscle: bool = False
    caution: Caution | None = None


def _col(name: str) -> pl.Expr:
    return pl.col(name)


_plateau = _col("state") == State.PLATEAU.value
_declining = _col("state") == State.DECLINING.value
_unclear = _col("state") == State.UNCLEAR.value
_stuck = _plateau | _declining
_main = (_col("role") == Role.PROGRESSION.value).fill_null(True)
_losing = _col("is_losing_mass").fill_null(False) | (
    (_col("phase") == Phase.LOSE.value) & (_col("body_mass_pct_week") < 0)
).fill_null(False)
_alone = _col("others_moving").fill_null(0.0) >= MOST_OTHERS_MOVE
_in_deload = _col("context").list.contains("deload").fill_null(False) & (
    _col("weeks_since_easy") <= 1
)
_after_layoff = _col("layoff_days").is_not_null()
_switched = _col("context").list.contains("rep-range switch").fill_null(False) & (
    _col("same_reps_share") < SAME_SHARE
)
_interrupted = (_in_deload | _after_layoff | _switched).fill_null(False)
# Strength that holds while body mass is meant to fall is what a diet phase hopes for.
_held = (_plateau & _losing & (_col("phase") == Phase.LOSE.value)).fill_null(False)
_settled = _stuck & ~_interrupted & ~_held
_more_than_own = _col("sets_now") - _col("sets_own")
_clearly_off_own = (_more_than_own.abs() > SETS_CLEARLY * _col("sets_own")) & (
    _more_than_own.abs() >= LEAST_SETS_APART
)
_no_easy = pl.coalesce("weeks_since_easy", "weeks_of_log")

RULES: tuple[Rule, ...] = (
    # Nothing to mend: the lift moves, or an interruption explains it.
    Rule(
        Lever.LEAVE_ALONE, Evidence.PROGRESSING, 10, _col("state") == State.PROGRESSING.value,
        _col("slope_pct_week"), unit="% a week",
    ),
    Rule(
        Lever.WAIT, Evidence.PLANNED_DELOAD, 10, (_stuck | _unclear) & _in_deload,
        _col("weeks_since_easy"), unit="weeks since the light week",
    ),
    Rule(
        Lever.WAIT, Evidence.AFTER_LAYOFF, 11, (_stuck | _unclear) & _after_layoff,
        _col("layoff_days"), unit="days without training",
    ),
    Rule(
        Lever.WAIT, Evidence.NEW_REP_RANGE, 12, (_stuck | _unclear) & _switched,
        _col("same_reps_share") * 100, unit="% of sessions in the new range",
    ),
    Rule(
        Lever.LEAVE_ALONE, Evidence.HELD_ON_DIET, 13, _held & ~_interrupted,
        _col("body_mass_pct_week"), unit="% of body mass a week",
    ),
    # What costs strength outside the gym.
    Rule(
        Lever.FOOD_AND_SLEEP, Evidence.LOSING_FASTER, 20,
        _settled & _losing & (_col("body_mass_pct_week") < SLOW_LOSS_PCT_WEEK),
        _col("body_mass_pct_week"), pl.lit(SLOW_LOSS_PCT_WEEK), "% of body mass a week",
        caution=Caution.DIET,
    ),
    Rule(
        Lever.FOOD_AND_SLEEP, Evidence.LOSING_MASS, 21,
        _settled & _losing & ~(_col("body_mass_pct_week") < SLOW_LOSS_PCT_WEEK).fill_null(False),
        _col("body_mass_pct_week"), unit="% of body mass a week", caution=Caution.DIET,
    ),
    Rule(
        Lever.FOOD_AND_SLEEP, Evidence.NOT_GAINING, 22,
        _settled & ~_losing & (_col("phase") == Phase.GAIN.value)
        & _col("against_aim").is_in(["slower", "other way"]),
        _col("body_mass_pct_week"), unit="% of body mass a week", caution=Caution.DIET,
    ),
    Rule(
        Lever.FOOD_AND_SLEEP, Evidence.SHORT_SLEEP, 29,
        _settled & _col("is_short_sleep").fill_null(False)
        & (_col("sleep_h") < ENOUGH_SLEEP_H - SLEEP_CLEARLY_H),
        _col("sleep_h"), pl.lit(ENOUGH_SLEEP_H), "hours a night", caution=Caution.DIET,
    ),
    # Fatigue: back off for a week.
    Rule(
        Lever.BACK_OFF, Evidence.LOAD_ABOVE_PERFORMANCE, 24,
        _settled & _main & (_col("performance_ratio") >= HIGH_RATIO), _col("performance_ratio"),
        pl.lit(1.0), "fatigue/performance ratio", caution=Caution.PAIN,
    ),
    Rule(
        Lever.BACK_OFF, Evidence.RATED_TIRED, 26,
        _settled & _main & _col("is_high_fatigue").fill_null(False), _col("hooper_index"),
        _col("usual_index"), "Hooper index (4-28)", caution=Caution.PAIN,
    ),
    Rule(
        Lever.BACK_OFF, Evidence.ALL_TO_FAILURE, 30,
        _settled & _main & (_col("failure_share") >= FAILURE_SHARE), _col("failure_share") * 100,
        pl.lit(FAILURE_SHARE * 100), "% of sets to failure", caution=Caution.PAIN,
    ),
    Rule(
        Lever.BACK_OFF, Evidence.NO_EASY_WEEK, 32,
        _settled & _main & ~_alone & (_no_easy >= NO_EASY_WEEKS), _no_easy,
        pl.lit(NO_EASY_WEEKS), "weeks", caution=Caution.PAIN,
    ),
    Rule(
        Lever.BACK_OFF, Evidence.FALLS, 33, _settled & _main & _declining & ~_losing,
        _col("slope_pct_week"), unit="% a week", caution=Caution.PAIN,
    ),
    # While most other lifts move, the stall is this lift's own: change the lift first.
    Rule(
        Lever.BACK_OFF, Evidence.NO_EASY_WEEK, 52,
        _settled & _main & _alone & (_no_easy >= NO_EASY_WEEKS), _no_easy,
        pl.lit(NO_EASY_WEEKS), "weeks", caution=Caution.PAIN,
    ),
    # Weekly sets of the muscle.
    Rule(
        Lever.FEWER_SETS, Evidence.DIET_COST, 28,
        _settled & _declining & _losing & (_col("sets_now") > CUT_ABOVE_SETS), _col("sets_now"),
        _col("sets_plan"), "hard sets a week", of_muscle=True,
    ),
    Rule(
        Lever.FEWER_SETS, Evidence.SETS_ABOVE_OWN, 36, _settled & _clearly_off_own & (_more_than_own > 0) & (_col("sets_now") > CUT_ABOVE_SETS),
        _col("sets_now"), _col("sets_own"), "hard sets a week", of_muscle=True,
    ),
    Rule(
        Lever.FEWER_SETS, Evidence.MANY_SETS, 38, _settled & (_col("sets_now") > MANY_WEEKLY_SETS),
        _col("sets_now"), pl.lit(MANY_WEEKLY_SETS), "hard sets a week", of_muscle=True,
    ),
    Rule(
        Lever.FEWER_SETS, Evidence.REPS_FADE, 34,
        _settled & _main & (_col("sets_now") >= FADING_WEEKLY_SETS)
        & (_col("drop_off_now") >= FADING_DROP_OFF)
        & (_col("drop_off_now") - _col("drop_off_own") >= FADING_MORE),
        _col("drop_off_now") * 100, _col("drop_off_own") * 100, "% fewer reps in later sets",
        of_muscle=True,
    ),
    Rule(
        Lever.FEWER_SETS, Evidence.BACK_OFF_FADES, 35,
        _settled & _main & (_col("sets_now") >= FADING_WEEKLY_SETS)
        & (_col("back_off_now") <= FADING_BACK_OFF),
        _col("back_off_now"), pl.lit(1.0), "times the expected reps", of_muscle=True,
    ),
    Rule(
        Lever.MORE_SETS, Evidence.SETS_BELOW_PLAN, 39,
        _settled & ~_losing & (_col("sets_now") / _col("sets_plan") < 1 - SETS_CLEARLY),
        _col("sets_now"), _col("sets_plan"), "hard sets a week", of_muscle=True,
    ),
    Rule(
        Lever.MORE_SETS, Evidence.SETS_BELOW_OWN, 40, _settled & ~_losing & _clearly_off_own & (_more_than_own < 0),
        _col("sets_now"), _col("sets_own"), "hard sets a week", of_muscle=True,
    ),
    Rule(
        Lever.MORE_SETS, Evidence.FEW_SETS, 41,
        _settled & ~_losing & _plateau & (_col("sets_now") < FEW_WEEKLY_SETS), _col("sets_now"),
        pl.lit(FEW_WEEKLY_SETS), "hard sets a week", of_muscle=True,
    ),
    # Accessory work is chosen by whether the target muscle is felt, stuck or not.
    Rule(
        Lever.VARIANT, Evidence.FELT_LITTLE, 9,
        ~_main & (_col("feel") < FEEL_POOR) & (_col("feel_ratings") >= FEW_RATINGS),
        _col("feel"), pl.lit(FEEL_POOR), "mean feel (1-5)", caution=Caution.PAIN,
    ),
    # Another way of doing it.
    Rule(
        Lever.VARIANT, Evidence.FELT_LITTLE, 37,
        _settled & _main & (_col("feel") < FEEL_POOR) & (_col("feel_ratings") >= FEW_RATINGS),
        _col("feel"), pl.lit(FEEL_POOR), "mean feel (1-5)", caution=Caution.PAIN,
    ),
    Rule(
        Lever.REP_RANGE, Evidence.SAME_REPS, 42,
        _settled & _main & ~_losing & (_col("same_reps_share") >= SAME_SHARE)
        & (_col("same_reps_weeks") >= SAME_WEEKS),
        _col("same_reps_weeks"), unit="weeks in one rep range", caution=Caution.LOAD_JUMP,
    ),
    Rule(
        Lever.VARIANT, Evidence.STUCK_LONG, 46,
        _settled & _main & ~_losing & (_col("weeks_stuck") >= LONG_STUCK_WEEKS), _col("weeks_stuck"),
        pl.lit(LONG_STUCK_WEEKS), "weeks", caution=Caution.LOAD_JUMP,
    ),
    # The log.
    Rule(
        Lever.LOG_BETTER, Evidence.STALE, 14,
        _unclear & _col("context").list.contains("stale").fill_null(False),
        _col("sessions").cast(pl.Float64), unit="sessions",
    ),
    Rule(
        Lever.LOG_BETTER, Evidence.FEW_SESSIONS, 16, _unclear & (_col("sessions_needed") > 0),
        _col("sessions_recent").cast(pl.Float64), _col("sessions_needed").cast(pl.Float64),
        "sessions more to settle it",
    ),
    Rule(
        Lever.LOG_BETTER, Evidence.NO_RIR, 70, _col("rir_share") < RIR_SHARE,
        _col("rir_share") * 100, pl.lit(100.0), "% of sets with RIR",
    ),
    Rule(
        Lever.LEAVE_ALONE, Evidence.UNCLEAR, 60, _unclear & ~_interrupted,
        _col("slope_pct_week"), unit="% a week",
    ),
)  # fmt: skip
