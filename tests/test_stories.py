"""The demo's stories, from its files to the results: what is true of them must be found.

`data_demo/truth.csv` holds the claims. They were written from the lifters' true strength, by
a model that shares nothing with the estimator.
"""

from __future__ import annotations

import csv
import datetime as dt
from typing import Any

import polars as pl
import pytest

from plateline import advice, fatigue
from plateline.exercises import Logbook
from plateline.places import data_demo
from plateline.report import ClientReport, Results, client_report
from plateline.trend import lift_status

AS_OF = dt.date(2026, 3, 31)
"""The last day of the demo's last full month, from which the claims look back."""

with (data_demo() / "truth.csv").open(encoding="utf-8", newline="") as _file:
    TRUTH = list(csv.DictReader(_file))


def claims(*kinds: str) -> Any:
    """Give one test for each claim of these kinds, named by its client and exercise."""
    rows = [row for row in TRUTH if row["claim"] in kinds]
    assert rows, kinds
    ids = [f"{r['client']}-{r['claim']}-{r['exercise'] or r['story']}" for r in rows]
    return pytest.mark.parametrize("claim", rows, ids=ids)


def day(text: str) -> dt.date:
    return dt.date.fromisoformat(text)


@pytest.fixture(scope="module")
def book(demo_logbook: Logbook) -> Logbook:
    return demo_logbook


@pytest.fixture(scope="module")
def status(book: Logbook) -> pl.DataFrame:
    return lift_status(
        book.sets, AS_OF, catalogue=book.catalogue, checkins=book.checkins,
        clients=book.clients, plan=book.plan,
    )  # fmt: skip


@pytest.fixture(scope="module")
def levers(book: Logbook, status: pl.DataFrame) -> pl.DataFrame:
    sets = book.sets.filter(pl.col("date") <= AS_OF)
    return advice.levers(
        status, sets=sets, catalogue=book.catalogue, clients=book.clients, plan=book.plan,
        readiness=fatigue.readiness(sets, book.checkins, book.clients), as_of=AS_OF,
    )  # fmt: skip


@pytest.fixture(scope="module")
def results(demo_results: Results) -> Results:
    assert demo_results.month == AS_OF.replace(day=1)
    return demo_results


@pytest.fixture
def report(results: Results, claim: dict[str, str]) -> ClientReport:
    """Give the page of the client whom the claim is about."""
    return client_report(results, claim["client"])


def words(shown: object) -> str:
    return repr(shown).replace("\u00a0", " ")


def lift(table: pl.DataFrame, claim: dict[str, str]) -> pl.DataFrame:
    found = table.filter(client=claim["client"], exercise=claim["exercise"])
    assert not found.is_empty(), f"{claim['exercise']} of {claim['client']} is missing"
    return found


def test_all_kinds_of_claims_are_checked_here():
    checked = {
        "state", "not_state", "since", "context", "lever", "has_lever", "not_lever",
        "body_mass_pct_week", "no_sessions", "rir_logged", "rejected", "duplicates",
        "adherence", "slope_pct_week",
    }  # fmt: skip
    assert {row["claim"] for row in TRUTH} == checked


@claims("state")
def test_the_state_is_found(status, claim):
    row = lift(status, claim).row(0, named=True)
    assert row["state"] == claim["value"], claim["sentence"]
    assert row[f"p_{claim['value']}"] > 0.5


@claims("not_state")
def test_what_only_looks_like_it_is_not_called_so(status, claim):
    row = lift(status, claim).row(0, named=True)
    assert row["state"] != claim["value"], claim["sentence"]


@claims("since")
def test_the_start_is_dated(status, claim):
    row = lift(status, claim).row(0, named=True)
    assert day(claim["from"]) <= row["since"] <= day(claim["to"])
    assert row["since_low"] <= day(claim["value"]) <= row["since_high"]


@claims("context")
def test_what_stands_beside_the_state_is_named(status, claim):
    assert claim["value"] in lift(status, claim)["context"].item()


