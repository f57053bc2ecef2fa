"""The sentences on where the work landed, on plan against done, and on condition."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from plateline.fatigue import HIGH_RATIO
from plateline.report.numbers import Units, count, day, interval, number, percent, share
from plateline.report.sentences import listed, opened, worded

__all__ = [
    "ALL_AS_PLANNED",
    "NO_PLAN",
    "NO_WORK",
    "PLAN_CAPTION",
    "aim_words",
    "association",
    "back_off",
    "balance",
    "body_mass",
    "load_ratio",
    "muscles_against_plan",
    "muscles_most",
    "plan_accessories",
    "plan_done",
    "plan_lift",
    "readiness",
]

Row = Mapping[str, Any]

NO_WORK = "No hard set of a lift that the catalogue knows falls into the weeks of this month."
NO_PLAN = (
    "No plan was given, so the work is not held against one. With a plan file this page says "
    "which sets were missed, swapped or out of their rep range."
)
ALL_AS_PLANNED = "Every progression lift was done as planned."
PLAN_CAPTION = "Progression lifts that went another way than planned, and swaps"

# A weekly mean within one set of the plan is on plan: half a set is a rounding of indirect
# sets, a whole one a single missed set in the week.
ON_PLAN_SETS = 1.0
NAMED = 4


def muscles_most(rows: Sequence[Row]) -> str:
    """Say which muscles got most hard sets a week."""
    if not rows:
        return NO_WORK
    told = [f"{row['muscle']} {number(row['hard_sets_week'], 1)}" for row in rows[:NAMED]]
    return (
        f"Hard sets a week, most first: {listed(told)}. A set counts one for a muscle it trains "
        "directly and a half for one it trains indirectly; warm-ups and sets that end more than "
        "four reps from failure do not count."
    )


def muscles_against_plan(rows: Sequence[Row]) -> str:
    """Say which muscles got fewer or more hard sets than planned."""
    planned = [row for row in rows if row["planned_sets"]]
    if not planned:
        return ""
    gaps = [(row["hard_sets_week"] - row["planned_sets"], row) for row in planned]
    under = sorted((g for g in gaps if g[0] <= -ON_PLAN_SETS), key=lambda g: g[0])
    over = sorted((g for g in gaps if g[0] >= ON_PLAN_SETS), key=lambda g: -g[0])
    if not under and not over:
        return "Every muscle is within one set a week of the plan."
    parts = []
    if under:
        parts.append(f"Below the plan: {listed([_gap(row) for _, row in under[:NAMED]])}")
    if over:
        parts.append(f"above it: {listed([_gap(row) for _, row in over[:NAMED]])}")
    return opened("; ".join(parts) + ".")


def _gap(row: Row) -> str:
    return f"{row['muscle']} {number(row['hard_sets_week'], 1)} of {number(row['planned_sets'], 1)}"


# Plan against done -----------------------------------------------------------------------


def plan_done(facts: Row) -> str:
    """Say how much of the plan was done, in the weeks of the month."""
    if not facts.get("sessions_planned"):
        return NO_PLAN
    text = (
        f"{facts['sessions_done']} of {count(facts['sessions_planned'], 'planned session')} and "
        f"{number(facts['sets_done'])} of {count(round(facts['sets_planned']), 'set')} were done"
    )
    extras = [
        f"{number(facts[name])} {word}"
        for name, word in (("sets_swapped", "swapped"), ("sets_added", "added"))
        if facts.get(name)
    ]
    if extras:
        text += f" ({listed(extras)})"
    told = []
    if facts.get("reps_in_range_share") is not None:
        told.append(f"{share(facts['reps_in_range_share'])} of sets were in their rep range")
    if facts.get("rir_reached_share") is not None:
        told.append(f"{share(facts['rir_reached_share'])} came as close to failure as planned")
    return f"{text}. {opened(listed(told))}." if told else f"{text}."


def plan_lift(row: Row) -> str:
    """Say in what way a lift went another way than planned; empty if it did not."""
    done, planned = row["sets_done"], row["sets_planned"]
    parts = []
    if row["swapped_for"]:
        parts.append(f"swapped for {listed(row['swapped_for'])}")
    if planned - done >= 1 and not row["swapped_for"]:
        parts.append(f"{number(planned - done, 1)} of {number(planned, 1)} sets not done")
    below, above = row["sets_below_range"], row["sets_above_range"]
    if done and below / done >= 1 / 3:
        parts.append(f"{number(below, 1)} of {number(done, 1)} sets below the rep range")
    if done and above / done >= 1 / 3:
        parts.append(f"{number(above, 1)} of {number(done, 1)} sets above the rep range")
    with_rir = row["sets_with_rir"]
    if with_rir and row["sets_rir_reached"] / with_rir <= 1 / 2:
        parts.append(
            f"{number(with_rir - row['sets_rir_reached'], 1)} of {number(with_rir, 1)} sets ended "
            "further from failure than planned"
        )
    return "; ".join(parts)


def plan_accessories(rows: Sequence[Row]) -> str:
    """Say in one sentence which accessory lifts went another way than planned."""
    missed = [r["exercise"] for r in rows if r["sets_done"] <= 0.75 * r["sets_planned"]]
    below = [
        r["exercise"]
        for r in rows
        if r["exercise"] not in missed
        and r["sets_done"]
        and r["sets_below_range"] / r["sets_done"] >= 1 / 3
    ]
    parts = []
    if missed:
        parts.append(f"a quarter or more of the sets were not done for {listed(missed)}")
    if below:
        parts.append(f"a third or more of the sets fell below the rep range for {listed(below)}")
    if not parts:
        return "Accessory work went as planned." if rows else ""
    return f"Accessory work: {'; '.join(parts)}."


# Condition -------------------------------------------------------------------------------


def aim_words(facts: Row) -> str:
    """Say what the phase aims at, in % of body mass a week; empty if there is no aim."""
    low, high = facts.get("aim_low"), facts.get("aim_high")
    if low is None or high is None or facts.get("phase") is None:
        return ""
    return f"the {facts['phase']} phase aims at {interval(low, high, 2, '%')}"


def body_mass(facts: Row, units: Units) -> str:
    """Say how body mass goes against the phase's aim."""
    rate = facts.get("mass_pct_week")
    if facts.get("mass_kg") is None:
        return (
            "Body mass was not logged this month. A weighing or two a week would show whether a "
            "change of strength goes with a change of mass."
        )
    text = f"Body mass is {units.mass(facts['mass_kg'])}"
    if rate is None:
        return f"{text}; too few weighings for a trend."
    text += (
        f", changing by {percent(rate, 2, sign=True)} a week "
        f"({interval(facts['mass_low'], facts['mass_high'], 2, '%')})"
    )
    verdict = {
        "within": "as aimed",
        "faster": "faster than aimed",
        "slower": "slower than aimed",
        "other way": "the other way than aimed",
    }.get(facts.get("against_aim") or "")
    aim = aim_words(facts)
    if verdict and aim:
        return f"{text}: {verdict} ({aim})."
    return f"{text}."


