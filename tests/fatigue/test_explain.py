"""What a month went with: planted effects are found, and chance is found one time in ten."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import polars as pl
import pytest

from plateline.fatigue import explain_month
from plateline.strength import lift_sessions
from plateline.study import simulate_lifters

START = date(2025, 6, 2)
WEEKS = 39
LIFTS = ("Back squat", "Bench press", "Barbell row", "Leg press")
MONTH = START + timedelta(days=7 * (WEEKS - 1))


def week(number: int) -> date:
    return START + timedelta(days=7 * number)


def ready(client: str, **has: list[bool]) -> pl.DataFrame:
    plain = {
        "is_losing_mass": [False] * WEEKS,
        "is_short_sleep": [False] * WEEKS,
        "is_high_fatigue": [False] * WEEKS,
    }
    return pl.DataFrame(
        {"client": [client] * WEEKS, "week": [week(n) for n in range(WEEKS)]} | plain | has
    ).with_columns(load_ratio=pl.lit(1.0))


def lifter(
    effect: np.ndarray, noise: float = 2.0, seed: int = 1, client: str = "ann"
) -> pl.DataFrame:
    """Two sessions a week of four lifts: a slow rise, an effect by week (percent), and noise."""
    chance = np.random.default_rng(seed)
    rows = [
        {
            "client": client,
            "exercise": lift,
            "date": week(n) + timedelta(days=d),
            "strength_kg": 100 * np.exp((0.2 * n + effect[n] + chance.normal(0, noise)) / 100),
        }
        for lift in LIFTS
        for n in range(WEEKS)
        for d in (0, 3)
    ]
    return pl.DataFrame(rows)


def of(table: pl.DataFrame, factor: str) -> dict:
    chosen = (pl.col("factor") == factor) & (pl.col("exercise") == "Back squat")
    return table.filter(chosen).row(0, named=True)


class TestPlanted:
    def test_short_sleep_that_costs_three_percent(self):
        short = np.random.default_rng(5).random(WEEKS) < 0.3
        table = explain_month(
            lifter(-3.0 * short), ready("ann", is_short_sleep=short.tolist()), MONTH
        )
        row = of(table, "short sleep")
        assert row["verdict"] == "goes with weaker sessions"
        assert row["difference_low"] < -3.0 < row["difference_high"]
        assert row["difference_high"] - row["difference_low"] < 3.0

    def test_a_diet_that_costs_two_percent_in_four_weeks(self):
        losing = np.arange(WEEKS) >= 26
        effect = -0.5 * np.cumsum(losing)
        table = explain_month(lifter(effect), ready("ann", is_losing_mass=losing.tolist()), MONTH)
        row = of(table, "losing mass")
        assert row["verdict"] == "goes with weaker sessions"
        assert row["difference_pct"] == pytest.approx(-2.0, abs=0.4)
        assert row["share_in_month"] == 1.0
        assert row["explains_pct"] == pytest.approx(
            row["difference_pct"] * (1 - row["share_before"])
        )

    def test_a_bad_month_is_called_one(self):
        effect = np.where(np.arange(WEEKS) >= WEEKS - 4, -6.0, 0.0)
        table = explain_month(lifter(effect), ready("ann"), MONTH)
        assert table["is_bad_month"].all()
        assert not explain_month(lifter(0 * effect), ready("ann"), MONTH)["is_bad_month"].any()


@pytest.fixture(scope="module")
def verdicts() -> dict[str, float]:
    sets, _ = simulate_lifters(150, weeks=WEEKS, seed=5, lifts_each=(4, 6))
    sessions = lift_sessions(sets)
    weeks = (
        sessions.select("client", week=pl.col("date").dt.truncate("1w"))
        .unique()
        .sort("client", "week")
    )
    chance = np.random.default_rng(1)
    number = pl.int_range(pl.len()).over("client")
    made_up = weeks.with_columns(
        load_ratio=pl.lit(1.0),
        is_high_fatigue=pl.lit(None, pl.Boolean),
        is_short_sleep=pl.Series(chance.random(weeks.height) < 0.3),
        is_losing_mass=(number >= 20) & (number < 32),
    )
    table = explain_month(sessions, made_up, sessions["date"].max()).unique(["client", "factor"])
    told = table.filter(pl.col("verdict") != "cannot be told")
    rates = told.group_by("factor").agg(pl.col("verdict").str.starts_with("goes").mean())
    return dict(rates.rows())


class TestChance:
    """What is said of lifters whose training has nothing to do with made-up factors."""

    def test_a_quick_factor_is_found_one_time_in_ten(self, verdicts):
        assert 0.04 <= verdicts["short sleep"] <= 0.17

    def test_a_slow_factor_is_found_one_time_in_ten(self, verdicts):
        assert 0.02 <= verdicts["losing mass"] <= 0.17


class TestUnknown:
    def test_a_factor_that_never_was_cannot_be_told(self):
        row = of(explain_month(lifter(np.zeros(WEEKS)), ready("ann"), MONTH), "short sleep")
        assert row["verdict"] == "cannot be told"
        assert row["difference_pct"] is None
        assert "fewer than 4 weeks" in row["reason"]

    def test_no_check_ins(self):
        unknown = [None] * WEEKS
        table = explain_month(
            lifter(np.zeros(WEEKS)),
            ready(
                "ann", is_losing_mass=unknown, is_short_sleep=unknown, is_high_fatigue=unknown
            ).with_columns(pl.col("^is_.*$").cast(pl.Boolean)),
            MONTH,
        )
        row = of(table, "losing mass")
        assert row["verdict"] == "cannot be told"
        assert row["reason"] == "not logged in this month"

    def test_a_month_without_sessions_has_no_rows(self):
        assert explain_month(lifter(np.zeros(WEEKS)), ready("ann"), date(2030, 1, 1)).is_empty()

    def test_a_new_lift_has_no_month_to_compare(self):
        strength = lifter(np.zeros(WEEKS)).filter(pl.col("date") >= MONTH.replace(day=1))
        table = explain_month(strength, ready("ann"), MONTH)
        assert table["month_pct"].null_count() == table.height
        assert set(table["reason"]) == {"no session in the six weeks before the month"}
