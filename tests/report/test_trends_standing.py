"""What the athlete's page adds to a state, and what it says of it."""

from __future__ import annotations

import datetime as dt
from typing import Any

import polars as pl
import pytest

from plateline.advice.tables import Lever
from plateline.report import trends_words as say
from plateline.report.trends_next import shared_by_most
from plateline.report.trends_standing import points_alone, with_standing
from plateline.report.trends_words_data import account_line, body_mass_lines
from plateline.trend.assumptions import MAX_WEEKS
from plateline.words import State

END = dt.date(2026, 11, 20)
OLDEST = END - dt.timedelta(weeks=MAX_WEEKS)


def weeks_ago(weeks: float) -> dt.date:
    return END - dt.timedelta(weeks=weeks)


def told(**changed: Any) -> dict[str, Any]:
    """Return a lift's row with what is added, from a plateau of ten weeks in a two-year log."""
    curve = changed.pop("curve", [(week, 100.0, 102.0) for week in range(104, -1, -1)])
    row = {
        "client": "a",
        "exercise": "Row",
        "state": State.PLATEAU.value,
        "p_progressing": 0.2,
        "p_plateau": 0.7,
        "p_declining": 0.1,
        "slope_pct_week": 0.01,
        "slope_low": -0.1,
        "slope_high": 0.1,
        "since": weeks_ago(10),
        "since_low": weeks_ago(14),
        "since_high": weeks_ago(6),
        "strength_kg": 100.0,
        "sessions": len(curve),
        "sessions_needed": None,
        "last_date": weeks_ago(curve[-1][0]),
        "context": [],
        "reason": None,
    } | changed
    status = pl.DataFrame(
        [row],
        schema_overrides={
            "strength_kg": pl.Float64,
            "sessions_needed": pl.Int32,
            "reason": pl.String,
        }
        | dict.fromkeys(("since", "since_low", "since_high"), pl.Date),
    )
    curves = pl.DataFrame(
        [
            {"client": "a", "exercise": "Row", "date": weeks_ago(week), "kind": "session",
             "observed_kg": shown, "high_kg": high, "load_kg": 80.0, "reps": 8, "rir": 1.0}
            for week, shown, high in curve
        ]
    )  # fmt: skip
    return with_standing(status, curves, END).row(0, named=True)


def test_standstill_is_dated_where_the_log_can_date_it() -> None:
    row = told()
    assert say.since(row) == "since about 11\u00a0Sep\u00a02026"
    assert not row["is_long"]
    assert not row["may_be_long"]


def test_standstill_as_old_as_can_be_told_has_no_date() -> None:
    row = told(since=OLDEST + dt.timedelta(weeks=3), since_low=OLDEST)
    assert row["since"] is None
    assert say.state_sentence(row).startswith("On a plateau for a year or longer (")


def test_standstill_that_may_be_older_says_so() -> None:
    assert say.since(told(since_low=OLDEST)).endswith("2026 or longer")


def test_standstill_since_the_first_session_is_older_than_the_log() -> None:
    row = told(curve=[(week, 100.0, 102.0) for week in range(10, -1, -1)])
    assert say.since(row) == "for as long as it is in the log"
    assert say.since(row | {"state": State.PROGRESSING}) == ""


def test_a_lift_that_may_have_moved_up_all_along_is_given_no_date() -> None:
    moving = told() | {"state": State.PROGRESSING}
    assert say.since(moving).startswith("since about")
    assert say.since(moving | {"since_low": moving["first_date"]}) == ""


