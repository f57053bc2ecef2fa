"""The way in: files, folders, several of them, and what stands beside."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import polars as pl
import pytest

from plateline.errors import AmbiguousDateError, InputFileError, UsageError
from plateline.exercises import Logbook, read_log, read_logbook
from plateline.words import CHECKINS, CLIENTS, PLAN, SETS

TODAY = dt.date(2026, 5, 1)
LOG = (
    "client,date,exercise,set_order,load,reps\n"
    "007,2026-03-02,BB bench,1,100,5\n"
    "007,2026-03-09,BB bench,1,100,6\n"
    "007,2026-03-09,Bench press,2,90,8\n"
    "x,2026-03-09,Bench press,1,225,8\n"
)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    place = tmp_path / "logbook"
    place.mkdir()
    (place / "log.csv").write_text(LOG)
    (place / "clients.csv").write_text("client,unit,phase\n007,kg,lose\nx,lb,gain\n")
    (place / "checkins.csv").write_text("client,date,body_mass,unit\n007,2026-03-01,70,kg\n")
    (place / "plan.csv").write_text(
        "client,block,start,weeks,session,exercise,role,set_kind,sets,reps_low,reps_high,rir\n"
        "007,B,2026-03-02,4,A,bench,progression,top,1,8,10,1\n"
    )
    return place


def test_a_folder_is_read_whole(folder):
    book = read_logbook(folder, today=TODAY)
    assert isinstance(book, Logbook)
    assert dict(book.sets.schema) == SETS
    assert dict(book.clients.schema) == CLIENTS
    assert dict(book.checkins.schema) == CHECKINS
    assert dict(book.plan.schema) == PLAN
    assert {p.name for p in book.inputs} == {"log.csv", "clients.csv", "checkins.csv", "plan.csv"}


def test_client_ids_stay_text(folder):
    assert read_logbook(folder, today=TODAY).sets["client"].unique().sort().to_list() == [
        "007",
        "x",
    ]


def test_the_clients_file_gives_the_unit(folder):
    sets = read_logbook(folder, today=TODAY).sets
    assert sets.filter(client="x")["load_kg"].item() == pytest.approx(225 * 0.45359237)


def test_plan_and_log_carry_the_same_label(folder):
    book = read_logbook(folder, today=TODAY)
    assert book.sets.filter(client="007")["exercise"].unique().to_list() == ["BB bench"]
    assert book.plan["exercise"].to_list() == ["BB bench"]


def test_names_say_how_each_was_read(folder):
    names = read_logbook(folder, today=TODAY).names
    mine = names.filter(client="007").select("name", "rows").rows()
    assert sorted(mine) == [("BB bench", 2), ("Bench press", 1), ("bench", 0)]
    assert set(names["catalogue"]) == {"Bench press"}


def test_a_named_file_wins_over_the_folders(folder, tmp_path):
    other = tmp_path / "other.csv"
    other.write_text("client,unit\nx,kg\n")
    sets = read_logbook(folder, clients=other, today=TODAY).sets
    assert sets.filter(client="x")["load_kg"].item() == 225


def test_own_exercises_in_the_folder_are_used(folder):
    (folder / "exercises.csv").write_text("exercise,aliases,direct\nPress one,BB bench,chest\n")
    book = read_logbook(folder, today=TODAY)
    assert "Press one" in set(book.sets["exercise"])
    assert "Press one" in set(book.catalogue["exercise"])


def test_several_logs_merge_without_double_counting(folder, tmp_path):
    again = tmp_path / "again.csv"
    again.write_text(LOG)
    once, twice = read_logbook(folder, today=TODAY), read_logbook([folder, again], today=TODAY)
    assert twice.sets.height == once.sets.height
    assert twice.account["duplicates"] == 4


def test_read_log_is_the_clean_table(folder):
    assert read_log(folder, today=TODAY).equals(read_logbook(folder, today=TODAY).sets)


def test_without_companions_their_frames_are_empty(tmp_path):
    log = tmp_path / "log.csv"
    log.write_text("date,exercise,load,reps\n2026-03-02,Squat,100,5\n")
    book = read_logbook(log, client="me", today=TODAY)
    assert book.clients.is_empty()
    assert dict(book.plan.schema) == PLAN
    assert book.sets["client"].to_list() == ["me"]


def test_refusals_are_sentences(folder, tmp_path):
    with pytest.raises(InputFileError, match="no file or folder"):
        read_logbook(tmp_path / "nowhere")
    with pytest.raises(UsageError, match="No log was named"):
        read_logbook([])
    other = tmp_path / "second"
    other.mkdir()
    for place in (folder, other):
        (place / "log.csv").write_text(LOG)
        (place / "exercises.csv").write_text("exercise\nA\n")
    with pytest.raises(UsageError, match="Two exercises files"):
        read_logbook([folder, other], today=TODAY)


def test_the_order_of_columns_and_rows_is_settled(folder):
    sets = read_logbook(folder, today=TODAY).sets
    assert sets.columns == list(SETS)
    assert sets.equals(sets.sort("client", "date", maintain_order=True))
    assert sets.filter(pl.col("client") == "007")["reps"].to_list() == [5, 6, 8]


def test_one_bad_line_beside_the_log_leaves_the_rest_in_use(folder):
    (folder / "clients.csv").write_text("client,unit,phase\n007,kg,losing\nx,lb,sideways\n")
    (folder / "checkins.csv").write_text(
        "client,date,body_mass,unit,sleep\n007,2026-03-01,70,kg,5\n007,2026-03-02,70,kg,99\n"
    )
    with (folder / "plan.csv").open("a") as plan:
        plan.write("007,B,2026-03-02,4,A,squat,progression,top,1,12,10,1\n")
    book = read_logbook(folder, today=TODAY)
    rows = book.rejected.select("source_file", "source_line", "column", "value").rows()
    assert rows == [
        ("clients.csv", 3, "phase", "sideways"),
        ("checkins.csv", 3, "sleep", "99"),
        ("plan.csv", 3, "reps_low", "12"),
    ]
    assert book.rejected["reason"].str.contains("[;,.] .*(gain|number|swap|leave)").all()
    assert book.clients.select("client", "unit", "phase").rows() == [
        ("007", "kg", "lose"),
        ("x", "lb", None),
    ]
    assert (book.checkins.height, book.plan.height) == (1, 1)
    assert book.account["rejected"] == 0, "the account is that of the log"


def test_an_unknown_unit_of_a_client_is_refused(folder):
    (folder / "clients.csv").write_text("client,unit\n007,stone\n")
    with pytest.raises(InputFileError, match=r"clients.csv, client '007': .*kg or lb"):
        read_logbook(folder, today=TODAY)


def test_the_date_order_and_the_day_count_beside_the_log_too(folder):
    (folder / "checkins.csv").write_text("client,date,body_mass\n007,03/04/2026,70\n")
    with pytest.raises(AmbiguousDateError, match="--date-order"):
        read_logbook(folder, today=TODAY)
    assert read_logbook(folder, date_order="dmy", today=TODAY).checkins["date"].to_list() == [
        dt.date(2026, 4, 3)
    ]
    early = read_logbook(folder, date_order="dmy", today=dt.date(2026, 3, 31))
    assert early.checkins.is_empty()
    assert "future" in early.rejected["reason"][0]


def test_what_was_taken_for_granted_is_counted_by_client(tmp_path):
    log = tmp_path / "club.csv"
    log.write_text(
        "client,date,exercise,load,reps,rir\n"
        "ann,2026-03-02,Squat,100,5,1\nann,2026-03-04,Squat,225 lb,5,1\n"
        "bob,2026-03-02,Squat,80 lb,5,hard\nbob,2026-03-04,Squat,85 lb,5,2\n"
    )
    said = read_logbook(log, today=TODAY).assumptions
    ann = said.filter(client="ann")["assumption"].to_list()
    bob = said.filter(client="bob")["assumption"].to_list()
    assert [s for s in ann if "in lb" in s] == [
        "club.csv: 1 load in lb converted, 1 lb = 0.45359237 kg."
    ]
    assert [s for s in bob if "in lb" in s] == [
        "club.csv: 2 loads in lb converted, 1 lb = 0.45359237 kg."
    ]
    assert not any("hard" in s for s in ann)
    assert any("'hard'" in s for s in bob)
    total = read_logbook(log, today=TODAY).account["assumptions"]
    assert "club.csv: 3 loads in lb converted, 1 lb = 0.45359237 kg." in total
