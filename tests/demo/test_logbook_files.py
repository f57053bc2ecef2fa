"""The demo logbook: the same bytes every time, small, within the contracts, told truly."""

from __future__ import annotations

import csv
import io
import os
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from plateline.cli.demo import command
from plateline.demo import demo_files, logbook_files, write_demo
from plateline.demo.club import CLUB
from plateline.errors import OutputError
from plateline.places import data_demo

MOST_BYTES = 2_000_000


@pytest.fixture(scope="module")
def files() -> dict[str, bytes]:
    return demo_files()


@pytest.fixture
def made_before(files, monkeypatch):
    """Spare tests of writing another making of what they write."""
    monkeypatch.setattr(logbook_files, "demo_files", lambda: files)


def table(content: bytes) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(content.decode("utf-8"))))


def test_it_is_what_ships_byte_for_byte(files):
    for name, content in files.items():
        assert (data_demo() / name).read_bytes() == content, name


def test_nothing_else_ships_beside_it(files):
    assert {p.name for p in data_demo().iterdir()} == set(files)


def test_it_is_the_same_in_another_process_with_another_hash_seed(files):
    code = (
        "import hashlib; from plateline.demo import demo_files;"
        "print(hashlib.sha256(b''.join(demo_files().values())).hexdigest())"
    )
    import hashlib

    env = os.environ | {"PYTHONHASHSEED": "99"}
    said = subprocess.run(
        [sys.executable, "-c", code], env=env, capture_output=True, text=True, check=True
    )
    assert said.stdout.strip() == hashlib.sha256(b"".join(files.values())).hexdigest()


def test_it_is_small(files):
    assert sum(map(len, files.values())) <= MOST_BYTES


def test_eight_clients_one_with_leading_zeros_two_in_pounds(files):
    clients = table(files["clients.csv"])
    assert len(clients) == 8
    assert "007" in {c["client"] for c in clients}
    assert sorted(c["unit"] for c in clients) == ["kg"] * 6 + ["lb"] * 2


def test_it_lasts_about_nine_months_and_goes_on_after_the_last_full_one(files):
    dates = sorted(row["date"] for row in table(files["log.csv"]))
    assert dates[0].startswith("2025-07") or dates[0] == "2025-06-30"
    assert dates[-1].startswith("2026-04")


def test_every_story_has_claims_and_a_sentence(files):
    truth = table(files["truth.csv"])
    stories = {row["story"] for row in truth if row["is_main"] == "1"}
    assert {row["client"] for row in truth if row["is_main"] == "1"} == {c.id for c in CLUB}
    assert len(stories) == 8
    assert all(row["sentence"].endswith(".") for row in truth)


def test_claims_name_lifts_that_are_in_the_log(files):
    logged = {(row["client"], row["exercise"]) for row in table(files["log.csv"])}
    for row in table(files["truth.csv"]):
        if row["exercise"]:
            assert (row["client"], row["exercise"]) in logged, row


def test_loads_are_on_each_lifts_own_steps(files):
    for row in table(files["log.csv"]):
        if row["client"] == "dale" and row["exercise"] == "Flat bench":
            assert float(row["load"]) % 5 == 0


def test_write_demo_writes_all_files_and_leaves_nothing_aside(tmp_path, made_before):
    out = tmp_path / "new" / "demo"
    written = write_demo(out)
    assert sorted(p.name for p in out.iterdir()) == sorted(p.name for p in written)


def test_writing_again_replaces_the_files(tmp_path, files, made_before):
    (tmp_path / "log.csv").write_text("old")
    write_demo(tmp_path)
    assert (tmp_path / "log.csv").read_bytes() == files["log.csv"]


def test_an_output_that_cannot_be_written_is_refused(tmp_path):
    (tmp_path / "file").write_text("x")
    with pytest.raises(OutputError, match="cannot be written"):
        write_demo(tmp_path / "file" / "demo")


def test_the_command_says_what_it_wrote(tmp_path, made_before):
    said = CliRunner().invoke(command, ["--out", str(tmp_path / "d")])
    assert said.exit_code == 0
    assert "log.csv" in said.output
    assert {p.name for p in (tmp_path / "d").iterdir()} >= {"log.csv", "truth.csv"}


def test_the_command_without_out_is_refused():
    said = CliRunner().invoke(command, [])
    assert said.exit_code == 2
    assert "--out" in said.output


def test_the_room_needs_nothing_but_the_standard_library():
    code = (
        "import sys; import plateline.demo.logbook_files;"
        "print([m for m in ('numpy', 'polars', 'pandas', 'scipy') if m in sys.modules])"
    )
    said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert said.stdout.strip() == "[]"


def test_places_finds_the_folder_that_ships():
    assert isinstance(data_demo(), Path)
