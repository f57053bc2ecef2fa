"""Who needs a decision, and why: most urgent first, for every kind of month."""

from __future__ import annotations

import datetime as dt
from typing import Any

import polars as pl
import pytest

from plateline.report.decisions import client_decisions
from plateline.report.urgency import DECIDE_FROM, WATCH_FROM, Decision, urgency_word

from .rows import MONTH, a_lift, some_facts

FACTS: dict[str, Any] = {
    "mass_pct_week": None, "mass_high": None, "sessions_planned": None, "sessions_done": None,
    "break_from": None, "break_to": None, "break_days": None, "swap_from": None,
    "pain_notes": None,
}  # fmt: skip
TYPES = {
    "phase": pl.String, "goal": pl.String, "mass_pct_week": pl.Float64, "mass_high": pl.Float64,
    "sessions_planned": pl.Int64, "sessions_done": pl.Int64, "break_from": pl.Date,
    "break_to": pl.Date, "break_days": pl.Int32, "rir_share": pl.Float64,
    "swap_from": pl.String, "pain_notes": pl.Int32,
}  # fmt: skip


def first(lifts: list[dict[str, Any]], **facts: Any) -> dict[str, Any]:
    clients = pl.DataFrame([some_facts(**(FACTS | facts))], schema_overrides=TYPES)
    frame = pl.DataFrame(lifts, schema_overrides={"since": pl.Date, "context": pl.List(pl.String)})
    return client_decisions(frame, clients, MONTH).row(0, named=True)


CASES: list[tuple[list[dict[str, Any]], dict[str, Any], Decision]] = [
    ([a_lift()], {}, Decision.STEADY),
    ([a_lift(), a_lift("Row", "plateau")], {}, Decision.STUCK),
    ([a_lift("Row", "declining"), a_lift("Squat", "plateau")], {}, Decision.FALLING),
    ([a_lift("Row", "plateau", p_plateau=0.62)], {}, Decision.PERHAPS_STUCK),
    ([a_lift("Row", "plateau", p_plateau=0.75)], {}, Decision.STUCK),
    ([a_lift("Row", "plateau", p_plateau=0.75, leads=False)], {}, Decision.PERHAPS_STUCK),
    ([a_lift("Row", "plateau", p_plateau=0.9, leads=False)], {}, Decision.STUCK),
    ([a_lift("Row", "declining", p_declining=0.62)], {}, Decision.PERHAPS_FALLING),
    ([a_lift("Row", "plateau", context=["few sessions"])], {}, Decision.STEADY),
    ([a_lift("Row", "declining", context=["diet phase"])], {}, Decision.FALLING_IN_DIET),
    (
        [a_lift("Row", "declining")],
        {"phase": "lose", "mass_pct_week": -0.7, "mass_high": -0.5}, Decision.FALLING_IN_DIET,
    ),
    ([a_lift("Row", "plateau", context=["diet phase"])], {}, Decision.HOLDING_IN_DIET),
    ([a_lift("Row", "declining", context=["layoff"])], {}, Decision.FALLING_EXPLAINED),
    (
        [a_lift("Row", "plateau", context=["deload"], since=dt.date(2026, 1, 10))],
        {}, Decision.STUCK_EXPLAINED,
    ),
    (
        [a_lift("Row", "plateau", context=["deload"], since=dt.date(2026, 3, 10))],
        {}, Decision.DELOADED,
    ),
    (
        [a_lift(f"Lift {n}", "plateau", p_plateau=0.6) for n in range(3)]
        + [a_lift(f"Up {n}") for n in range(2)],
        {}, Decision.MOST_STUCK,
    ),
    (
        [a_lift(f"Lift {n}", "plateau", p_plateau=0.6) for n in range(3)]
        + [a_lift(f"Up {n}") for n in range(3)],
        {}, Decision.PERHAPS_STUCK,
    ),
    ([a_lift()], {"mass_pct_week": -1.4, "mass_high": -1.1}, Decision.MASS_FALLS_FAST),
    (
        [a_lift("Row", "declining")],
        {"mass_pct_week": -1.4, "mass_high": -1.1, "pain_notes": 1}, Decision.PAIN_NOTED,
    ),
    ([a_lift()], {"sessions_planned": 12, "sessions_done": 8}, Decision.SESSIONS_MISSED),
    ([a_lift()], {"sessions_month": 0}, Decision.STOPPED),
    (
        [a_lift()],
        {"break_days": 15, "break_from": dt.date(2026, 3, 17), "break_to": dt.date(2026, 3, 31)},
        Decision.STOPPED,
    ),
    (
        [a_lift()],
        {"break_days": 15, "break_from": dt.date(2026, 2, 17), "break_to": dt.date(2026, 3, 3)},
        Decision.BACK_FROM_BREAK,
    ),
    ([a_lift()], {"rejected": 2}, Decision.ROWS_UNREADABLE),
    ([a_lift()], {"rir_share": 0.0}, Decision.NO_RESERVE),
    ([a_lift("Row", "unclear"), a_lift("Squat", "unclear"), a_lift()], {}, Decision.UNCLEAR),
    ([a_lift(context=["rep-range switch"])], {}, Decision.RANGE_SWITCHED),
    ([a_lift(context=["deload"])], {}, Decision.DELOADED),
    ([a_lift()], {"swap_from": "Lunge"}, Decision.FELT_LITTLE),
]  # fmt: skip


