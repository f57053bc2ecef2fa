"""A log worked on in parts gives what the whole log gives, to the bit, however it is divided."""

from __future__ import annotations

import datetime as dt

import polars as pl
import pytest

from plateline import trend
from plateline.trend import fitting

DAY = dt.date(2026, 3, 31)


@pytest.fixture(scope="module")
def club(demo_logbook):
    return demo_logbook


def _parts(clients: list[str], sizes: list[int]) -> list[list[str]]:
    """Return the clients in parts of these sizes, the last part as long as it takes."""
    parts, left = [], list(clients)
    for size in sizes:
        parts.append(left[:size])
        left = left[size:]
    return [part for part in (*parts, left) if part]


@pytest.fixture(scope="module")
def common(club):
    beside = {"catalogue": club.catalogue, "checkins": club.checkins, "plan": club.plan}
    return trend.learn_common(club.sets, DAY, **beside)


@pytest.mark.parametrize("answer", [trend.lift_status, trend.lift_curves, trend.backtest])
def test_parts_give_what_the_whole_gives(club, common, answer):
    beside = {"catalogue": club.catalogue, "checkins": club.checkins, "plan": club.plan}
    if answer is not trend.backtest:
        beside["clients"] = club.clients
    whole = answer(club.sets, DAY, **beside)
    for sizes in ([1] * 8, [3, 3]):
        parts = [
            answer(club.sets.filter(pl.col("client").is_in(part)), DAY, **beside, common=common)
            for part in _parts(sorted(club.sets["client"].unique()), sizes)
        ]
        assert pl.concat(parts).equals(whole), sizes


def test_what_lifts_share_is_learned_from_the_same_clients_however_a_log_is_divided(
    club, monkeypatch
):
    monkeypatch.setattr(fitting, "REFERENCE_CLIENTS", 3)
    clients = sorted(club.sets["client"].unique())
    chosen = trend.reference(clients)
    assert len(chosen) == 3
    assert trend.reference(reversed(clients)) == chosen
    # A client who comes or goes changes one place of the choice at most.
    others = [client for client in clients if client != chosen[0]]
    assert set(chosen[1:]) <= set(trend.reference(others))
    beside = {"catalogue": club.catalogue, "checkins": club.checkins, "plan": club.plan}
    first_day = club.sets["date"].min()
    theirs = club.sets.filter(pl.col("client").is_in(chosen))
    from_all = trend.learn_common(club.sets, DAY, **beside)
    from_them = trend.learn_common(theirs, DAY, **beside, first_day=first_day)
    assert from_all is not None
    assert repr(from_all) == repr(from_them)
    whole = trend.lift_status(club.sets, DAY, **beside)
    alone = trend.lift_status(
        club.sets.filter(pl.col("client") == clients[0]), DAY, **beside, common=from_them
    )
    assert alone.equals(whole.filter(pl.col("client") == clients[0]))
