"""Monotony and strain of a week."""

from __future__ import annotations

import polars as pl
import pytest
from tests.load.rows import day, log

from plateline.errors import UnknownNameError
from plateline.fatigue import monotony_strain
from plateline.fatigue.monotony import monotony_of_weeks

from .logs import series, three_a_week, three_athletes


class TestMonotony:
    """Foster 1998 (Med Sci Sports Exerc 30:1164-1168): mean over SD, and load times monotony."""

    weeks = three_athletes().with_columns(week=pl.col("date").dt.truncate("1w"))

    def row(self, athlete: str, week: int, ddof: int = 1) -> dict:
        table = monotony_of_weeks(self.weeks, ddof)
        chosen = (pl.col("client") == athlete) & (pl.col("week") == day(7 * (week - 1)))
        return table.filter(chosen).row(0, named=True)

    @pytest.mark.parametrize(
        ("athlete", "week", "load", "mean", "sd", "monotony", "strain"),
        [
            ("3", 2, 210, 30, 23.2737, 1.2890, 270.69),
            ("3", 4, 350, 50, 42.7200, 1.1704, 409.64),
            ("2", 3, 280, 40, 5.0000, 8.0000, 2240.00),
        ],
    )
    def test_weeks_computed_elsewhere(self, athlete, week, load, mean, sd, monotony, strain):
        """Computed with a general-purpose statistics library; no printed daily example exists."""
        row = self.row(athlete, week)
        assert row["week_load"] == load
        assert row["mean_per_day"] == pytest.approx(mean)
        assert row["sd_per_day"] == pytest.approx(sd, abs=5e-5)
        assert row["monotony"] == pytest.approx(monotony, abs=5e-5)
        assert row["strain"] == pytest.approx(strain, abs=5e-3)

    def test_the_population_deviation_gives_1_0801_times_as_much(self):
        ratio = self.row("3", 2, ddof=0)["monotony"] / self.row("3", 2)["monotony"]
        assert ratio == pytest.approx((7 / 6) ** 0.5)

    def test_the_same_load_every_day_has_no_monotony(self):
        row = self.row("1", 1)
        assert row["sd_per_day"] == 0.0
        assert row["monotony"] is None
        assert row["strain"] is None
        assert "same load every day" in row["reason"]

    def test_a_printed_ratio(self):
        """BMJ Military Health 168(4):314-319, Table 1: mean 790 over SD 897 is 0.88.

        Of four training days p, q, p, q: p + q = 2765 makes the mean 790, and p q = 1,523,524 the
        sample SD 897.
        """
        half = (2765**2 - 4 * 1523524) ** 0.5 / 2
        p, q = 2765 / 2 + half, 2765 / 2 - half
        days = series([p, 0, q, 0, p, q, 0]).with_columns(week=pl.col("date").dt.truncate("1w"))
        row = monotony_of_weeks(days).row(0, named=True)
        assert (row["mean_per_day"], row["sd_per_day"]) == pytest.approx((790, 897), abs=1e-3)
        assert row["monotony"] == pytest.approx(0.88, abs=0.005)

    def test_a_log(self):
        table = monotony_strain(three_a_week(3))
        loads = [1000.0, 0.0, 1000.0, 0.0, 1000.0, 0.0, 0.0]
        mean = 3000 / 7
        sd = (sum((load - mean) ** 2 for load in loads) / 6) ** 0.5
        assert table["monotony"].to_list() == pytest.approx([mean / sd] * 3)
        assert table["strain"].to_list() == pytest.approx([3000 * mean / sd] * 3)

    def test_a_partial_week_has_none(self):
        table = monotony_strain(three_a_week(3).filter(pl.col("date") < day(18)))
        assert table["monotony"][2] is None
        assert table["reason"][2] == "the week is partial"

    def test_an_unknown_deviation_is_refused(self):
        with pytest.raises(UnknownNameError, match="no standard deviation 'other'"):
            monotony_strain(three_a_week(3), sd="other")

    def test_nothing_gives_an_empty_table(self):
        assert monotony_strain(log()).is_empty()
