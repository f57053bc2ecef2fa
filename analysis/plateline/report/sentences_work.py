"""The sentences on where the work landed, on plan against done, and on load."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from plateline.fatigue import HIGH_RATIO
from plateline.report.numbers import count, day, fixed, number, share
from plateline.report.sentences import listed, opened

__all__ = [
    "ALL_AS_PLANNED",
    "NO_PLAN",
    "NO_WORK",
    "PLAN_CAPTION",
    "back_off",
    "balance",
    "load_ratio",
    "muscles_against_plan",
    "muscles_most",
    "plan_accessories",
    "plan_done",
    "plan_lift",
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


# Load ------------------------------------------------------------------------------------

# A week within this share of the usual is as usual; back-off sets within this share of the
# expected reps are as expected (common practice, no source).
_USUAL_SHARE = 0.15
_EXPECTED_SHARE = 0.1


def load_ratio(facts: Row) -> str:
    """Say how the month's last whole week stands against the three before it."""
    ratio = facts.get("load_ratio")
    if ratio is None:
        return (
            "A week's load cannot be held against the weeks before: the log is too short, or its "
            "sets have no load."
        )
    week = f"The week up to {day(facts['load_ratio_date'])}"
    times = f"{fixed(ratio)} times the mean volume-load of the three weeks before"
    if abs(ratio - 1) <= _USUAL_SHARE:
        return f"{week} was as heavy as usual ({times})."
    if ratio < 1 and facts.get("deload_planned"):
        return f"{week} was lighter than usual, as planned: {times}."
    return f"{week} was {'heavier' if ratio > 1 else 'lighter'} than usual: {times}."


def back_off(facts: Row) -> str:
    """Say how back-off sets came out against what the top set led to expect; empty if as usual."""
    ratio = facts.get("back_off_ratio")
    if ratio is None or abs(ratio - 1) <= _EXPECTED_SHARE:
        return ""
    less = f"{share(abs(ratio - 1))} {'fewer' if ratio < 1 else 'more'} reps"
    return (
        f"Back-off sets gave {less} than top sets led to expect "
        f"({count(facts['back_off_sessions'], 'session')})."
    )


def balance(rows: Sequence[Row]) -> str:
    """Say on which progression lifts the load is high for what they show; empty where on none."""
    ahead = [row for row in rows if row["performance_ratio"] >= HIGH_RATIO]
    if not ahead:
        return ""
    told = [f"{row['exercise']} ({fixed(row['performance_ratio'])})" for row in ahead[:3]]
    return (
        f"Recent load is high for what it brings on {listed(told)}; 1 is in balance. That "
        "describes a hard stretch, and is no risk of injury."
    )
