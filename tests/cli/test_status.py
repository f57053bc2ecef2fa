"""`plateline status` and `plateline targets` from the outside: files, sentences, exit status."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from tests.calling import here

STATUS = (
    "client,exercise,state,p_progressing,p_plateau,p_declining,slope_pct_week,slope_low,"
    "slope_high,since,e1rm_kg,e1rm_low,e1rm_high,sessions,last_date"
)
TARGETS = "client,exercise,reps,rir,load_kg,load_low,load_high"


@pytest.fixture
def log(tmp_path: Path) -> Path:
    rows = ["client,date,exercise,load,unit,reps,rir"]
    for week in range(20):
        for client, step in (("007", 0.5), ("ann", 0.0)):
            load = 80 + step * week
            rows.append(
                f"{client},2026-{1 + week // 4:02d}-{1 + 7 * (week % 4):02d},Squat,{load},kg,8,2"
            )
    path = tmp_path / "log.csv"
    path.write_text("\n".join(rows) + "\n", encoding="utf-8")
    return path


def rows_of(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_a_row_per_lift_with_the_contracts_columns(log, tmp_path):
    done = here("status", log, "--as-of", "2026-05-22", "--out", "s.csv", cwd=tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    assert "2 lifts at 2026-05-22" in done.stdout
    assert (tmp_path / "s.csv").read_text(encoding="utf-8").splitlines()[0] == STATUS
    first, second = rows_of(tmp_path / "s.csv")
    assert (first["client"], second["client"]) == ("007", "ann")
    assert (first["state"], second["state"]) == ("progressing", "plateau")
    total = sum(float(first[name]) for name in ("p_progressing", "p_plateau", "p_declining"))
    assert total == pytest.approx(1, abs=2e-4)
    assert not list(tmp_path.glob(".*part"))


def test_the_last_day_of_the_log_is_the_default(log, tmp_path):
    done = here("status", log, cwd=tmp_path)
    assert "2026-05-22" in done.stdout
    assert (tmp_path / "status.csv").exists()


def test_only_one_client_of_a_log_without_the_column(log, tmp_path):
    text = log.read_text(encoding="utf-8")
    lines = [line.split(",", 1)[1] for line in text.splitlines() if not line.startswith("ann")]
    plain = tmp_path / "plain.csv"
    plain.write_text("\n".join(lines) + "\n", encoding="utf-8")
    done = here("status", plain, "--client", "bo", "--out", "s.csv", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    assert [row["client"] for row in rows_of(tmp_path / "s.csv")] == ["bo"]


def test_a_load_per_lift(log, tmp_path):
    done = here(
        "targets",
        log,
        "--as-of",
        "2026-05-22",
        "--reps",
        8,
        "--rir",
        2,
        "--out",
        "t.csv",
        cwd=tmp_path,
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert (tmp_path / "t.csv").read_text(encoding="utf-8").splitlines()[0] == TARGETS
    first = rows_of(tmp_path / "t.csv")[0]
    assert float(first["load_low"]) < float(first["load_kg"]) < float(first["load_high"])
    assert float(first["load_kg"]) == pytest.approx(90, rel=0.06)


@pytest.mark.parametrize(
    ("arguments", "sentence", "status"),
    [
        (["status", "none.csv"], "none.csv", 2),
        (["status", "log.csv", "--as-of", "31.3.2026"], "is not a date", 2),
        (["status", "log.csv", "--as-of", "2025-01-01"], "the log starts on 2026-01-01", 1),
        (["targets", "log.csv", "--rir", "2"], "--reps", 2),
        (["targets", "log.csv", "--reps", "0", "--rir", "2"], "0", 2),
        (["status", "log.csv", "--out", "log.csv/s.csv"], "cannot be written", 2),
    ],
)
def test_refusals_are_one_sentence_and_leave_nothing(log, tmp_path, arguments, sentence, status):
    before = sorted(p.name for p in tmp_path.iterdir())
    done = here(*arguments, cwd=tmp_path)
    assert done.returncode == status, done.stderr
    assert sentence in done.stderr
    assert "Traceback" not in done.stderr
    assert sorted(p.name for p in tmp_path.iterdir()) == before


def test_help_shows_an_example(tmp_path):
    for name in ("status", "targets"):
        done = here(name, "--help", cwd=tmp_path)
        assert f"Example:  plateline {name} data_demo" in done.stdout