def readiness(facts: Row) -> str:
    """Say how rested the client was against the usual."""
    if not facts.get("checkins_month"):
        return (
            "No check-ins this month. Sleep, stress, fatigue and soreness, rated once or twice a "
            "week, would tell a tired month from a stuck lift."
        )
    parts = []
    mean, usual = facts.get("hooper"), facts.get("hooper_usual")
    if mean is not None:
        text = f"sleep, stress, fatigue and soreness add up to {number(mean, 1)} of 28"
        if usual is not None:
            text += f" against a usual {number(usual, 1)} (high is worse)"
        parts.append(text)
    slept, before = facts.get("sleep_h"), facts.get("sleep_usual_h")
    if slept is not None:
        text = f"sleep was {number(slept, 1)} h"
        if before is not None:
            text += f" against {number(before, 1)} h before"
        parts.append(text)
    if facts.get("protein_g_kg") is not None:
        parts.append(f"protein was {number(facts['protein_g_kg'], 1)} g per kg of body mass")
    if not parts:
        return "The check-ins of this month hold no rating of sleep, stress, fatigue or soreness."
    text = opened("; ".join(parts))
    weeks = facts.get("weeks_tired") or 0
    if weeks:
        text += f"; {worded(weeks)} {'week was' if weeks == 1 else 'weeks were'} rated tired"
    return f"{text}."


def load_ratio(facts: Row) -> str:
    """Say how the month's last whole week stands against the three before it."""
    ratio = facts.get("load_ratio")
    if ratio is None:
        return "The log is too short to hold a week's load against the weeks before."
    return (
        f"In the week up to {day(facts['load_ratio_date'])} the volume-load was {number(ratio, 2)} "
        "times the mean of the three weeks before."
    )


def back_off(facts: Row) -> str:
    """Say how back-off sets came out against what the top set led to expect."""
    ratio = facts.get("back_off_ratio")
    if ratio is None:
        return ""
    return (
        f"Back-off sets gave {number(ratio, 2)} times the reps that the top set and the lift's own "
        f"rep curve led to expect ({count(facts['back_off_sessions'], 'session')}; 1 is as expected)."
    )


def balance(rows: Sequence[Row]) -> str:
    """Say whether load runs ahead of performance on any progression lift."""
    if not rows:
        return ""
    ahead = [row for row in rows if row["performance_ratio"] >= HIGH_RATIO]
    if not ahead:
        top = rows[0]
        return (
            "No progression lift's load runs ahead of its performance (highest: "
            f"{top['exercise']}, {number(top['performance_ratio'], 2)}; 1 is in balance)."
        )
    told = [f"{row['exercise']} ({number(row['performance_ratio'], 2)})" for row in ahead[:3]]
    return (
        f"Load runs ahead of performance on {listed(told)}; 1 is in balance. That describes a "
        "hard stretch, and is no risk of injury."
    )


def association(row: Row) -> str:
    """Say what this client's weaker sessions go with, as an association."""
    what = {
        "losing mass": "in which body mass was falling",
        "short sleep": "of short sleep",
        "high fatigue": "that were rated tired",
        "high load": "of high load",
    }.get(row["factor"], f"of {row['factor']}")
    return (
        f"In weeks {what}, sessions were {percent(-row['difference_pct'])} weaker "
        f"({interval(-row['difference_high'], -row['difference_low'], 1, '%')}) than in weeks "
        f"without; that was {share(row['share_in_month'])} of this month's weeks and "
        f"{share(row['share_before'])} before. An association, not a cause."
    )
