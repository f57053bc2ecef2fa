"""The sentences on body mass, on readiness, and on what weaker sessions go with."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from plateline.report.numbers import Units, count, interval, number, percent, share
from plateline.report.sentences import opened, worded

__all__ = ["aim_words", "association", "body_mass", "readiness"]

Row = Mapping[str, Any]


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
        weighed = facts.get("weighings") or 0
        return f"{text}; {worded(weighed)} {'weighing' if weighed == 1 else 'weighings'} in four weeks tell no trend yet."
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
        return f"{text}: {verdict}{_as_far(facts)} ({aim})."
    return f"{text}."


def _as_far(facts: Row) -> str:
    """Say of a rate that could as well lie on the other side of the aim's borders how it is known.

    One within the aim may reach a little beyond it: its interval is to be no wider than the aim.
    """
    low, high = facts["mass_low"], facts["mass_high"]
    if facts["against_aim"] == "within":
        told = high - low <= facts["aim_high"] - facts["aim_low"]
    else:
        told = low > facts["aim_high"] or high < facts["aim_low"]
    if told:
        return ""
    return f", as far as {count(facts['weighings'], 'weighing')} can tell"


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
