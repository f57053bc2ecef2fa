"""The facts around a month: breaks, reserve, whose a rejected row is, assumptions."""

from __future__ import annotations

import datetime as dt

import polars as pl

from plateline.report.facts import breaks, logged_in_month, reserve_logged, stretches, units_logged
from plateline.report.reading_facts import assumptions_by_client, rejected_by_client
from plateline.words import REJECTED

from .rows import MONTH


def sets(*rows: tuple[str, str], **columns: object) -> pl.DataFrame:
    frame = pl.DataFrame(
        {"client": [r[0] for r in rows], "date": [dt.date.fromisoformat(r[1]) for r in rows]}
    )
    return frame.with_columns(**{name: pl.lit(value) for name, value in columns.items()})


def test_a_gap_of_ten_days_is_a_break_and_nine_are_not() -> None:
    log = sets(
        ("a", "2026-03-01"),
        ("a", "2026-03-12"),
        ("a", "2026-03-30"),
        ("b", "2026-03-12"),
        ("b", "2026-03-22"),
        ("b", "2026-03-31"),
    )
    found = breaks(log, MONTH).to_dicts()
    assert found == [
        {
            "client": "a",
            "break_from": dt.date(2026, 3, 13),
            "break_to": dt.date(2026, 3, 29),
            "break_days": 17,
        }
    ]


def test_a_break_that_is_still_open_ends_with_the_month() -> None:
    found = breaks(sets(("a", "2026-03-05")), MONTH).row(0, named=True)
    assert (found["break_to"], found["break_days"]) == (dt.date(2026, 3, 31), 26)


def test_an_old_break_is_not_named_any_more() -> None:
    log = sets(
        ("a", "2026-01-02"),
        ("a", "2026-01-20"),
        *(("a", f"2026-02-{d:02d}") for d in (1, 9, 17, 25)),
        *(("a", f"2026-03-{d:02d}") for d in (4, 12, 20, 28)),
    )
    assert breaks(log, MONTH).is_empty()


def test_sessions_are_days() -> None:
    log = sets(("a", "2026-02-20"), ("a", "2026-03-02"), ("a", "2026-03-02"), ("a", "2026-03-04"))
    row = logged_in_month(log, MONTH).row(0, named=True)
    assert (row["sessions_month"], row["sets_month"], row["sessions_before"]) == (2, 3, 1)


def test_reserve_is_counted_over_sets_that_are_no_warm_ups() -> None:
    log = pl.DataFrame(
        {
            "client": ["a"] * 3,
            "date": [dt.date(2026, 3, 2)] * 3,
            "set_kind": ["warm-up", "top", "working"],
            "rir": [None, 1.0, None],
            "feel": [None, None, None],
            "rest_s": [None, None, None],
        }
    )
    assert reserve_logged(log, MONTH).row(0, named=True)["rir_share"] == 0.5


def rejected(*rows: tuple[str, int, str]) -> pl.DataFrame:
    return pl.DataFrame(
        [
            {
                "source_file": f,
                "source_line": n,
                "column": "reps",
                "value": "x",
                "reason": "r",
                "row": text,
            }
            for f, n, text in rows
        ],
        schema=REJECTED,
    )


LOG = pl.DataFrame(
    {
        "source_file": ["club.csv"] * 4 + ["ann.csv"],
        "source_line": [2, 3, 9, 10, 2],
        "client": ["ann", "ann", "bob", "bob", "ann"],
    },
    schema_overrides={"source_line": pl.Int64},
)


def owners(*rows: tuple[str, int, str]) -> list[str | None]:
    return rejected_by_client(rejected(*rows), LOG)["client"].to_list()


def test_a_rejected_row_belongs_to_the_one_client_of_its_file() -> None:
    assert owners(("ann.csv", 7, "2026-03-02,Squat,80,nine")) == ["ann"]


def test_a_rejected_row_belongs_to_the_client_it_names() -> None:
    assert owners(("club.csv", 6, "bob,2026-03-02,Squat,80,nine")) == ["bob"]
    assert owners(("club.csv", 6, '"bob";2026-03-02;Squat;80;nine')) == ["bob"]


def test_a_rejected_row_between_two_rows_of_one_client_is_that_clients() -> None:
    assert owners(("club.csv", 4, "???"), ("club.csv", 9, "???")) == [None, "bob"]


def test_a_row_of_a_file_without_sets_belongs_to_the_client_it_names() -> None:
    assert owners(("checkins.csv", 6, "bob,2026-03-02,99"), ("checkins.csv", 7, "?")) == [
        "bob",
        None,
    ]


def test_a_row_that_names_two_clients_is_nobodys_unless_its_neighbours_agree() -> None:
    assert owners(("club.csv", 6, "ann,with bob,bob,nine")) == [None]


def test_assumptions_that_name_somebody_else_are_kept_from_a_client() -> None:
    clients = pl.DataFrame(
        {"client": ["ann", "bo"], "name": ["Ann K.", None]}, schema_overrides={"name": pl.String}
    )
    said = [
        "Dates are read day first.",
        "Bare loads of bo are pounds.",
        "Ann K. has no unit.",
        "Body mass is in kg; robots were ignored.",
    ]
    given = assumptions_by_client(said, clients)
    assert given.filter(client="ann")["assumption"].to_list() == [said[0], said[2], said[3]]
    assert given.filter(client="bo")["assumption"].to_list() == [said[0], said[1], said[3]]
    frame = pl.DataFrame({"client": [None, "bo"], "assumption": [said[0], "2 loads are in lb."]})
    told = assumptions_by_client(frame, clients)
    assert told.rows() == [
        ("ann", said[0], True),
        ("bo", said[0], True),
        ("bo", "2 loads are in lb.", False),
    ]


def test_stretches_are_breaks_diets_and_changes_of_rep_range() -> None:
    log = sets(("a", "2026-01-05"), ("a", "2026-01-20"), ("a", "2026-03-01"), ("b", "2026-01-05"))
    weeks = [dt.date(2026, 1, 5) + dt.timedelta(weeks=n) for n in range(6)]
    readiness = pl.DataFrame(
        {
            "client": ["b"] * 6,
            "week": weeks,
            "is_losing_mass": [True, False, True, True, True, None],
        }
    )
    switches = pl.DataFrame(
        {
            "client": ["b"],
            "switch_date": [dt.date(2026, 2, 2)],
            "switch_reps_before": [8.0],
            "switch_reps_after": [17.5],
        }
    )
    found = stretches(log, readiness, switches)
    assert found.select("client", "start", "end", "label").rows() == [
        ("a", dt.date(2026, 1, 5), dt.date(2026, 1, 20), "break"),
        ("a", dt.date(2026, 1, 20), dt.date(2026, 3, 1), "break"),
        ("b", weeks[2], weeks[4] + dt.timedelta(days=6), "losing body mass"),
        ("b", dt.date(2026, 2, 2), dt.date(2026, 2, 8), "from here about 18 reps"),
    ]


def test_the_unit_of_the_log_is_seen_from_its_loads() -> None:
    pound = 0.45359237
    log = pl.DataFrame(
        {
            "client": ["lb"] * 4 + ["kg"] * 4 + ["none"],
            "load_kg": [
                *(pounds * pound for pounds in (135, 185, 187.5, 20)),
                *(100.0, 102.5, 61.25, 7.0),
                0.0,
            ],
        }
    )
    assert dict(units_logged(log).iter_rows()) == {"lb": "lb", "kg": "kg"}
