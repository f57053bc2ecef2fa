"""A partitioned logbook read in parts is the one that is read whole."""

from __future__ import annotations

import shutil

import polars as pl
import pytest

from plateline.errors import InputFileError, NoResultError
from plateline.exercises import read_logbook
from plateline.exercises.store_parts import open_store
from plateline.log import add_to_logbook, read_intake
from plateline.places import data_demo
from plateline.report.sentences_data import rows_line

BESIDE = {name: data_demo() / f"{name}.csv" for name in ("clients", "checkins", "plan")}


@pytest.fixture(scope="module")
def club(tmp_path_factory):
    place = tmp_path_factory.mktemp("store") / "club"
    add_to_logbook(read_intake([data_demo() / "log.csv"]), place)
    return place


def test_parts_are_what_the_whole_holds_of_them(club):
    whole = read_logbook([club], **BESIDE)
    store = open_store(club, **BESIDE)
    assert store.clients == sorted(whole.sets["client"].unique())
    for chosen in (store.clients[:1], store.clients[2:5], store.clients):
        part = store.part(chosen).read()
        for name in ("sets", "clients", "checkins", "plan", "names"):
            expected = getattr(whole, name).filter(pl.col("client").is_in(chosen))
            assert getattr(part, name).equals(expected), name


def test_what_was_left_out_before_is_told_to_be_unknown(club):
    """The demo has rows that cannot be read and rows that repeat others; the sets kept have none."""
    whole, part = read_logbook([club]), open_store(club).part(["omar"]).read()
    said = "what they rejected, counted once or converted is told by their own"
    for logbook in (whole, part):
        assert logbook.duplicates is None
        assert said in "\n".join(logbook.assumptions["assumption"])
    assert "not known" in rows_line(0, whole.duplicates)


def test_first_and_last_days_are_those_of_the_sets(club):
    sets = read_logbook([club]).sets
    for member in open_store(club).members:
        days = sets.filter(client=member.client)["date"]
        assert (member.first, member.last) == (days.min(), days.max())
        assert member.size > 0


def test_files_that_stand_in_the_folder_are_found(club, tmp_path):
    place = tmp_path / "club"
    shutil.copytree(club, place)
    shutil.copy(data_demo() / "clients.csv", place)
    assert open_store(place).part(["007"]).read().clients["client"].to_list() == ["007"]


def test_a_damaged_file_is_named(club, tmp_path):
    place = tmp_path / "club"
    shutil.copytree(club, place)
    broken = next(place.glob("mara/*.parquet"))
    broken.write_bytes(b"no parquet")
    store = open_store(place)
    store.part(["007"]).read()
    with pytest.raises(InputFileError, match=r"mara.*which plateline did not write"):
        store.part(["mara", "007"]).read()


def test_a_file_of_another_name_is_named(club, tmp_path):
    place = tmp_path / "club"
    shutil.copytree(club, place)
    stray = next(place.glob("mara/*.parquet"))
    stray.rename(stray.with_name("copy.parquet"))
    with pytest.raises(InputFileError, match=r"copy\.parquet, which plateline did not write"):
        open_store(place)


def test_a_folder_without_clients_is_said(tmp_path):
    with pytest.raises(NoResultError, match="holds no client"):
        open_store(tmp_path)