@pytest.mark.parametrize(("lifts", "facts", "decision"), CASES)
def test_the_weightiest_reason_comes_first(
    lifts: list[dict[str, Any]], facts: dict[str, Any], decision: Decision
) -> None:
    assert first(lifts, **facts)["decision"] == decision


def test_a_light_week_that_was_planned_is_never_a_decision_to_take() -> None:
    row = first([a_lift("Row", "declining", context=["deload"])])
    assert urgency_word(row["urgency"]) == "watch"


def test_an_accessory_lift_alone_never_asks_for_a_decision() -> None:
    assert (
        first([a_lift(), a_lift("Curl", "declining", role="accessory")])["decision"]
        == Decision.STEADY
    )


def test_a_lift_not_trained_this_month_does_not_ask_either() -> None:
    assert (
        first([a_lift(), a_lift("Row", "declining", sessions_month=0)])["decision"]
        == Decision.STEADY
    )


def test_the_lift_most_in_need_is_named_and_the_others_counted() -> None:
    row = first([a_lift("Row", "plateau"), a_lift("Squat", "plateau"), a_lift("Press")])
    assert (row["exercise"], row["lifts"], row["others"]) == ("Row", 2, ["Squat"])
    assert (row["moving"], row["judged"]) == (1, 3)


def test_two_lifts_at_a_standstill_are_more_than_one() -> None:
    still = {"state": "plateau", "p_plateau": 0.75, "leads": False}
    assert first([a_lift("Row", **still), a_lift("Squat", **still)])["decision"] == Decision.STUCK


def test_falls_weigh_more_than_standstills_and_explained_ones_less() -> None:
    fall = first([a_lift("Row", "declining")])["weight"]
    stand = first([a_lift("Row", "plateau")])["weight"]
    in_diet = first([a_lift("Row", "declining", context=["diet phase"])])["weight"]
    following = first([a_lift("Row", "plateau", leads=False)])["weight"]
    assert fall > stand > in_diet > following > 0
    assert first([a_lift("Row", "declining"), a_lift("Squat", "declining")])["weight"] == 2 * fall


def test_the_words_for_urgency_meet_at_their_borders() -> None:
    assert urgency_word(DECIDE_FROM) == "decide"
    assert urgency_word(DECIDE_FROM - 0.1) == "watch"
    assert urgency_word(WATCH_FROM - 0.1) == "carry on"