@pytest.mark.parametrize(
    ("last_three", "runs_ahead"),
    [
        ([100.0, 104.0, 108.0], True),  # each better, and far above the band
        ([108.0, 104.0, 108.0], False),  # one good day
        ([100.0, 101.0, 104.0], False),  # within a day's variation of the band
    ],
)
def test_climb_that_the_line_does_not_follow(last_three: list[float], runs_ahead: bool) -> None:
    curve = [(week, 98.0, 102.0) for week in range(30, 2, -1)]
    row = told(curve=curve + [(2 - n, shown, 102.0) for n, shown in enumerate(last_three)])
    assert row["runs_ahead"] is runs_ahead
    assert (say.AHEAD in say.state_sentence(row)) is runs_ahead
    assert ("Change:" in say.state_sentence(row)) is not runs_ahead


def test_new_lift_has_no_state_and_says_how_many_sessions_it_has() -> None:
    row = told(
        curve=[(1, 100.0, 102.0), (0, 100.0, 102.0)], state=State.UNCLEAR.value, sessions_needed=9,
        reason="about 15 repetitions to failure are too many for a one-repetition maximum",
    )  # fmt: skip
    assert say.state_sentence(row) == (
        "Too new to tell: 2\u00a0sessions so far. About 9\u00a0more sessions would settle it."
    )


def test_even_odds_are_told_as_odds() -> None:
    row = told(state=State.UNCLEAR.value, p_progressing=0.5, p_plateau=0.4, sessions_needed=1)
    assert say.state_sentence(row) == (
        "Too even to tell: progressing 50\u00a0%, on a plateau 40\u00a0%, declining 10\u00a0%. "
        "About 1\u00a0more session would settle it."
    )


def test_unknown_body_mass_is_asked_for_by_name() -> None:
    row = told(
        strength_kg=None,
        reason="body mass is part of this load and is not known, so no kg are shown",
    )
    assert row["is_relative"]
    assert say.no_strength(row) == "body mass not known"
    (line,) = body_mass_lines(pl.DataFrame([row]))
    assert "Row" in line
    assert "--checkins" in line


def test_account_names_only_what_there_is() -> None:
    rows = {"rows": 20, "accepted": 20, "rejected": 0, "duplicates": 0, "blank": 0}
    assert account_line(rows) == "Every one of the 20 rows was read."
    assert account_line(rows | {"accepted": 17, "rejected": 2, "duplicates": 1}) == (
        "Of 20 rows, 17 were read; 2\u00a0rows could not be read and 1\u00a0row repeats another "
        "and was counted once."
    )


def test_line_that_lags_a_steep_climb_is_not_drawn() -> None:
    curves = pl.DataFrame(
        {
            "client": "a", "exercise": ["Row", "Row", "Dip"],
            "date": [weeks_ago(1), weeks_ago(-1), weeks_ago(1)],
            "kind": ["session", "forecast", "session"], "observed_kg": [110.0, None, 90.0],
            **{name: [100.0, 101.0, 90.0] for name in ("fitted_kg", "low_kg", "high_kg")},
            "context": ["light day or typing error", None, None],
        }
    )  # fmt: skip
    status = pl.DataFrame({"client": "a", "exercise": ["Row", "Dip"], "runs_ahead": [True, False]})
    dip, row = points_alone(curves, status).to_dicts()
    assert (dip["fitted_kg"], row["fitted_kg"]) == (90.0, None)
    assert (row["observed_kg"], row["context"]) == (110.0, None)


def levers(lifts: list[str], lever: Lever) -> list[dict[str, Any]]:
    return [{"exercise": lift, "rank": 1, "lever": lever.value} for lift in lifts]


def test_change_that_most_stuck_lifts_share_is_told_once() -> None:
    rows = levers(["Squat", "Row"], Lever.BACK_OFF) + levers(["Curl"], Lever.MORE_SETS)
    shared = shared_by_most(rows, ["Squat", "Row", "Curl"])
    assert [row["exercise"] for row in shared] == ["Squat", "Row"]
    assert shared_by_most(rows, ["Squat", "Row"]) == []  # two lifts are told one by one
    assert shared_by_most(levers(["Squat", "Row", "Curl"], Lever.MORE_SETS), ["Squat"]) == []
