from __future__ import annotations

from pathlib import Path

import polars as pl
import pytest

from plateline.study.validation import (
    ALL,
    VALIDATION,
    main,
    plateau_table,
    readme_table,
    validate,
)

METHODS = ("no new best", "regression", "equivalence", "plateline", "ceiling")


@pytest.fixture(scope="module")
def result():
    return validate(
        ("base", "no RIR"), methods=METHODS,
        lifters=30, delays=False, seed=77,
    )  # fmt: skip


def test_the_kit_lies_between_the_rule_and_the_ceiling(result) -> None:
    rows = {
        row["method"]: row["auc_progressing"]
        for row in result.figures.filter(pl.col("scenario") == ALL).iter_rows(named=True)
    }
    assert rows["no new best"] + 0.05 < rows["plateline"] < rows["ceiling"] + 0.02
    assert rows["regression"] < rows["plateline"]


def test_figures_are_complete(result) -> None:
    assert dict(result.figures.schema) == VALIDATION
    assert result.figures.height == 3 * len(METHODS)
    kit = result.figures.filter(pl.col("method") == "plateline")
    for column in ("brier", "calibration_error", "accuracy", "target_error_pct", "target_coverage"):
        assert kit[column].null_count() == 0
    assert kit["target_error_80_pct"].to_list() > kit["target_error_pct"].to_list()


def test_the_table_has_a_row_a_scenario(result) -> None:
    lines = readme_table(result.figures).splitlines()
    assert [line.split(" | ")[0] for line in lines[2:]] == ["| all scenarios", "| base", "| no RIR"]
    assert len({line.count("|") for line in lines}) == 1


@pytest.mark.slow
def test_the_command_prints_and_writes(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    pytest.importorskip("ruptures", reason="the change-point library is in the test group")
    assert main(["--lifters", "1", "--no-delays", "--out", str(tmp_path / "all.csv")]) == 0
    printed = capsys.readouterr().out
    assert "typing errors" in printed
    assert set(pl.read_csv(tmp_path / "all.csv")["method"]) == {
        "no new best", "regression", "equivalence", "change points", "plateline", "ceiling",
    }  # fmt: skip


def test_a_plateau_is_named_better_than_by_a_test_of_significance(result) -> None:
    rows = {
        row["method"]: row
        for row in result.figures.filter(pl.col("scenario") == ALL).iter_rows(named=True)
    }
    assert rows["equivalence"]["plateau_found"] < 0.2 < rows["regression"]["plateau_found"]
    assert rows["plateline"]["plateau_right"] > rows["regression"]["plateau_right"] + 0.1
    assert rows["plateline"]["plateau_found"] > 0.5
    lines = plateau_table(result.figures).splitlines()
    assert len(lines) == 2 + len(METHODS)
