"""Rep zones, proximity to failure and load bands."""

from __future__ import annotations

import polars as pl
import pytest

from plateline.load import RepZone, effort, intensity, rep_zones, weekly_load

from .rows import day, log, work


def spread(table: pl.DataFrame, column: str) -> dict[str, float]:
    return dict(table.select(column, "sets").rows())


def test_reps_fall_into_their_zones():
    sets = log(*[work("Back squat", 60, reps) for reps in (1, 5, 6, 12, 13, 20, 21, 40)])
    table = rep_zones(sets)
    assert spread(table, "zone") == {"1-5": 2, "6-12": 2, "13-20": 2, "21 and more": 2}
    assert table["share"].to_list() == [0.25] * 4


def test_warm_ups_are_in_no_zone():
    sets = log(work("Back squat", 60, 5, set_kind="warm-up"), work("Back squat", 100, 8))
    assert spread(rep_zones(sets), "zone") == {"6-12": 1}


def test_zones_can_be_ones_own():
    zones = (RepZone("short", 1, 9), RepZone("long", 10, None))
    sets = log(work("Back squat", 60, 9), work("Back squat", 60, 10))
    assert spread(rep_zones(sets, zones=zones), "zone") == {"short": 1, "long": 1}


@pytest.mark.parametrize(
    ("rir", "band"),
    [
        (0.0, "to failure"),
        (0.5, "1 in reserve"),
        (1.0, "1 in reserve"),
        (2.0, "2 in reserve"),
        (3.0, "3-4 in reserve"),
        (4.0, "3-4 in reserve"),
        (5.0, "5 and more in reserve"),
        (None, "not logged"),
    ],
)
def test_proximity_to_failure(rir, band):
    assert spread(effort(log(work("Back squat", 100, 8, rir=rir))), "effort") == {band: 1.0}


def test_load_bands_refer_to_the_weeks_best():
    best = 100 * (1 + 5 / 30)
    sets = log(
        work("Back squat", 100, 5, rir=0.0),
        work("Back squat", 0.65 * best, 5, rir=10.0),
        work("Back squat", 0.5 * best, 5, rir=10.0),
    )
    table = intensity(sets)
    assert spread(table, "band") == {"below 60 %": 1, "60-70 %": 1, "80-90 %": 1}


def test_a_share_on_the_edge_of_a_band_is_in_the_upper_one():
    # The lighter load is 0.8 of heavier x (1 + 5 / 30), up to the last bit of either unit.
    for heavier, lighter, unit in ((105, 98, 1.0), (60, 56, 0.45359237)):
        sets = log(
            work("Back squat", heavier * unit, 5, rir=0.0), work("Back squat", lighter * unit, 5)
        )
        assert intensity(sets)["band"].to_list() == ["80-90 %"]


def test_a_load_without_reference_is_not_known():
    table = intensity(log(work("Leg extension", 30, 30), work("Pull-up", 0, 8)))
    assert table.select("exercise", "band", "reason").rows() == [
        ("Leg extension", "not known", "no loaded set of 1-12 reps to failure in the last 28 days"),
        ("Pull-up", "not known", "no body mass within 28 days"),
    ]


def test_body_mass_is_part_of_a_share():
    # 80 kg and 20 on a belt, five times: 100 x (1 + 5 / 30); 80 kg alone are 69 % of it.
    checkins = pl.DataFrame({"client": ["ann"], "date": [day(0)], "body_mass_kg": [80.0]})
    sets = log(work("Pull-up", 20, 5, rir=0.0), work("Pull-up", 0, 5, rir=5.0))
    table = intensity(sets, checkins=checkins)
    assert table.select("band", "sets", "reason").rows() == [
        ("60-70 %", 1.0, None),
        ("80-90 %", 1.0, None),
    ]


def test_the_spreads_add_up_to_the_working_sets():
    rows = [work("Back squat", 60 + 5 * i, 5 + i, rir=i / 2, date=day(i)) for i in range(12)]
    sets = log(*rows, work("Back squat", 40, 5, set_kind="warm-up"))
    total = weekly_load(sets)["working_sets"].sum()
    for table in (rep_zones(sets), effort(sets), intensity(sets)):
        assert table["sets"].sum() == total


def test_nothing_gives_an_empty_table():
    for table in (rep_zones(log()), effort(log()), intensity(log())):
        assert table.is_empty()
