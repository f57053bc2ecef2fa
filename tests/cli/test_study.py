"""`plateline study` as people call it."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import polars as pl
import pytest
from tests.study import groups

from plateline.study.models import EFFECTS
from plateline.study.simulate import write_log


def run(*arguments: object) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "plateline", "study", *map(str, arguments)],
        capture_output=True, text=True, timeout=280, check=False,
    )  # fmt: skip


@pytest.fixture(scope="module")
def club(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = groups.cohort(0.1, -0.1, lifters=40)
    folder = tmp_path_factory.mktemp("study") / "Zweibrücken club"
    folder.mkdir()
    write_log(made.sets, folder / "log.csv")
    made.clients.select("client", "training_age_years").write_csv(folder / "clients.csv")
    return folder


@pytest.mark.slow
def test_page_effects_and_blocks_are_written(club: Path, tmp_path: Path) -> None:
    done = run(club, "--out", tmp_path / "out")
    assert done.returncode == 0, done.stderr
    assert done.stderr == ""
    assert "40 lifters" in done.stdout
    files = {path.name for path in (tmp_path / "out").iterdir()}
    assert files == {"effects.csv", "blocks.csv", "study.html", "study.ipynb"}
    effects = pl.read_csv(tmp_path / "out" / "effects.csv")
    assert effects.columns == list(EFFECTS)
    assert effects["model"][0] == "within lifters"
    page = (tmp_path / "out" / "study.html").read_text("utf-8")
    assert "Rep zones compared" in page
    assert "chose their rep ranges themselves" in page
    assert "&lt;" not in page.split("<script")[0].replace("&lt;/", "")


@pytest.mark.slow
def test_pseudonymous_files_hold_no_original_id(club: Path, tmp_path: Path) -> None:
    key = tmp_path / "key"
    key.write_bytes(b"a key of more than sixteen bytes")
    out = tmp_path / "shared"
    done = run(club, "--out", out, "--pseudonymous", "--key", key)
    assert done.returncode == 0, done.stderr
    ids = groups.cohort(0.1, -0.1, lifters=40).sets["client"].unique().to_list()
    for path in out.iterdir():
        text = path.read_text("utf-8")
        assert "Zweibr" not in text
        assert str(club) not in text
        if path.suffix == ".csv":
            assert not any(f"{client}," in text for client in ids)
    dates = pl.read_csv(out / "blocks.csv", try_parse_dates=True)["start"]
    assert dates.min() < groups.cohort(0.1, -0.1, lifters=40).sets["date"].min()  # type: ignore[operator]


def test_a_key_without_pseudonyms_is_refused(club: Path, tmp_path: Path) -> None:
    done = run(club, "--out", tmp_path / "out", "--key", tmp_path / "key")
    assert done.returncode == 2
    assert done.stderr.strip() == "plateline: --key is for --pseudonymous; give both, or neither."
    assert not (tmp_path / "out").exists()


def test_blocks_by_plan_need_a_plan(club: Path, tmp_path: Path) -> None:
    done = run(club, "--out", tmp_path / "out", "--blocks", "plan")
    assert done.returncode == 2
    assert "need a plan file" in done.stderr
    assert not (tmp_path / "out").exists()


def test_a_log_too_small_for_a_study_is_told_so(tmp_path: Path) -> None:
    small = tmp_path / "log.csv"
    small.write_text("client,date,exercise,load,reps\nA,2026-01-05,Squat,100,5\n", "utf-8")
    done = run(small, "--out", tmp_path / "out")
    assert done.returncode == 1
    assert "at least 4 blocks" in done.stderr
    assert "Traceback" not in done.stderr
    assert not (tmp_path / "out").exists()


def test_a_log_that_is_not_there_is_refused(tmp_path: Path) -> None:
    done = run(tmp_path / "none.csv", "--out", tmp_path / "out")
    assert done.returncode == 2
    assert len(done.stderr.strip().splitlines()) == 1