@claims("lever")
def test_the_first_lever_is_what_a_coach_would_pull(levers, claim):
    first = lift(levers, claim).filter(rank=1)
    assert set(first["lever"]) == {claim["value"]}, claim["sentence"]


@claims("has_lever")
def test_a_lever_is_among_those_named(levers, claim):
    assert claim["value"] in lift(levers, claim)["lever"].to_list(), claim["sentence"]


@claims("not_lever")
def test_a_lever_is_not_among_those_named(levers, claim):
    assert claim["value"] not in lift(levers, claim)["lever"].to_list(), claim["sentence"]


def test_the_swap_is_to_the_lift_that_was_felt_well(levers):
    mine = levers.filter(client="teo", exercise="Bench press", lever="variant")
    assert set(mine["substitute"]) == {"Dumbbell bench press"}
    assert mine["substitute_feel"].min() > 4


@claims("body_mass_pct_week")
def test_body_mass_is_followed(book, claim):
    trend = fatigue.body_mass_trend(book.checkins, book.clients).filter(client=claim["client"])
    last = trend.filter(pl.col("date") <= AS_OF).sort("date").row(-1, named=True)
    assert last["slope_low"] <= float(claim["value"]) <= last["slope_high"]
    assert last["slope_pct_week"] == pytest.approx(float(claim["value"]), abs=0.3)
    before = trend.filter(pl.col("date") < day(claim["from"])).sort("date").row(-1, named=True)
    assert before["slope_pct_week"] > -0.3


@claims("no_sessions")
def test_the_layoff_is_in_the_log(book, claim):
    inside = pl.col("date").is_between(day(claim["from"]), day(claim["to"]))
    assert book.sets.filter(client=claim["client"]).filter(inside).height == int(claim["value"])


@claims("rir_logged")
def test_who_never_logs_rir_has_none(book, claim):
    logged = book.sets.filter(client=claim["client"])["rir"].count()
    assert logged == int(claim["value"])


@claims("rejected")
def test_unreadable_lines_are_kept_with_their_reason(book, claim):
    mine = book.rejected.filter(pl.col("row").str.contains(claim["client"]))
    assert mine.height == book.account["rejected"] == int(claim["value"])
    assert set(mine["column"]) == {"reps", "load"}
    assert mine["reason"].str.len_chars().min() > 10
    lines = (data_demo() / "log.csv").read_text(encoding="utf-8").splitlines()
    for row in mine.iter_rows(named=True):
        assert row["value"] in lines[row["source_line"] - 1]


@claims("duplicates")
def test_the_month_that_stands_twice_is_counted_once(book, claim):
    assert book.account["duplicates"] == int(claim["value"])
    month = pl.col("date").is_between(day(claim["from"]), day(claim["to"]))
    mine = book.sets.filter(client=claim["client"]).filter(month)
    assert mine.height == int(claim["value"])
    assert mine.select("date", "session", "set_order").is_unique().all()


def test_every_row_is_accounted_for(book):
    account = book.account
    parts = ("accepted", "rejected", "duplicates", "blank")
    assert account["rows"] == sum(account[part] for part in parts)
    lines = (data_demo() / "log.csv").read_text(encoding="utf-8").count("\n")
    assert account["rows"] == lines - 1


@claims("adherence")
def test_the_light_week_is_a_block_of_the_plan(book, claim):
    block = book.plan.filter(client=claim["client"], start=day(claim["from"]))
    assert block["weeks"].unique().to_list() == [1]
    assert block["rir"].min() >= 3


def test_true_slopes_lie_in_the_intervals(status):
    """90 % intervals; of the progression lifts of one club at least four in five must hold."""
    rows = pl.DataFrame([row for row in TRUTH if row["claim"] == "slope_pct_week"]).unique(
        ["client", "exercise"]
    )
    truth = rows.select("client", "exercise", true=pl.col("value").cast(pl.Float64))
    both = truth.join(status, on=["client", "exercise"], how="left")
    assert both["slope_low"].null_count() == 0
    inside = both.filter(pl.col("true").is_between("slope_low", "slope_high"))
    assert inside.height / both.height >= 0.8, both.select(
        "client", "exercise", "true", "slope_low", "slope_high"
    ).filter(~pl.col("true").is_between("slope_low", "slope_high"))


