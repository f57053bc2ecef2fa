"""Plan against log, worked by hand."""

from __future__ import annotations

import polars as pl
import pytest

from plateline.load import adherence, adherence_weeks

from .rows import day, log, plan, work

TOP_AND_BACK_OFF = plan(
    {"exercise": "Back squat", "set_kind": "top", "sets": 1, "reps_low": 8, "reps_high": 10, "rir": 1.0},
    {"exercise": "Back squat", "set_kind": "back-off", "sets": 2, "reps_low": 15, "reps_high": 20, "rir": 2.0},
    {"exercise": "Leg extension", "role": "accessory", "sets": 3, "reps_low": 15, "reps_high": 20},
)  # fmt: skip


def rows_of(table: pl.DataFrame, exercise: str) -> dict[str, dict]:
    return {
        row["set_kind"]: row
        for row in table.filter(pl.col("exercise") == exercise).iter_rows(named=True)
    }


class TestTopAndBackOff:
    def test_kinds_find_their_own_prescriptions(self):
        sets = log(
            work("Back squat", 120, 9, set_kind="top", rir=1.0, session="A"),
            work("Back squat", 95, 14, set_kind="back-off", rir=2.0, session="A"),
            work("Back squat", 95, 16, set_kind="back-off", rir=3.0, session="A"),
        )
        found = rows_of(adherence(sets, TOP_AND_BACK_OFF), "Back squat")
        top, back_off = found["top"], found["back-off"]
        assert (top["status"], top["sets_done"], top["sets_in_range"]) == ("done", 1.0, 1.0)
        assert top["sets_rir_reached"] == 1.0
        assert (back_off["sets_in_range"], back_off["sets_below_range"]) == (1.0, 1.0)
        assert (back_off["sets_with_rir"], back_off["sets_rir_reached"]) == (2.0, 1.0)

    def test_without_kinds_the_heaviest_set_is_the_top_set(self):
        sets = log(
            work("Back squat", 95, 16, session="A"),
            work("Back squat", 120, 9, session="A"),
            work("Back squat", 95, 15, session="A"),
        )
        found = rows_of(adherence(sets, TOP_AND_BACK_OFF), "Back squat")
        assert found["top"]["sets_in_range"] == 1.0
        assert (found["back-off"]["sets_done"], found["back-off"]["sets_in_range"]) == (2.0, 2.0)

    def test_a_missing_back_off_set_is_part(self):
        sets = log(
            work("Back squat", 120, 9, set_kind="top", session="A"),
            work("Back squat", 95, 16, set_kind="back-off", session="A"),
        )
        assert (
            rows_of(adherence(sets, TOP_AND_BACK_OFF), "Back squat")["back-off"]["status"] == "part"
        )

    def test_warm_ups_fill_no_prescription(self):
        sets = log(work("Back squat", 60, 9, set_kind="warm-up", session="A"), work("Plank", 0, 1))
        assert rows_of(adherence(sets, TOP_AND_BACK_OFF), "Back squat")["top"]["status"] == "missed"


class TestRanges:
    def test_both_ends_of_a_range_are_in_it(self):
        sets = log(*[work("Back squat", 100, reps, session="A") for reps in (7, 8, 10, 11)])
        planned = plan({"exercise": "Back squat", "sets": 4, "reps_low": 8, "reps_high": 10})
        row = adherence(sets, planned).row(0, named=True)
        assert [row[f"sets_{where}_range"] for where in ("below", "in", "above")] == [1, 2, 1]
        assert adherence_weeks(sets, planned)["reps_in_range_share"].item() == 0.5

    def test_a_reserve_as_planned_or_less_is_reached(self):
        sets = log(*[work("Back squat", 100, 8, session="A", rir=rir) for rir in (1.0, 2.0, 3.0)])
        week = adherence_weeks(sets, plan({"exercise": "Back squat", "sets": 3, "rir": 2.0}))
        assert week["rir_reached_share"].item() == pytest.approx(2 / 3)

    def test_without_a_range_no_share_is_told(self):
        sets = log(work("Back squat", 100, 8, session="A"))
        week = adherence_weeks(sets, plan({"exercise": "Back squat"}))
        assert week["reps_in_range_share"].item() is None


class TestSwaps:
    planned = plan({"exercise": "Back squat", "sets": 3, "reps_low": 8, "reps_high": 10},
                   {"exercise": "Lying leg curl", "sets": 3})  # fmt: skip

    def test_a_lift_of_the_same_muscle_and_position_is_a_swap(self):
        sets = log(
            *[work("Hack squat", 100, 9, session="A")] * 3,
            *[work("Lying leg curl", 40, 12, session="A")] * 3,
        )
        found = rows_of(adherence(sets, self.planned), "Back squat")["working"]
        assert (found["status"], found["swapped_for"]) == ("swapped", "Hack squat")
        assert (found["sets_done"], found["sets_in_range"]) == (3.0, 3.0)
        week = adherence_weeks(sets, self.planned).row(0, named=True)
        assert (week["sets_swapped"], week["sets_missed"], week["sets_added"]) == (3.0, 0.0, 0.0)

    def test_a_lift_of_other_muscles_is_a_miss_and_an_addition(self):
        sets = log(
            *[work("Bench press", 60, 9, session="A")] * 3,
            *[work("Lying leg curl", 40, 12, session="A")] * 3,
        )
        table = adherence(sets, self.planned)
        assert rows_of(table, "Back squat")["working"]["status"] == "missed"
        assert rows_of(table, "Bench press")["working"]["status"] == "added"
        week = adherence_weeks(sets, self.planned).row(0, named=True)
        assert (week["sets_missed"], week["sets_added"]) == (3.0, 3.0)

    def test_a_lift_that_was_done_as_planned_is_not_swapped(self):
        sets = log(
            *[work("Back squat", 100, 9, session="A")] * 3,
            *[work("Hack squat", 100, 9, session="A")] * 2,
        )
        table = adherence(sets, self.planned)
        assert rows_of(table, "Back squat")["working"]["status"] == "done"
        assert rows_of(table, "Hack squat")["working"]["status"] == "added"


