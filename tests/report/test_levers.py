"""The levers in words: every lever and every piece of evidence has its sentence."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from plateline.advice import Caution, Evidence, Lever
from plateline.report.numbers import NBSP, Units
from plateline.report.sentences_levers import (
    CAUTION_WORDS,
    action,
    because,
    common_lever,
    first_lever,
    grouped,
    in_short,
    swap,
)
from plateline.report.sentences_targets import leave_alone
from plateline.report.tables_next import cautions_block, levers_block, swaps_block, target_table


def lever(exercise: str = "Bench press", **changed: Any) -> dict[str, Any]:
    row = {
        "exercise": exercise, "state": "plateau", "rank": 1, "point": 1, "lever": Lever.BACK_OFF.value,
        "evidence": Evidence.NO_EASY_WEEK.value, "muscle": "chest", "value": 12.0, "reference": 8.0,
        "unit": "weeks", "now_low": 8.0, "now_high": 10.0, "proposed_low": 50.0, "proposed_high": 60.0,
        "proposed_unit": None, "for_weeks": 6, "substitute": "Dumbbell bench press",
        "substitute_feel": 4.2, "caution": None, "try_load": 34.0, "try_unit": "kg", "try_reps": 9,
    }  # fmt: skip
    return row | changed


@pytest.mark.parametrize("kind", list(Lever))
def test_every_lever_says_what_to_do(kind: Lever) -> None:
    said = action(lever(lever=kind.value))
    assert said
    assert "None" not in said
    assert "?" not in said


@pytest.mark.parametrize("evidence", list(Evidence))
def test_every_piece_of_evidence_has_its_words(evidence: Evidence) -> None:
    said = because([lever(evidence=evidence.value)])
    assert said != evidence.value or " " in said
    assert "None" not in said
    assert "?" not in said


def test_a_lift_that_falls_is_not_called_stuck() -> None:
    row = lever(evidence=Evidence.STUCK_LONG.value, value=10.0)
    assert because([row]) == "the lift has been stuck for 10 weeks"
    assert because([row | {"state": "declining"}]) == "the lift has been falling for 10 weeks"


def test_how_one_lift_falls_is_no_evidence_about_all() -> None:
    rows = [lever(), lever(evidence=Evidence.FALLS.value, value=-0.79, point=2)]
    assert "it falls by" in first_lever(rows, "Bench press")
    assert "it falls by" not in common_lever(rows, "Bench press")
    assert "no easier week" in common_lever(rows, "Bench press")
    assert common_lever(rows[1:], "Bench press").startswith("back off for a week")


def test_a_change_of_range_or_lift_says_where_to_begin() -> None:
    said = action(lever(lever=Lever.REP_RANGE.value, proposed_low=12.0, proposed_high=15.0))
    assert said.replace(NBSP, " ") == (
        "train it for 12 to 15 reps, not 8 to 10, for six weeks, beginning with about 34 kg for 9 reps"
    )
    unknown = lever(lever=Lever.VARIANT.value, try_load=None, substitute_feel=None, for_weeks=None)
    assert action(unknown) == "swap it for Dumbbell bench press"


def test_the_first_lever_is_told_with_all_its_evidence() -> None:
    rows = [
        lever(lever=Lever.VARIANT.value, evidence=Evidence.FELT_LITTLE.value, value=2.2),
        lever(lever=Lever.VARIANT.value, evidence=Evidence.STUCK_LONG.value, point=2, value=13.0),
        lever(rank=2),
    ]
    said = first_lever(rows, "Bench press")
    assert "felt 2.2 of 5" in said
    assert "stuck for 13 weeks" in said
    assert "back off" not in said
    assert first_lever(rows, "Squat") == ""
    silent = lever(lever=Lever.LEAVE_ALONE.value, evidence=Evidence.NO_CAUSE.value)
    assert first_lever([silent], "Bench press") == ""


def test_of_a_common_stall_only_levers_for_everything_are_told_first() -> None:
    assert common_lever([lever()], "Bench press").startswith("back off for a week")
    own = lever(lever=Lever.REP_RANGE.value, evidence=Evidence.SAME_REPS.value)
    assert common_lever([own], "Bench press") == ""
    assert common_lever([lever()], "Squat") == ""


@pytest.mark.parametrize("kind", list(Lever))
def test_the_index_has_a_lever_in_a_few_words_or_none(kind: Lever) -> None:
    said = in_short([lever(lever=kind.value)], "Bench press")
    nothing = {Lever.WAIT, Lever.LOG_BETTER, Lever.LEAVE_ALONE}
    assert bool(said) == (kind not in nothing)
    assert len(said) < 60
    assert in_short([lever(lever=kind.value)], "Squat") == ""


def test_a_swap_of_accessory_work_names_both_lifts_and_why() -> None:
    row = lever(
        "Lunge", lever=Lever.VARIANT.value, evidence=Evidence.FELT_LITTLE.value, value=2.0,
        substitute="Split squat", substitute_feel=None, try_load=None,
    )  # fmt: skip
    said = swap(row)
    assert (
        said == "Lunge: swap it for Split squat for six weeks. The target muscle was felt 2 of 5."
    )
    assert said in repr(swaps_block([row]))
    assert repr(swaps_block([])) == ""
    assert "<b>" not in str(swaps_block([row | {"exercise": "<b>x</b>"}]).html)


def test_lifts_with_the_same_levers_stand_together_and_differing_evidence_is_named() -> None:
    rows = [
        lever("Bench press"),
        lever("Bench press", evidence=Evidence.ALL_TO_FAILURE.value, point=2, value=62.0),
        lever("Squat"),
        lever("Row", lever=Lever.WAIT.value, evidence=Evidence.PLANNED_DELOAD.value),
    ]
    first, second = grouped(rows)
    assert first.lifts == ["Bench press", "Squat"]
    assert second.lifts == ["Row"]
    ((_, why),) = first.levers
    assert why == (
        "There was no easier week for 12 weeks and 62\u00a0% of sets went to failure (Bench press)."
    )


def test_cautions_that_levers_call_for_are_shown() -> None:
    assert set(CAUTION_WORDS) == set(Caution)
    shown = repr(cautions_block([lever(caution=Caution.PAIN.value)], []))
    assert CAUTION_WORDS[Caution.PAIN] in shown
    assert CAUTION_WORDS[Caution.DIET] not in shown


def test_a_big_jump_is_named() -> None:
    target = {"exercise": "Bench press", "jump_pct": 14.0}
    assert "Bench press" in repr(cautions_block([], [target]))
    assert repr(cautions_block([], [target | {"jump_pct": 3.0}])) == ""


def test_names_in_levers_are_escaped() -> None:
    html = str(
        levers_block([lever("<b>x</b>", substitute="<i>y</i>", lever=Lever.VARIANT.value)]).html
    )
    assert "<b>" not in html
    assert "<i>" not in html


TARGET = {
    "exercise": "Squat", "set_kind": "working", "reps_low": 8, "reps_high": 10, "sets": 3,
    "rir": 1.0, "load": 80.0, "low": 77.5, "high": 82.5, "later": None, "state": "progressing",
    "last_load_kg": 80.0, "last_reps": 8, "last_date": dt.date(2026, 3, 30), "jump_pct": None,
    "lacks_mass": False,
}  # fmt: skip


def test_a_load_stands_with_its_interval_or_what_the_trend_says() -> None:
    said = repr(target_table([TARGET], Units())).replace(NBSP, " ")
    assert "80 kg for 8–10, 3 sets, 1 in reserve, 77.5 to 82.5 kg, last: 80 kg × 8" in said
    ahead = repr(target_table([TARGET | {"load": 90.0}], Units())).replace(NBSP, " ")
    assert "as last time; the trend alone says 77.5 to 82.5 kg" in ahead


def test_body_mass_is_a_load_and_nothing_known_is_said_to_be_so() -> None:
    nothing = TARGET | {"load": None, "low": None, "high": None}
    assert "no load can be told yet for 8–10" in repr(target_table([nothing], Units()))
    weighed = repr(target_table([nothing | {"lacks_mass": True}], Units()))
    assert "a weighing is needed for a load for 8–10" in weighed
    bare = nothing | {"last_load_kg": 0.0}
    assert "body mass for 8–10" in repr(target_table([bare], Units()))


def test_nothing_is_called_free_of_stuck_lifts_that_has_some() -> None:
    assert "No progression lift is stuck" in levers_block([]).text
    assert "trained too seldom" in levers_block([], stuck=True).text


def test_of_very_many_lifts_it_is_said_how_many() -> None:
    names = [f"Lift {n}" for n in range(20)]
    assert "Leave alone what moves: 20 lifts." in leave_alone(names, [], 40)
    assert "nothing yet about 20 lifts: more sessions will settle them" in leave_alone(
        [], names, 40
    )
    assert "Lift 0 and Lift 1" in leave_alone(names[:2], [], 40)
