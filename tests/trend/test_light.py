"""Blocks that the plan means to be light: by their name, or by the reserve that is asked for."""

from __future__ import annotations

import datetime as dt

import polars as pl
import pytest

from plateline.trend import fit_log
from plateline.trend.light import planned_light
from plateline.words import PLAN, conform

from .lifters import AS_OF, lifter, steady


@pytest.fixture(scope="module")
def fit():
    found = fit_log(lifter(steady(0.3)), AS_OF)
    assert found is not None
    return found


def light_days(fit, *rows: dict, start=AS_OF - dt.timedelta(days=20), weeks=2) -> set[dt.date]:
    """Return the days of sessions that a plan of one block makes light."""
    block = {"client": "a", "block": "Week 5", "start": start, "weeks": weeks}
    plan = conform(pl.DataFrame([dict.fromkeys(PLAN) | block | row for row in rows]), PLAN)
    light = planned_light(fit.lifts, fit.days, plan)
    return set(fit.days.frame["date"].filter(pl.Series(light)).to_list())


def within(fit, first: int, last: int) -> set[dt.date]:
    """Return the days of sessions between so many days before the last one."""
    days = set(fit.days.frame["date"].to_list())
    found = {d for d in days if first >= (AS_OF - d).days >= last}
    assert found
    return found


@pytest.mark.parametrize("name", ["Deload 3", "light week", "Recovery", "TAPER"])
def test_a_name_says_it(fit, name):
    assert light_days(fit, {"block": name}) == within(fit, 20, 7)


def test_a_word_inside_another_says_nothing(fit):
    assert light_days(fit, {"block": "Highlights"}) == set()


@pytest.mark.parametrize(
    ("rirs", "is_light"), [((4.0, 5.0), True), ((3.5, 5.0), False), ((None, None), False)]
)
def test_four_in_reserve_on_every_progression_lift_say_it(fit, rirs, is_light):
    rows = [{"exercise": f"lift {n}", "role": "progression", "rir": r} for n, r in enumerate(rirs)]
    easy = {"exercise": "curl", "role": "accessory", "rir": 1.0}
    expected = within(fit, 20, 7) if is_light else set()
    assert light_days(fit, *rows, easy) == expected


def test_accessory_work_far_from_failure_says_nothing(fit):
    assert light_days(fit, {"exercise": "curl", "role": "accessory", "rir": 5.0}) == set()


@pytest.mark.parametrize("row", [{"client": "b"}, {"start": None}, {"weeks": None}])
def test_another_clients_block_or_one_without_dates_says_nothing(fit, row):
    assert light_days(fit, {"block": "Deload"} | row) == set()