class TestSessions:
    planned = plan(
        {"exercise": "Back squat", "session": "A"},
        {"exercise": "Bench press", "session": "B"},
    )

    def test_a_session_is_found_by_its_lifts_when_its_name_is_another(self):
        sets = log(*[work("Bench press", 60, 8, session="Thursday")] * 3)
        week = adherence_weeks(sets, self.planned).row(0, named=True)
        assert (week["sessions_planned"], week["sessions_done"]) == (2, 1)

    def test_a_lift_done_on_another_day_of_the_week_counts(self):
        sets = log(
            *[work("Back squat", 100, 8, session="A")] * 3,
            *[work("Bench press", 60, 8, session="A")] * 3,
        )
        table = adherence(sets, self.planned)
        assert table["status"].to_list() == ["done", "done"]
        assert table["session"].to_list() == ["A", "B"]

    def test_left_and_right_rows_fill_one_set(self):
        sides = [work("Back squat", 20, 8, session="A", side=s) for s in ("left", "right")]
        found = adherence(log(*sides * 3), self.planned)
        assert found.filter(pl.col("exercise") == "Back squat")["sets_done"].item() == 3.0


class TestWeeks:
    planned = plan({"exercise": "Back squat", "sets": 3}, weeks=4)

    def test_each_week_of_the_block_is_due_once_it_has_begun(self):
        sets = log(*[work("Back squat", 100, 8, date=day(d)) for d in (0, 14)])
        table = adherence(sets, self.planned)
        assert table.select("week", "status").rows() == [
            (day(0), "part"),
            (day(7), "missed"),
            (day(14), "part"),
        ]

    def test_as_of_makes_later_weeks_due(self):
        sets = log(work("Back squat", 100, 8))
        table = adherence_weeks(sets, self.planned, as_of=day(17))
        assert table["week"].to_list() == [day(0), day(7), day(14)]
        assert table["is_partial"].to_list() == [False, False, True]
        assert table["sessions_done"].to_list() == [1, 0, 0]

    def test_a_next_block_ends_the_one_before(self):
        planned = plan(
            {"exercise": "Back squat", "weeks": 8},
            {"exercise": "Bench press", "block": "two", "start": day(7), "weeks": 1},
        )
        table = adherence(log(work("Back squat", 100, 8)), planned, as_of=day(20))
        assert table.select("block", "week").unique().sort("week").rows() == [
            ("one", day(0)),
            ("two", day(7)),
        ]

    @pytest.mark.parametrize(("last", "is_partial"), [(8, True), (9, False)])
    def test_a_week_that_the_next_block_cuts_short_is_over_with_its_last_day(
        self, last, is_partial
    ):
        planned = plan(
            {"exercise": "Back squat", "weeks": 8},
            {"exercise": "Bench press", "block": "two", "start": day(10), "weeks": 1},
        )
        weeks = adherence_weeks(log(work("Back squat", 100, 8)), planned, as_of=day(last))
        assert weeks.select("week", "is_partial").rows() == [
            (day(0), False),
            (day(7), is_partial),
        ]

    def test_a_block_may_begin_on_any_day(self):
        planned = plan({"exercise": "Back squat", "sets": 1, "start": day(2)})
        table = adherence(
            log(*[work("Back squat", 100, 8, date=day(d)) for d in (1, 2, 8, 9)]), planned
        )
        assert table.select("week", "sets_done").rows() == [(day(2), 2.0), (day(9), 1.0)]

    def test_sets_beyond_the_plan_are_additions(self):
        week = adherence_weeks(log(*[work("Back squat", 100, 8)] * 5), self.planned)
        assert week["sets_done"].item() == 3.0
        assert week["sets_added"].item() == 2.0


class TestBadInput:
    def test_no_plan_gives_an_empty_table(self):
        sets = log(work("Back squat", 100, 8))
        assert adherence(sets, None).is_empty()
        assert adherence_weeks(sets, None).is_empty()

    def test_no_log_gives_an_empty_table_without_a_date(self):
        assert adherence(log(), TOP_AND_BACK_OFF).is_empty()

    def test_no_log_by_a_date_is_all_missed(self):
        table = adherence(log(), TOP_AND_BACK_OFF, as_of=day(6))
        assert set(table["status"]) == {"missed"}

    def test_without_rir_nothing_is_judged(self):
        week = adherence_weeks(log(work("Back squat", 100, 9, session="A")), TOP_AND_BACK_OFF)
        assert week["rir_reached_share"].item() is None
        assert week["reason"].item() == "no RIR logged or planned"

    @pytest.mark.parametrize("column", ["reps_low", "rir", "session", "set_kind", "block", "sets"])
    def test_a_plan_may_leave_things_open(self, column):
        sets = log(work("Back squat", 100, 9, session="A", rir=1.0))
        opened = TOP_AND_BACK_OFF.with_columns(
            pl.lit(None, TOP_AND_BACK_OFF.schema[column]).alias(column)
        )
        assert adherence(sets, opened).height > 0
        assert adherence_weeks(sets, opened).height == 1
