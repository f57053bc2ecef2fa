"""One date out of a distribution of dates."""

from __future__ import annotations

import numpy as np
import pytest

from plateline.trend.dating import ANY_CLASS, NEAR_WEEKS, OTHER_STATES, since_rows
from plateline.trend.pooled import DECLINING, FLAT, PROGRESSING

WEEKS = 26


def weights(entries, start=0):
    """Return one lift's weights from {(week, class): weight}, and its start."""
    weight = np.zeros((WEEKS, 3, 1))
    for (week, kind), value in entries.items():
        weight[week, kind, 0] = value
    return weight, np.array([start])


@pytest.mark.parametrize("week", range(WEEKS))
def test_a_sure_date_is_that_date(week):
    low, best, high = since_rows(*weights({(week, FLAT): 1.0}))[:, FLAT, 0]
    assert (low, best, high) == (week, week, week)


def test_the_date_is_where_most_probability_lies_not_in_the_middle_of_two_lumps():
    lumps = {(5, FLAT): 0.45, (18, FLAT): 0.3, (19, FLAT): 0.25}
    low, best, high = since_rows(*weights(lumps))[:, FLAT, 0]
    assert (low, best, high) == (5, 18, 19)


def test_near_is_what_it_says_by_direct_summation():
    rng = np.random.default_rng(3)
    weight = rng.gamma(0.5, size=(WEEKS, 3, 40))
    weight[0] = 0.0
    week = np.arange(WEEKS)
    near = np.exp(-np.abs(week[:, None] - week) / NEAR_WEEKS)
    counted = np.eye(3) + OTHER_STATES * (1 - np.eye(3))
    expected = np.einsum("ij,jkl,kc->icl", near, weight, counted).argmax(0)
    assert np.array_equal(since_rows(weight, np.zeros(40, int))[1, :3], expected)


@pytest.mark.parametrize(("from_start", "best"), [(0.75, 12), (0.95, 4)])
def test_a_plateau_has_no_change_only_where_that_is_nearly_sure(from_start, best):
    found = since_rows(*weights({(4, FLAT): from_start, (12, FLAT): 1 - from_start}, start=4))
    assert found[1, FLAT, 0] == best
    assert found[0, FLAT, 0] == 4


def test_progress_all_along_needs_less():
    found = since_rows(*weights({(0, PROGRESSING): 0.85, (12, PROGRESSING): 0.15}))
    assert found[1, PROGRESSING, 0] == 0


def test_a_change_in_the_first_weeks_is_not_told_from_none():
    found = since_rows(*weights({(0, FLAT): 0.6, (2, FLAT): 0.4}))
    assert found[1, FLAT, 0] == 0


def test_a_turn_is_not_missed_where_the_state_may_be_the_wrong_one():
    doubtful = {(0, PROGRESSING): 0.6, (18, FLAT): 0.4}
    low, best, high = since_rows(*weights(doubtful))[:, PROGRESSING, 0]
    assert (low, best, high) == (0, 18, 18)


def test_other_states_do_not_outweigh_the_dates_of_a_state():
    mixed = {(6, DECLINING): 0.3, (17, FLAT): 0.7}
    best = since_rows(*weights(mixed))[1, :, 0]
    assert best[DECLINING] == 6
    assert best[FLAT] == best[ANY_CLASS] == 17


def test_where_no_class_is_named_all_count_together():
    mixed = {(9, FLAT): 0.4, (10, PROGRESSING): 0.3, (0, PROGRESSING): 0.3}
    assert 9 <= since_rows(*weights(mixed))[1, ANY_CLASS, 0] <= 10
