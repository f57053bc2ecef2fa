"""What the first screen says, for months of every kind."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from plateline.report.numbers import MINUS, NBSP, Units
from plateline.report.sentences import (
    change_in_unit,
    how_sure,
    in_figures,
    listed,
    moved,
    subtitle,
)
from plateline.report.sentences_condition import body_mass
from plateline.report.sentences_data import backtest_line
from plateline.report.sentences_decisions import decide, index_reason
from plateline.report.sentences_stuck import since, stuck
from plateline.report.sentences_way import in_the_way
from plateline.report.urgency import Decision

from .rows import MONTH, a_decision, a_lift, some_facts

KG = Units()


def plain(text: str) -> str:
    return text.replace(NBSP, " ")


def test_one_lift_that_moved_is_named_with_amount_and_interval() -> None:
    said = plain(moved([a_lift("Incline press", state_before="plateau")], MONTH, KG))
    assert said.startswith("Incline press is up 2.1 % this month (1.2 to 3.0 %; about +2.1 kg).")
    assert "At the end of February none was moving up." in said


def test_many_lifts_are_counted_and_the_most_moved_named() -> None:
    lifts = [a_lift(f"Lift {n}", change_pct=float(n)) for n in range(1, 6)]
    said = plain(moved(lifts, MONTH, KG))
    assert said.startswith("All five progression lifts are moving up, most of all Lift 5 (+5.0 %")
    assert "The same were moving up at the end of February." in said


def test_a_first_month_is_not_held_against_a_month_that_is_not_there() -> None:
    said = moved([a_lift(state_before=None)], MONTH, KG)
    assert "February" not in said


def test_accessory_lifts_do_not_speak_where_there_are_progression_lifts() -> None:
    lifts = [a_lift("Squat", "plateau"), a_lift("Curl", role="accessory")]
    assert "Curl" not in moved(lifts, MONTH, KG)
    assert moved([a_lift("Curl", role="accessory")], MONTH, KG).startswith("Curl is up")


def test_a_plateau_is_told_with_its_start_and_how_sure_it_is() -> None:
    lift = a_lift(
        "Squat", "plateau", since=dt.date(2026, 1, 12),
        since_low=dt.date(2026, 1, 2), since_high=dt.date(2026, 1, 22),
    )  # fmt: skip
    said = plain(stuck([lift]))
    assert (
        said
        == "Squat has not moved since about 12 Jan (2 to 22 Jan), very probably a plateau (87 %)."
    )


def test_a_decline_is_told_as_a_loss_and_others_in_short() -> None:
    falling = a_lift("Squat", "declining", change_pct=-2.3, change_low=-3.4, change_high=-1.1)
    other = falling | {"exercise": "Row", "change_pct": -1.0}
    unsure = other | {"exercise": "Press", "p_declining": 0.6}
    said = plain(stuck([falling, other, unsure]))
    assert said.startswith(
        "Squat is down 2.3 % (1.1 to 3.4 %) this month, very probably a real decline"
    )
    assert f"; also falling: Row ({MINUS}1.0 %, 93 %). " in said
    assert said.endswith(f"Perhaps also falling: Press ({MINUS}1.0 %, 60 %).")


def test_a_standstill_with_a_best_estimate_this_month_owns_up_to_it() -> None:
    said = plain(stuck([a_lift("Squat", "plateau", best_ever_date=dt.date(2026, 3, 26))]))
    assert said.endswith("a plateau (87 %), though 26 Mar brought its best estimate so far.")


def test_unclear_lifts_say_what_would_settle_them() -> None:
    said = plain(stuck([a_lift("Squat", "unclear", sessions_needed=3)]))
    assert said == (
        "No progression lift is stuck or falling; Squat is not clear yet: "
        "about 3 more sessions would settle it."
    )


@pytest.mark.parametrize(
    ("p", "word"),
    [
        (0.99, "almost certainly"),
        (0.9, "very probably"),
        (0.75, "probably"),
        (0.55, "more likely than not"),
    ],
)
def test_words_for_probabilities_rise_with_them(p: float, word: str) -> None:
    assert how_sure(p)[0] == word


def test_unknown_values_are_not_made_up() -> None:
    lift = a_lift(change_pct=None, strength_kg=None)
    assert change_in_unit(lift, KG) == ""
    assert since(lift) == ""
    assert "?" not in moved([lift], MONTH, KG)


CONTEXTS: list[tuple[dict[str, Any], list[dict[str, Any]], str]] = [
    (
        {"break_days": 16, "break_from": dt.date(2026, 2, 7), "break_to": dt.date(2026, 2, 22)},
        [a_lift()], "There was no session from 7 to 22 Feb (16 days)",
    ),
    (
        {"mass_pct_week": -0.8, "mass_low": -1.0, "mass_high": -0.6, "phase": "lose", "against_aim": "within"},
        [a_lift(context=["diet phase"])], "Body mass is falling 0.8 % a week (0.6 to 1.0 %), as the phase aims",
    ),
    (
        {"deload_from": dt.date(2026, 3, 23), "deload_to": dt.date(2026, 3, 28), "deload_planned": True},
        [a_lift()], "23 to 28 Mar was a planned deload",
    ),
    (
        {"switch_date": dt.date(2025, 12, 2), "switch_reps_before": 9.0, "switch_reps_after": 17.0},
        [a_lift("Leg press", context=["rep-range switch"]), a_lift()],
        "Leg press changed rep range about 2 Dec, from about 9 to about 17 reps: ",
    ),
    (
        {}, [a_lift(f"Lift {n}", context=["rep-range switch"]) for n in range(3)],
        "All three progression lifts changed rep range: ",
    ),
    ({"sessions_planned": 12, "sessions_done": 8}, [a_lift()], "Only 8 of 12 planned sessions were done."),
    ({"sleep_h": 6.1, "sleep_usual_h": 7.2}, [a_lift()], "Sleep was 6.1 h against 7.2 h before."),
    ({"rir_share": 0.0}, [a_lift()], "Reps in reserve are not written down"),
]  # fmt: skip


@pytest.mark.parametrize(("changed", "lifts", "said"), CONTEXTS)
def test_what_stands_in_the_way_is_named(
    changed: dict[str, Any], lifts: list[dict[str, Any]], said: str
) -> None:
    assert said in plain(in_the_way(some_facts(**changed), lifts, []))


def test_rows_that_cannot_be_read_are_named_with_their_lines() -> None:
    rejected = [{"source_file": "log.csv", "source_line": line} for line in (7, 12)]
    said = plain(in_the_way(some_facts(duplicates=30), [a_lift()], rejected))
    assert said.startswith("Two rows could not be read (log.csv lines 7 and 12)")
    assert "30 rows" in said


def test_nothing_in_the_way_says_what_was_looked_at() -> None:
    said = plain(in_the_way(some_facts(sessions_planned=12, sessions_done=12), [a_lift()], []))
    assert said == "Nothing in the log stands in the way: 12 of 12 planned sessions done."


FACTS = some_facts(
    mass_pct_week=-1.3, sessions_planned=12, sessions_done=6, rejected=2,
    break_from=dt.date(2026, 2, 7), break_to=dt.date(2026, 2, 22), swap_from="Lunge",
    swap_to="Split squat", swap_felt=2.1, swap_to_felt=4.3, pain_note="knee hurts",
    pain_exercise="Squat",
)  # fmt: skip


@pytest.mark.parametrize("decision", list(Decision))
@pytest.mark.parametrize("others", [[], ["Row"], ["Row", "Press", "Pull-up"]])
def test_every_decision_has_its_words(decision: Decision, others: list[str]) -> None:
    row = a_decision(
        decision.value, since=dt.date(2026, 1, 12), lifts=1 + len(others), others=others
    )
    for said in (decide([row], FACTS, "back off for a week"), index_reason(row, FACTS)):
        assert said.endswith(".")
        assert "None " not in said.replace("None for", "").replace("None yet", "")
        for slip in ("?", "{", "}", "  ", " .", " ,", ". ,", "()"):
            assert slip not in said, said


def test_the_lever_stands_in_the_decision_about_a_stuck_lift() -> None:
    row = a_decision(Decision.STUCK)
    assert decide([row], FACTS, "back off for a week") == (
        "Change one thing about Squat: back off for a week."
    )
    assert decide([row], FACTS, "").startswith("Squat is stuck and the log shows no reason.")
    assert decide([a_decision(Decision.STUCK, lifts=2, others=["Row"])], FACTS, "wait").endswith(
        "wait. After that, Row."
    )


def test_a_swap_of_accessory_work_stands_beside_the_decision() -> None:
    rows = [a_decision(Decision.RANGE_SWITCHED), a_decision(Decision.FELT_LITTLE, None)]
    swap = "One swap: Lunge, felt 2.1 of 5, for Split squat, felt 4.3 of 5."
    assert decide(rows, FACTS, "").endswith(swap)
    assert decide(rows[1:], FACTS, "") == f"None for the progression lifts. {swap}"


def test_the_index_says_what_the_other_lifts_do() -> None:
    row = a_decision(Decision.PERHAPS_STUCK, p=0.76)
    assert plain(index_reason(row, FACTS)) == (
        "Squat may be stuck (76 %); the other three move up."
    )
    assert plain(index_reason(row | {"moving": 2}, FACTS)) == "Squat may be stuck (76 %)."


def test_the_line_below_the_title_says_whose_month_it_is() -> None:
    said = plain(subtitle(some_facts(phase="lose", goal="run & lift"), MONTH, Units("lb")))
    assert said == "180 sets logged; phase: lose; goal: run & lift; loads in lb."
    assert subtitle(some_facts(sessions_month=0), MONTH, KG).startswith(
        "Nothing logged in March 2026"
    )


def test_the_month_in_figures_counts_states_and_sessions() -> None:
    pairs = dict(in_figures(some_facts(), [a_lift(), a_lift("Row", "plateau")], 3, KG))
    assert pairs["Progression lifts"] == "1 progressing, 1 plateau"
    assert pairs["Sessions"] == "12 logged; 11 the month before"
    assert "Plan" not in pairs
    planned = some_facts(
        sessions_planned=16, sessions_done=15,
        plan_from=dt.date(2026, 3, 2), plan_to=dt.date(2026, 3, 29),
    )  # fmt: skip
    assert plain(dict(in_figures(planned, [a_lift()], 0, KG))["Plan"]) == (
        "15 of 16 sessions done, 2 to 29 Mar"
    )


def test_lists_are_read_aloud() -> None:
    assert listed([]) == ""
    assert listed(["a"]) == "a"
    assert listed(["a", "b", "c"]) == "a, b and c"


def test_a_lift_that_stands_still_while_body_mass_falls_is_said_to_hold() -> None:
    rows = [a_lift(name, "plateau", context=["diet phase"]) for name in ("Row", "Curl")]
    assert plain(stuck(rows[:1])) == "Row very probably holds (87 %)."
    assert plain(stuck(rows)) == "Row and Curl very probably hold (87 %)."
    many = [*rows, a_lift("Dip", "plateau", p_plateau=0.72, context=["diet phase"])]
    assert plain(stuck(many)) == "Row and two more probably hold (72 to 87 %)."
    even = [*rows, a_lift("Dip", "plateau", context=["diet phase"], p_plateau=0.61)]
    assert plain(stuck(even)) == "Row and two more hold, more likely than not (61 to 87 %)."


def test_a_day_of_another_year_is_told_with_its_year() -> None:
    row = a_lift(
        "Squat", "plateau", since=dt.date(2025, 3, 4), since_low=dt.date(2025, 2, 20),
        since_high=dt.date(2025, 4, 2), first_date=dt.date(2024, 1, 5),
    )  # fmt: skip
    assert plain(since(row)) == "since about 4 Mar 2025 (20 Feb to 2 Apr 2025)"
    assert plain(since(row | {"since_low": dt.date(2024, 12, 20)})).endswith(
        "(20 Dec 2024 to 2 Apr 2025)"
    )
    stands = index_reason(a_decision("stuck", since=dt.date(2025, 3, 4)), some_facts())
    assert "4 Mar 2025" in plain(stands)


def test_a_state_older_than_what_is_looked_back_on_has_no_day() -> None:
    row = a_lift("Squat", "plateau", since=dt.date(2025, 3, 4), first_date=dt.date(2024, 1, 5))
    assert since(row | {"is_long": True}) == "for a year or longer"
    assert plain(since(row | {"may_be_long": True})) == "since about 4 Mar 2025 or longer"
    told = index_reason(a_decision("stuck", is_long=True), some_facts())
    assert "for a year or longer" in told


def test_a_state_as_old_as_the_log_is_not_given_a_beginning() -> None:
    old = a_lift(
        "Squat", "plateau", since=dt.date(2026, 1, 8), since_low=dt.date(2026, 1, 5),
        since_high=dt.date(2026, 2, 28), first_date=dt.date(2026, 1, 5),
    )  # fmt: skip
    assert plain(stuck([old])).startswith(
        "Squat has not moved for as long as it is in the log (from 5 Jan), very probably a plateau"
    )


def test_pain_comes_before_what_is_decided_next_and_does_not_replace_it() -> None:
    pain = a_decision(Decision.PAIN_NOTED, None, urgency=97.0)
    stuck, steady = a_decision(Decision.STUCK, urgency=72.0), a_decision(Decision.STEADY, urgency=0)
    first = decide([pain, stuck, steady], FACTS, "back off for a week")
    assert first.startswith(
        "Ask about the pain, injury or dizziness in the notes before anything else"
    )
    assert first.endswith("Then: Change one thing about Squat: back off for a week.")
    assert "Then:" not in decide([pain, steady], FACTS, "")
    assert index_reason(pain, FACTS) == "Notes speak of pain or dizziness: “knee hurts” (Squat)."


def test_a_loss_against_the_aim_is_told_once() -> None:
    facts = some_facts(
        phase="gain", mass_pct_week=-1.4, mass_low=-1.5, mass_high=-1.3, against_aim="other way"
    )
    said = plain(in_the_way(facts, [a_lift("Row", "declining", context=["diet phase"])], []))
    assert said.count("1.4 %") == 1
    assert "though the phase does not aim to lose" in said


def test_a_rate_less_sure_than_the_aim_is_wide_is_hardly_told() -> None:
    facts = some_facts(
        phase="hold", mass_kg=60.5, mass_pct_week=0.07, mass_low=-0.7, mass_high=0.83,
        aim_low=-0.25, aim_high=0.25, against_aim="within", weighings=4,
    )  # fmt: skip
    assert "as aimed, as far as 4 weighings can tell (the hold" in plain(body_mass(facts, KG))
    beyond = facts | {"mass_pct_week": 0.8, "mass_low": 0.6, "mass_high": 1.0}
    beyond |= {"phase": "gain", "aim_low": 0.25, "aim_high": 0.5, "against_aim": "faster"}
    assert "faster than aimed (the gain" in plain(body_mass(beyond, KG))
    assert "as far as" in plain(body_mass(beyond | {"mass_low": 0.4, "mass_high": 1.2}, KG))
    sure = facts | {"mass_low": -0.1, "mass_high": 0.2}
    assert "as aimed (the hold" in plain(body_mass(sure, KG))


def test_without_a_plan_nobody_is_told_to_keep_it() -> None:
    row = a_decision(Decision.STEADY)
    assert decide([row], some_facts(), "").startswith("None. Carry on as now; add load")
    planned = some_facts(sessions_planned=12, sessions_done=12)
    assert decide([row], planned, "").startswith("None. Keep the plan as it is; add load")


def test_several_unclear_lifts_need_their_sessions_each() -> None:
    lifts = [a_lift(name, "unclear", sessions_needed=3) for name in ("Row", "Squat")]
    assert plain(stuck(lifts)).endswith(
        "Row and Squat are not clear yet: about 3 more sessions of each would settle them."
    )


def test_a_log_without_a_prediction_says_that_nothing_is_known_of_its_intervals() -> None:
    assert "is not known" in backtest_line(0, 0, None)
    assert "too few to check" in plain(backtest_line(3, 3, None))


def test_one_tired_week_is_owned_up_to_where_nothing_stands_in_the_way() -> None:
    facts = some_facts(checkins_month=4, hooper=13.0, hooper_usual=11.4)
    assert in_the_way(facts, [a_lift()], []).endswith("sleep and fatigue as usual.")
    tired = in_the_way(facts | {"weeks_tired": 1}, [a_lift()], [])
    assert tired.endswith("sleep and fatigue as usual but for one week.")
