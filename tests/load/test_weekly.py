"""All weekly tables in one pass."""

from __future__ import annotations

import polars as pl
import pytest

import plateline.load as load
from plateline.errors import InputFileError, MissingColumnError, OutputError
from plateline.load.slices import of_some_clients
from plateline.study import simulate_lifters

from .rows import log, work


def test_one_pass_gives_what_each_function_gives():
    sets, _ = simulate_lifters(4, weeks=6, seed=3)
    tables = load.weekly_tables(sets)
    for name, table in tables.items():
        assert table.equals(getattr(load, name)(sets)), name


def test_clients_together_are_clients_alone():
    sets, _ = simulate_lifters(4, weeks=6, seed=4)
    together = load.weekly_tables(sets)
    for client in sets["client"].unique():
        alone = load.weekly_tables(sets.filter(pl.col("client") == client))
        for name, table in together.items():
            assert alone[name].equals(table.filter(pl.col("client") == client)), name


def test_parts_one_after_the_other_are_the_whole(monkeypatch, tmp_path):
    sets, _ = simulate_lifters(4, weeks=6, seed=4)
    whole = load.weekly_tables(sets)
    monkeypatch.setattr("plateline.load.bouts.PART_ROWS", 10)
    monkeypatch.setattr("plateline.load.lift_weeks.PART_ROWS", 10)
    assert load.weekly_muscles(sets).equals(whole["weekly_muscles"])
    places = load.write_weekly_tables(sets.lazy(), tmp_path)
    for name, table in load.weekly_tables(sets).items():
        assert table.equals(whole[name]), name
        assert pl.read_parquet(places[name]).equals(whole[name]), name


@pytest.mark.parametrize("in_order", [True, False])
def test_a_large_frame_is_summed_some_clients_at_a_time(monkeypatch, in_order):
    sets, _ = simulate_lifters(5, weeks=6, seed=8)
    sets = sets.sort("client", descending=not in_order, maintain_order=True)
    whole = load.weekly_tables(sets)
    alone = load.weekly_muscles(sets)
    monkeypatch.setattr("plateline.load.slices.WHOLE_SETS", 20)
    monkeypatch.setattr("plateline.load.slices.PART_SETS", 30)
    slices = list(of_some_clients(sets))
    assert (len(slices) > 2) is in_order
    assert pl.concat(slices).equals(sets)
    for name, table in load.weekly_tables(sets).items():
        assert table.equals(whole[name]), name
    assert load.weekly_muscles(sets).equals(alone)


def test_bands_can_be_ones_own():
    zones = (load.RepZone("few", 1, 8), load.RepZone("many", 9, None))
    bands = (load.Band("light", None, 0.5), load.Band("heavy", 0.5, None))
    sets = log(work("Bench press", 80, 8, rir=0.0), work("Bench press", 40, 12, rir=3.0))
    tables = load.weekly_tables(sets, zones=zones, bands=bands, efforts=bands)
    assert tables["rep_zones"]["zone"].to_list() == ["few", "many"]
    assert tables["effort"]["effort"].to_list() == ["light", "heavy"]  # RIR 0, and 3
    assert tables["intensity"]["band"].to_list() == ["light", "heavy"]  # 40 and 80 of 101.3


def test_a_scanned_file_is_as_good_as_a_frame(tmp_path):
    sets, _ = simulate_lifters(3, weeks=6, seed=5)
    sets.write_parquet(tmp_path / "sets.parquet")
    scanned = load.weekly_tables(pl.scan_parquet(tmp_path / "sets.parquet"))
    for name, table in load.weekly_tables(sets).items():
        assert scanned[name].equals(table), name


def test_columns_that_need_not_be_there():
    sets = log(work("Bench press", 80, 8)).select("client", "date", "exercise", "load_kg", "reps")
    assert load.weekly_load(sets)["hard_sets"].item() == 1.0


def test_a_missing_column_is_named():
    with pytest.raises(MissingColumnError, match=r"no column 'reps'; they have .*'load_kg'"):
        load.weekly_load(log(work("Bench press", 80, 8)).drop("reps"))


def test_something_that_is_no_frame_is_refused():
    with pytest.raises(InputFileError, match="must be a data frame"):
        load.weekly_load([1, 2, 3])


def test_a_folder_that_cannot_be_made_is_refused_and_left_as_it_was(tmp_path):
    taken = tmp_path / "tables"
    taken.write_text("mine")
    with pytest.raises(OutputError, match="The weekly tables cannot be written to"):
        load.write_weekly_tables(log(work("Squat", 100, 5)), taken)
    assert taken.read_text() == "mine"
