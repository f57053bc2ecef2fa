"""The fatigue/performance ratio: its definition, and what it is worth on simulated lifters."""

from __future__ import annotations

import functools

import polars as pl
import pytest
from tests.load.rows import day, log, work

from plateline.errors import MissingColumnError
from plateline.fatigue import HIGH_RATIO, performance_ratio
from plateline.fatigue.overreaching import alarm_study, simulate_overreaching
from plateline.fatigue.trend_line import against_course, lift_strength

LIFT = {"client": "ann", "exercise": "Back squat"}


def curve(strength: dict[int, float]) -> pl.DataFrame:
    return pl.DataFrame(
        [{**LIFT, "date": day(n), "strength_kg": float(kg)} for n, kg in strength.items()]
    )


def training(weeks: int, sets: dict[int, int] | None = None) -> pl.DataFrame:
    rows = []
    for week in range(weeks):
        for d in (0, 2, 4):
            rows += [work("Back squat", 100, 10, date=day(7 * week + d))] * (sets or {}).get(
                week, 3
            )
    return log(*rows)


DAYS = [7 * week + d for week in range(9) for d in (0, 2, 4)]


class TestDefinition:
    def test_like_weeks_and_like_strength_are_in_balance(self):
        table = performance_ratio(training(9), curve(dict.fromkeys(DAYS, 150)))
        last = table.row(-1, named=True)
        assert last["load_ratio"] == pytest.approx(1.0)
        assert last["performance"] == pytest.approx(1.0)
        assert last["performance_ratio"] == pytest.approx(1.0)

    def test_more_work_and_less_strength_raise_it(self):
        sets = training(9, {8: 6})
        weaker = curve({n: 150 if n < 56 else 135 for n in DAYS})
        last = performance_ratio(sets, weaker).row(-1, named=True)
        load = 6 / ((3 * 3 + 6) / 4)
        assert last["load_ratio"] == pytest.approx(load)
        assert last["performance"] == pytest.approx(0.9)
        assert last["performance_ratio"] == pytest.approx(load / 0.9)

    def test_the_future_does_not_reach_back(self):
        sets, strength = training(9), curve({n: 150 + n % 5 for n in DAYS})
        whole = performance_ratio(sets, strength)
        early = performance_ratio(
            sets.filter(pl.col("date") < day(49)), strength.filter(pl.col("date") < day(49))
        )
        assert whole.head(early.height).equals(early)

    def test_curves_and_sessions_are_both_taken(self):
        sessions = curve(dict.fromkeys(DAYS, 150))
        curves = sessions.rename({"strength_kg": "observed_kg"}).with_columns(
            kind=pl.when(pl.col("date") <= day(60))
            .then(pl.lit("session"))
            .otherwise(pl.lit("forecast"))
        )
        ahead = curves.tail(1).with_columns(date=pl.lit(day(90)), kind=pl.lit("forecast"))
        both = pl.concat([curves, ahead])
        assert performance_ratio(training(9), both).equals(performance_ratio(training(9), sessions))

    def test_a_frame_without_strength_is_refused(self):
        with pytest.raises(MissingColumnError, match="neither a column 'observed_kg' nor"):
            performance_ratio(training(2), training(2))


class TestUnknown:
    def test_a_lift_done_once_a_month(self):
        table = performance_ratio(training(9), curve({0: 150, 28: 150, 56: 150}))
        assert table["performance_ratio"].null_count() == table.height
        assert "fewer than 4 sessions" in table["reason"][-1]

    def test_a_short_log(self):
        table = performance_ratio(training(3), curve({n: 150 for n in DAYS if n < 21}))
        assert table["performance_ratio"].null_count() == table.height
        assert table["reason"].null_count() == 0

    def test_nothing(self):
        assert performance_ratio(log(), curve({0: 1.0}).clear()).is_empty()


class TestCourse:
    def test_a_straight_line_is_followed_up_to_the_drawing_in(self):
        rising = lift_strength(curve({n: 100 * 1.01 ** (n / 7) for n in range(0, 84, 2)}))
        table = against_course(rising, gap_days=7).drop_nulls("off_course_pct")
        assert table["off_course_pct"].is_between(0.0, 3.0).all()

    def test_level_strength_is_on_course(self):
        table = against_course(lift_strength(curve(dict.fromkeys(DAYS, 120))), gap_days=7)
        assert table["off_course_pct"].drop_nulls().abs().max() < 1e-9
        assert (table["course_kg"].drop_nulls() - 120).abs().max() < 1e-9


class TestWorth:
    """The size of early warning and of false alarms that `HIGH_RATIO` states."""

    @staticmethod
    @functools.cache
    def study() -> pl.DataFrame:
        return alarm_study((1.3, HIGH_RATIO), lifters=200, seed=1)

    def row(self, threshold: float) -> dict:
        return self.study().filter(pl.col("threshold") == threshold).row(0, named=True)

    def test_it_rises_before_strength_falls(self):
        row = self.row(HIGH_RATIO)
        assert row["fell"] >= 120  # of 200 lifters with three weeks of twice the work
        assert row["warned_share"] >= 0.95
        assert row["median_lead_days"] >= 7

    def test_how_often_it_cries_wolf(self):
        assert 1 <= self.row(HIGH_RATIO)["false_alarms_year"] <= 3
        assert 7 <= self.row(1.3)["false_alarms_year"] <= 11

    def test_another_seed_says_the_same(self):
        row = alarm_study((HIGH_RATIO,), lifters=200, seed=11).row(0, named=True)
        assert row["warned_share"] >= 0.93
        assert row["false_alarms_year"] <= 3

    def test_the_simulation_is_repeatable(self):
        once, again = simulate_overreaching(5, seed=3), simulate_overreaching(5, seed=3)
        assert all(a.equals(b) for a, b in zip(once, again, strict=True))
