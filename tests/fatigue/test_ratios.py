"""Acute and chronic load, week against week: published examples and algebra."""

from __future__ import annotations

import polars as pl
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.load.rows import day, log, work

from plateline.fatigue import CRITICISM, load_ratios, week_change
from plateline.fatigue.ratios import (
    coupled_from_uncoupled,
    daily_ratios,
    uncoupled_from_coupled,
)

from .logs import series, three_a_week, three_athletes


def last_day(loads: pl.DataFrame) -> pl.DataFrame:
    return daily_ratios(loads).filter(pl.col("date") == pl.col("date").max())


class TestThreeAthletes:
    def test_weighted_ratios_are_1_25_1_41_and_1_55(self):
        found = last_day(three_athletes())["ratio_ewma"].to_list()
        assert [round(ratio, 2) for ratio in found] == [1.25, 1.41, 1.55]
        assert found == pytest.approx([1.249746, 1.406202, 1.550724], abs=1e-6)

    def test_rolling_ratios_are_1_43_for_all_three(self):
        table = last_day(three_athletes())
        assert table["ratio_coupled"].to_list() == pytest.approx([50 / 35] * 3)
        assert [round(ratio, 2) for ratio in table["ratio_coupled"]] == [1.43] * 3
        assert table["ratio_uncoupled"].to_list() == pytest.approx([50 / 30] * 3)

    def test_the_average_is_started_at_the_first_day(self):
        """Starting at zero, or with corrected weights, gives none of the published ratios."""
        start_at_zero = [1.3994, 1.4850, 1.9037]
        corrected_weights = [1.2105, 1.2846, 1.6468]
        for found, zero, corrected in zip(
            last_day(three_athletes())["ratio_ewma"], start_at_zero, corrected_weights, strict=True
        ):
            assert abs(found - zero) > 0.05
            assert abs(found - corrected) > 0.03

    def test_nothing_is_said_before_the_28th_day(self):
        table = daily_ratios(three_athletes()).filter(pl.col("days_of_log") < 28)
        for name in ("ratio_coupled", "ratio_uncoupled", "ratio_ewma"):
            assert table[name].null_count() == table.height
        assert set(table["reason"]) == {"less than 28 days of log"}


class TestAlgebra:
    @given(st.floats(0.01, 50))
    def test_coupled_and_uncoupled_turn_into_each_other(self, ratio):
        assert uncoupled_from_coupled(coupled_from_uncoupled(ratio)) == pytest.approx(
            ratio, rel=1e-12
        )
        assert coupled_from_uncoupled(ratio) < 4

    def test_one_is_one(self):
        assert coupled_from_uncoupled(1.0) == uncoupled_from_coupled(1.0) == 1.0

    @given(st.lists(st.integers(0, 5000), min_size=28, max_size=60))
    def test_rolling_ratios_obey_it(self, loads):
        table = last_day(series(loads))
        coupled, uncoupled = table["ratio_coupled"].item(), table["ratio_uncoupled"].item()
        if uncoupled is not None:
            assert coupled == pytest.approx(coupled_from_uncoupled(uncoupled), rel=1e-12, abs=1e-12)


class TestEdges:
    def test_constant_load_is_one(self):
        table = last_day(series([100.0] * 40))
        for name in ("ratio_coupled", "ratio_uncoupled", "ratio_ewma"):
            assert table[name].item() == pytest.approx(1.0)

    def test_four_weeks_off_leave_nothing_to_divide_by(self):
        table = last_day(series([83.1, 71.3] * 5 + [0.0] * 28))
        assert table["ratio_coupled"].item() is None
        assert table["reason"].item() == "no load in the last 28 days"

    def test_a_first_week_after_three_off_has_a_coupled_ratio_only(self):
        table = last_day(series([50.0] * 7 + [0.0] * 21 + [50.0] * 7))
        assert table["ratio_coupled"].item() == pytest.approx(4.0)
        assert table["ratio_uncoupled"].item() is None
        assert "21 days before" in table["reason"].item()

    def test_an_unrated_session_makes_its_windows_unknown(self):
        loads = [100.0] * 20 + [None] + [100.0] * 30
        table = daily_ratios(series(loads))
        assert table["ratio_coupled"][30] is None
        assert table["ratio_coupled"][50] == pytest.approx(1.0)
        assert table["ratio_ewma"][50] is None
        assert "no rating" in table["reason"][30]

    def test_the_criticism_is_there_to_be_shown(self):
        assert "Impellizzeri" in CRITICISM


