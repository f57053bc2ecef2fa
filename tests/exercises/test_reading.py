"""The way in: files, folders, several of them, and what stands beside."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import polars as pl
import pytest

from plateline.errors import InputFileError, UsageError
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
