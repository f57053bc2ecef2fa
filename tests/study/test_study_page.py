"""The scientist's page, piece by piece, and the two ways to read a log."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import polars as pl
import pytest

from plateline.charts import Figure
from plateline.errors import OutputError
from plateline.exercises import read_logbook
from plateline.log import add_to_logbook, read_intake
from plateline.report.blocks import Block
from plateline.report.study_files import _write
from plateline.report.study_page import study_page
from plateline.report.study_source import studied
from plateline.study.simulate import write_log
from plateline.study.study import run_study

from . import groups

PIECES = (
    "opening", "compared", "models", "dose", "other_exposures", "people", "naive", "exchange",
    "sensitivity", "power", "caveats", "method",
)  # fmt: skip


@pytest.fixture(scope="module")
def study():
    return groups.studied()


@pytest.mark.parametrize("piece", PIECES)
def test_every_piece_can_be_shown(study, piece: str) -> None:
    shown = getattr(study_page(study), piece)()
    assert isinstance(shown, (Block, Figure))
    assert len(repr(shown)) > 30


@pytest.mark.parametrize("piece", PIECES)
def test_every_piece_says_so_where_there_is_too_little(study, piece: str) -> None:
    from dataclasses import replace

    bare = replace(
        study,
        effects=study.effects.clear(),
        differences=study.differences.clear(),
    )
    shown = getattr(study_page(bare), piece)()
    assert isinstance(shown, (Block, Figure))
    assert "None" not in repr(shown)


def test_a_saved_study_makes_the_same_page(study, tmp_path: Path) -> None:
    study.save(tmp_path)
    one, other = study_page(study), study_page(tmp_path)
    assert repr(one.opening()) == repr(other.opening())
    assert repr(one.compared()) == repr(other.compared())


def test_a_partitioned_logbook_gives_the_study_of_its_log(tmp_path: Path, monkeypatch) -> None:
    """Streamed in many portions: the same blocks and effects as the log read whole."""
    made = groups.cohort(lifters=12)
    write_log(made.sets, tmp_path / "log.csv")
    store = tmp_path / "store"
    add_to_logbook(read_intake([tmp_path / "log.csv"]), store)
    monkeypatch.setattr("plateline.report.parts.MOST_SETS", 2_500)
    streamed = studied([store])
    whole = run_study(read_logbook(tmp_path / "log.csv"))
    key = ["client", "exercise", "block"]
    assert streamed.blocks.sort(key).equals(whole.blocks.sort(key))
    assert streamed.effects["effect_pct_week"].to_list() == pytest.approx(
        whole.effects["effect_pct_week"].to_list(), abs=1e-9, nan_ok=True
    )
    assert streamed.facts["sets"] == whole.facts["sets"] == made.sets.height


def test_a_streamed_logbook_can_be_pseudonymous(tmp_path: Path) -> None:
    made = groups.cohort(lifters=12)
    stopped = made.sets["client"].unique().sort().head(3).implode()
    early = pl.col("date") < made.sets["date"].max() - dt.timedelta(days=60)  # type: ignore[operator]
    write_log(made.sets.filter(early | ~pl.col("client").is_in(stopped)), tmp_path / "log.csv")
    add_to_logbook(read_intake([tmp_path / "log.csv"]), tmp_path / "store")
    hidden = studied([tmp_path / "store"], key=b"a key of more than sixteen bytes")
    # who had stopped is told by the true calendar, though every client's dates moved differently
    assert hidden.facts["still_logging_share"] == pytest.approx(9 / 12)
    assert hidden.facts["pseudonymous"]
    assert not set(hidden.blocks["client"]) & set(made.sets["client"])
    assert hidden.blocks["client"].str.starts_with("p-").all()


def test_an_output_place_that_is_a_file_is_refused(study, tmp_path: Path) -> None:
    for end in ("html", "ipynb"):
        (tmp_path / f"study.{end}").write_text("x", encoding="utf-8")
    (tmp_path / "out").write_text("a file", encoding="utf-8")
    with pytest.raises(OutputError, match="cannot be written to"):
        _write(tmp_path / "out", study, tmp_path)


def test_a_failed_write_leaves_nothing(study, tmp_path: Path) -> None:
    for end in ("html", "ipynb"):
        (tmp_path / f"study.{end}").write_text("x", encoding="utf-8")
    out = tmp_path / "out"
    (out / "study.html").mkdir(parents=True)  # a folder stands where the page should go
    with pytest.raises(OutputError):
        _write(out, study, tmp_path)
    assert not list(out.glob(".part-*"))


def test_effects_are_readable_by_any_table_program(study) -> None:
    text = study.effects.write_csv()
    assert pl.read_csv(text.encode()).height == study.effects.height
    assert not any(line.startswith(("=", "+", "@")) for line in text.splitlines())