class TestFromALog:
    def test_equal_weeks_are_in_balance_on_any_weekday(self):
        table = load_ratios(three_a_week(6))
        assert table["ratio_coupled"].drop_nulls().to_list() == pytest.approx([1.0, 1.0, 1.0])

    def test_each_week_is_told_as_on_its_sunday_and_the_last_on_its_last_day(self):
        table = load_ratios(three_a_week(5))
        assert table["date"].to_list() == [day(6), day(13), day(20), day(27), day(32)]
        assert table["measure"].unique().to_list() == ["volume-load"]

    def test_rated_sessions_give_a_second_measure(self):
        sets = three_a_week(5)
        checkins = sets.select("client", "date", session_rpe=pl.lit(7.0), session_min=pl.lit(60.0))
        table = load_ratios(sets, checkins)
        rated = table.filter(pl.col("measure") == "session RPE")
        assert rated["acute_per_day"].drop_nulls().to_list() == pytest.approx([180.0] * 5)

    def test_clients_do_not_mix(self):
        both = pl.concat([three_a_week(6), three_a_week(6, 200, client="bo")])
        alone = load_ratios(three_a_week(6))
        assert load_ratios(both).filter(pl.col("client") == "ann").equals(alone)

    def test_one_session_is_too_little(self):
        table = load_ratios(log(work("Back squat", 100, 5)))
        assert table["ratio_ewma"].item() is None
        assert table["reason"].item() == "less than 28 days of log"

    def test_nothing_gives_empty_tables(self):
        for table in (load_ratios(log()), week_change(log())):
            assert table.is_empty()


class TestWeekChange:
    def test_change_of_volume_and_sets(self):
        heavier = [work("Back squat", 110, 10, date=day(7 * 1 + d)) for d in (0, 2, 4)]
        first = [work("Back squat", 100, 10, date=day(d)) for d in (0, 2, 4)]
        last = [work("Back squat", 110, 10, date=day(14 + d)) for d in (0, 2, 4)]
        table = week_change(log(*first, *heavier, *last))
        assert table["volume_load_change_pct"].to_list() == pytest.approx([None, 10.0, 0.0])
        assert table["hard_sets_change_pct"].to_list() == [None, 0.0, 0.0]
        assert table["reason"][0] == "first week of the log"

    def test_a_week_after_a_gap_is_not_compared(self):
        sets = log(*[work("Back squat", 100, 10, date=day(d)) for d in (0, 6, 7, 13, 21, 27)])
        table = week_change(sets)
        assert table["volume_load_change_pct"].to_list() == [None, 0.0, None]
        assert table["reason"][2] == "no training in the week before"

    def test_a_partial_week_is_not_compared(self):
        sets = three_a_week(3).filter(pl.col("date") < day(18))
        assert week_change(sets)["volume_load_change_pct"].to_list() == [None, 0.0, None]
        assert week_change(sets)["reason"][2] == "the week is partial"

    def test_body_mass_work_leaves_no_volume_to_compare(self):
        sets = log(*[work("Pull-up", 0, 10, date=day(d)) for d in (0, 6, 7, 13)])
        table = week_change(sets)
        assert table["volume_load_change_pct"].to_list() == [None, None]
        assert table["hard_sets_change_pct"].to_list() == [None, 0.0]
