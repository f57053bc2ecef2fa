"""Relative strength: published points, and who gets which."""

from __future__ import annotations

import polars as pl
import pytest
from tests.load.rows import day

from plateline.errors import UnknownNameError
from plateline.fatigue import federation_points, relative_strength


class TestPoints:
    """International Powerlifting Federation, formula in force since 1 May 2020."""

    def test_published_example_men_equipped(self):
        points = federation_points(1035, 92.04, "male", gear="equipped")
        assert points == pytest.approx(112.85, abs=0.005)

    def test_published_example_women_classic_bench_press(self):
        points = federation_points(122.5, 70.50, "female", event="bench press")
        assert points == pytest.approx(96.78, abs=0.005)

    def test_no_formula_for_other_lifts(self):
        with pytest.raises(UnknownNameError, match="no points formula 'male, classic, squat'"):
            federation_points(200, 80, "male", event="squat")


def sessions(*rows: tuple[str, str, int, float | None]) -> pl.DataFrame:
    return pl.DataFrame(
        {
            "client": pl.Series([row[0] for row in rows], dtype=pl.String),
            "exercise": pl.Series([row[1] for row in rows], dtype=pl.String),
            "date": [day(row[2]) for row in rows],
            "e1rm_kg": pl.Series([row[3] for row in rows], dtype=pl.Float64),
        }
    )


CHECKINS = pl.DataFrame(
    {"client": ["ann", "bo"], "date": [day(0), day(0)], "body_mass_kg": [70.5, 92.04]}
)
CLIENTS = pl.DataFrame({"client": ["ann", "bo"], "sex": ["f", "m"]})  # as CLIENTS writes it


def row_of(table: pl.DataFrame, client: str, exercise: str) -> dict:
    chosen = (pl.col("client") == client) & (pl.col("exercise") == exercise)
    return table.filter(chosen).row(0, named=True)


def test_the_best_of_twelve_weeks_over_the_days_body_mass():
    table = relative_strength(
        sessions(("ann", "Bench press", -90, 200.0), ("ann", "Bench press", 0, 122.5)),
        CHECKINS,
        CLIENTS,
    )
    row = row_of(table, "ann", "Bench press")
    assert row["per_body_mass"] == pytest.approx(122.5 / 70.5)
    assert row["points"] == pytest.approx(96.78, abs=0.005)
    assert row["event"] == "bench press"


def test_a_total_needs_all_three_lifts():
    lifts = [("Back squat", 300.0), ("Bench press", 200.0), ("Deadlift", 320.0)]
    three = sessions(*[("bo", name, 0, kg) for name, kg in lifts])
    total = row_of(
        relative_strength(three, CHECKINS, CLIENTS), "bo", "squat + bench press + deadlift"
    )
    assert total["e1rm_kg"] == 820.0
    assert total["points"] == pytest.approx(federation_points(820, 92.04, "male"))
    two = relative_strength(three.head(2), CHECKINS, CLIENTS)
    assert two.filter(pl.col("event") == "total").is_empty()


def test_the_better_of_two_squats_counts_once():
    names = [("Back squat", 300.0), ("Low-bar squat", 310.0), ("Bench press", 200.0)]
    rows = [("bo", name, 0, kg) for name, kg in [*names, ("Sumo deadlift", 320.0)]]
    total = relative_strength(sessions(*rows), CHECKINS, CLIENTS).filter(pl.col("event") == "total")
    assert total["e1rm_kg"].item() == 830.0


@pytest.mark.parametrize(
    ("exercise", "e1rm", "checkins", "clients", "reason"),
    [
        ("Back squat", 200.0, CHECKINS, CLIENTS, "no points formula"),
        ("Bench press", None, CHECKINS, CLIENTS, "no e1RM"),
        ("Bench press", 100.0, None, CLIENTS, "no body mass"),
        ("Bench press", 100.0, CHECKINS, None, "asks for a sex"),
    ],
)
def test_what_is_not_known_is_null_with_a_reason(exercise, e1rm, checkins, clients, reason):
    row = relative_strength(sessions(("ann", exercise, 0, e1rm)), checkins, clients).row(
        0, named=True
    )
    assert row["points"] is None
    assert reason in row["reason"]


def test_nothing_gives_an_empty_table():
    assert relative_strength(sessions(), CHECKINS, CLIENTS).is_empty()
