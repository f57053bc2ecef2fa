"""Fatigue within a session: published drop-offs, and back-off sets worked by hand."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import polars as pl
import pytest
from tests.load.rows import day, log, work

from plateline.fatigue import back_off_ratio, drop_off
from plateline.strength.curves import STEEPNESS

REST = pl.read_csv(Path(__file__).with_name("reps_by_rest_interval.csv"))


def only(frame: pl.DataFrame) -> dict:
    assert frame.height == 1, frame
    return frame.row(0, named=True)


class TestDropOff:
    @pytest.mark.parametrize(
        ("rest", "reps", "expected"),
        [("180 s", (94, 70, 64), 0.2872), ("60 s", (108, 56, 48), 0.5185)],
    )
    def test_a_published_drop_off_by_rest(self, rest, reps, expected):
        """Knee extension at 80 % to failure (Rev Bras Med Esporte 2007;13(5)).

        Means of nine people with one decimal, so ten times as many reps here.
        """
        rows = REST.filter(pl.col("rest") == rest, pl.col("exercise").str.starts_with("knee"))
        printed = rows.sort("set")["reps_mean"].to_list()
        assert [round(10 * mean) for mean in printed] == list(reps)
        sets = log(
            *[work("Leg extension", 40, count, rest_s=float(rest.split()[0])) for count in reps]
        )
        row = only(drop_off(sets))
        assert row["drop_off"] == pytest.approx(expected, abs=1e-4)
        assert row["median_rest_s"] == float(rest.split()[0])

    def test_equal_sets_have_none(self):
        row = only(drop_off(log(*[work("Leg extension", 40, 12)] * 3)))
        assert (row["drop_off"], row["reps_lost_per_set"]) == (0.0, 0.0)

    def test_loads_are_kept_apart(self):
        """Giechaskiel 2018, Am J Sports Sci Med 6(3):89-98: 6, 3 at 140 kg; 12, 7, 5 at 114."""
        sets = log(
            *[work("Bench press", 140, reps) for reps in (6, 3)],
            *[work("Bench press", 114, reps) for reps in (12, 7, 5)],
        )
        table = drop_off(sets)
        assert table["load_kg"].to_list() == [114.0, 140.0]
        assert table["drop_off"].to_list() == pytest.approx([0.5, 0.5])
        assert table["reps"].to_list() == [[12, 7, 5], [6, 3]]

    def test_rounds_of_a_superset(self):
        rows = [
            row
            for first, second in ((20, 18), (16, 15), (12, 12))
            for row in (work("Cable curl", 20, first), work("Triceps pushdown", 25, second))
        ]
        table = drop_off(log(*[row | {"set_order": i} for i, row in enumerate(rows)]))
        assert table["superset"].to_list() == ["order 1", "order 1"]
        assert table["drop_off"].to_list() == pytest.approx([1 - 14 / 20, 1 - 13.5 / 18])

    def test_sides_are_kept_apart(self):
        rows = [
            work("One-arm dumbbell row", 30, reps, side=side)
            for reps in (10, 8)
            for side in ("left", "right")
        ]
        assert drop_off(log(*rows))["drop_off"].to_list() == pytest.approx([0.2, 0.2])

    def test_sets_of_both_sides_are_one_series_whatever_the_sides_did(self):
        # `10/9`, `9/7`, `7/6` are read as 9, 7 and 6 reps a side: 1 - 6.5 / 9.
        rows = [
            work("One-arm dumbbell row", 30, reps, side=side)
            for reps, side in ((9, "10/9"), (7, "9/7"), (6, "7/6"))
        ]
        row = only(drop_off(log(*rows)))
        assert (row["side"], row["reps"]) == (None, [9, 7, 6])
        assert row["drop_off"] == pytest.approx(1 - 6.5 / 9)

    def test_two_sets_of_forty(self):
        # 40 and 33: one later set, so 1 - 33 / 40.
        row = only(drop_off(log(work("Leg extension", 15, 40), work("Leg extension", 15, 33))))
        assert row["drop_off"] == row["drop_off_to_last"] == pytest.approx(0.175)
        assert row["reps_lost_per_set"] == 7.0

    def test_planned_reps_hide_fatigue_that_rir_shows(self):
        row = only(drop_off(log(*[work("Back squat", 100, 10, rir=r) for r in (4.0, 2.0, 0.0)])))
        assert (row["drop_off"], row["rir_change"]) == (0.0, -4.0)

    def test_one_set_has_no_drop_off(self):
        row = only(drop_off(log(work("Back squat", 100, 10))))
        assert row["drop_off"] is None
        assert row["reason"] == "one set at this load"

    def test_a_first_set_without_reps(self):
        row = only(drop_off(log(work("Back squat", 100, 0), work("Back squat", 100, 3))))
        assert row["drop_off"] is None
        assert row["reason"] == "no reps in the first set"

    def test_warm_ups_back_off_and_drop_sets_are_left_out(self):
        kinds = ("warm-up", "back-off", "drop")
        assert drop_off(log(*[work("Back squat", 60, 10, set_kind=k) for k in kinds])).is_empty()


def expected_reps(top_to_failure: float, lighter: float, steepness: float = 1.0) -> float:
    """The rep curve exp(-k ln((30 + r) / 31)), solved for r at the lighter load."""
    return (30 + top_to_failure) * lighter ** (-1 / steepness) - 30


class TestBackOff:
    def test_a_session_by_hand(self):
        sets = log(
            work("Back squat", 60, 5, set_kind="warm-up"),
            work("Back squat", 100, 9, set_kind="top", rir=1.0),
            work("Back squat", 80, 17, set_kind="back-off", rir=2.0),
        )
        row = only(back_off_ratio(sets))
        assert row["expected_reps"] == pytest.approx(expected_reps(10, 0.8))  # 20
        assert row["expected_reps"] == pytest.approx(20.0)
        assert row["back_off_ratio"] == pytest.approx(19 / 20)
        assert row["population_ratio"] == row["back_off_ratio"]
        assert row["curve"] == "population, free"

    def test_machines_have_a_flatter_curve(self):
        sets = log(
            work("Leg press", 100, 10, set_kind="top", rir=0.0),
            work("Leg press", 80, 18, set_kind="back-off", rir=0.0),
        )
        row = only(back_off_ratio(sets))
        assert row["expected_reps"] == pytest.approx(expected_reps(10, 0.8, STEEPNESS["machine"]))

    def test_kinds_are_not_needed(self):
        sets = log(work("Back squat", 100, 10, rir=0.0), work("Back squat", 80, 18, rir=0.0))
        assert only(back_off_ratio(sets))["back_off_ratio"] == pytest.approx(18 / 20)

    def test_straight_and_rising_sets_are_no_back_off(self):
        rising = [work("Back squat", load, reps) for load, reps in ((80, 10), (100, 8), (110, 5))]
        straight = [work("Bench press", 80, 10)] * 3
        assert back_off_ratio(log(*rising, *straight)).is_empty()

    def test_the_best_top_set_and_the_first_back_off_set_count(self):
        sets = log(
            work("Back squat", 100, 8, set_kind="top", rir=0.0),
            work("Back squat", 100, 10, set_kind="top", rir=0.0),
            work("Back squat", 80, 18, set_kind="back-off", rir=0.0),
            work("Back squat", 80, 12, set_kind="back-off", rir=0.0),
        )
        assert only(back_off_ratio(sets))["back_off_ratio"] == pytest.approx(18 / 20)

    def test_without_rir_both_sets_are_taken_alike(self):
        sets = log(work("Back squat", 100, 10, rir=2.0), work("Back squat", 80, 18))
        row = only(back_off_ratio(sets))
        assert row["back_off_ratio"] == pytest.approx(18 / 20)
        assert row["reason"].startswith("no RIR logged")

    def test_a_person_with_another_curve_comes_back_to_one(self):
        rows = []
        for week in range(12):
            rows += [
                work("Back squat", 100, 10, set_kind="top", rir=0.0, date=day(7 * week)),
                work("Back squat", 80, 16, set_kind="back-off", rir=0.0, date=day(7 * week)),
            ]
        table = back_off_ratio(log(*rows))
        assert table["population_ratio"].to_list() == pytest.approx([0.8] * 12)
        assert table["back_off_ratio"][0] == pytest.approx(0.8)
        distance = np.abs(np.array(table["back_off_ratio"]) - 1)
        assert (np.diff(distance) < 0).all()
        assert distance[-1] < 0.03
        assert table["curve"][-1] == "own, 11 earlier sessions"

    def test_the_future_does_not_reach_back(self):
        rows = [
            row
            for week, reps in enumerate((16, 17, 15, 18, 12))
            for row in (
                work("Back squat", 100, 10, set_kind="top", rir=0.0, date=day(7 * week)),
                work("Back squat", 80, reps, set_kind="back-off", rir=0.0, date=day(7 * week)),
            )
        ]
        whole, early = back_off_ratio(log(*rows)), back_off_ratio(log(*rows[:4]))
        assert whole.head(2).equals(early)

    def test_a_curve_can_be_given(self):
        sets = log(work("Back squat", 100, 10, rir=0.0), work("Back squat", 80, 18, rir=0.0))
        curve = pl.DataFrame({"client": ["ann"], "exercise": ["Back squat"], "steepness": [0.9]})
        row = only(back_off_ratio(sets, steepness=curve))
        assert row["expected_reps"] == pytest.approx(expected_reps(10, 0.8, 0.9))

    def test_body_mass_is_part_of_both_loads(self):
        sets = log(work("Pull-up", 20, 8, rir=0.0), work("Pull-up", 0, 12, rir=0.0))
        checkins = pl.DataFrame({"client": ["ann"], "date": [day(0)], "body_mass_kg": [80.0]})
        row = only(back_off_ratio(sets, checkins=checkins))
        assert row["expected_reps"] == pytest.approx(expected_reps(8, 0.8))
        unknown = only(back_off_ratio(sets))
        assert unknown["back_off_ratio"] is None
        assert "body mass" in unknown["reason"]

    def test_dumbbells_and_body_mass_are_one_load(self):
        # 2 x 20 + 0.8 x 60 = 88 and 2 x 12 + 48 = 72: log(88 / 72) against log((40) / (31)) at 10
        # to failure: 31 x (40 / 31) x 88 / 72 - 30 = 18.889 expected, 17 done.
        checkins = pl.DataFrame({"client": ["ann"], "date": [day(0)], "body_mass_kg": [60.0]})
        pair = log(
            work("Bulgarian split squat", 20, 9, rir=1.0, set_kind="top"),
            work("Bulgarian split squat", 12, 16, rir=1.0, set_kind="back-off"),
        )
        row = only(back_off_ratio(pair, checkins=checkins))
        assert row["expected_reps"] == pytest.approx(40 * 88 / 72 - 30)
        assert row["back_off_ratio"] == pytest.approx(17 / (40 * 88 / 72 - 30))

    def test_zero_loads_divide_nothing(self):
        sets = log(
            work("Back squat", 0, 8, set_kind="top"), work("Back squat", -5, 9, set_kind="back-off")
        )
        row = only(back_off_ratio(sets))
        assert row["back_off_ratio"] is None
        assert "nothing is moved" in row["reason"]

    def test_nothing_gives_empty_tables(self):
        assert back_off_ratio(log()).is_empty()
        assert drop_off(log()).is_empty()