def test_no_lift_is_called_the_opposite_of_what_it_is(status):
    """None of the lifts that truly climb is called declining, and none the other way round."""
    opposite = {"progressing": "declining", "declining": "progressing"}
    for row in TRUTH:
        if row["claim"] != "slope_pct_week":
            continue
        slope = float(row["value"])
        if abs(slope) < 0.2:
            continue
        true = "progressing" if slope > 0 else "declining"
        assert lift(status, row)["state"].item() != opposite[true], row["sentence"]


# What the first screen of each page says ----------------------------------------------------


@claims("state")
def test_the_first_screen_tells_the_state(report, claim):
    said, name = words(report.opening()), claim["exercise"]
    told = {
        "plateau": f"{name} has not moved" in said,
        "declining": f"{name} is down" in said,
        "progressing": "moving up" in said or "is up" in said,
    }
    assert told[claim["value"]], said
    if claim["value"] == "progressing":
        # What climbs is not named among what stands still or falls.
        assert name not in said.split("moving up.")[1]


@claims("since")
def test_the_first_screen_tells_since_when(report, status, claim):
    since = lift(status, claim)["since"].item()
    assert f"since about {since.day} {since:%b}" in words(report.opening())


@claims("not_state")
def test_the_first_screen_calls_no_light_week_a_decline(report, claim):
    said = words(report.opening())
    assert f"{claim['exercise']} is down" not in said
    assert "falling" not in said.split("Decision.")[1]


BESIDE = {
    "diet phase": "Body mass is falling 0.9 % a week",
    "deload": "23 to 29 Mar was a planned deload",
    "layoff": "There was no session from 7 to 22 Feb (16 days)",
    "rep-range switch": "changed rep range about",
}


@claims("context")
def test_the_first_screen_tells_what_stands_beside(report, claim):
    assert BESIDE[claim["value"]] in words(report.opening())


@claims("rir_logged", "rejected", "duplicates")
def test_the_first_screen_owns_up_to_gaps_in_the_log(report, claim):
    said = words(report.opening())
    assert {
        "rir_logged": "Reps in reserve are not written down",
        "rejected": "Two rows could not be read",
        "duplicates": f"{claim['value']} rows that repeat others were counted once",
    }[claim["claim"]] in said


SUGGESTED = {
    "variant": (
        "Change one thing about Bench press: swap it for Dumbbell bench press",
        "One swap: ",
    ),
    "food and sleep": ("Slow the loss",),
    "leave alone": ("None",),
}


@claims("lever")
def test_the_decision_is_what_a_coach_would_say(report, claim):
    decision = words(report.opening()).split("Decision. ")[1]
    assert any(text in decision for text in SUGGESTED[claim["value"]]), decision
    if claim["value"] == "leave alone":
        assert claim["exercise"] not in decision
        moving = words(report.next_month()).split("Leave alone what moves: ")[1]
        assert claim["exercise"] in moving or moving.startswith("all ")
    else:
        assert claim["exercise"] in decision


@claims("has_lever")
def test_further_levers_stand_under_next_month(report, claim):
    said = words(report.next_month())
    assert {
        "rep range": "Train it for 12 to 15 reps, not 8 to 10",
        "fewer sets": "hard sets a week for quadriceps, not the usual 9",
        "log better": "Reps in reserve",
    }[claim["value"]] in said + words(report.data_notes())


def test_each_story_asks_for_something_else(results):
    decisions = {
        client: words(client_report(results, client).opening()).split("Decision. ")[1]
        for client in results.clients
    }
    assert len(set(decisions.values())) == len(decisions)
