"""Logs kept the way different people keep them, read in and compared set by set.

Every file of `logs/` is invented. What must come out of it was worked out by reading the file,
and stands in `expected/`: `sets.csv` has a line per set, `rows.csv` the account of every log and
the cells for which rows were refused.
"""

from __future__ import annotations

import csv
import datetime as dt
from pathlib import Path

import polars as pl
import pytest

from plateline.errors import AmbiguousDateError, InputFileError, MissingColumnError, UsageError
from plateline.log import read_intake

HERE = Path(__file__).parent
TODAY = dt.date(2026, 11, 25)
LOGS = sorted(p.name for p in (HERE / "logs").iterdir() if not p.name.startswith("refused_"))


def _rows(name: str) -> list[dict[str, str]]:
    with (HERE / "expected" / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def _shown(value: object) -> str:
    if value is None:
        return ""
    return f"{value:g}" if isinstance(value, float) else str(value)


@pytest.mark.parametrize("name", LOGS)
def test_every_set_comes_in_as_it_was_done(name: str) -> None:
    expected = [list(r.values())[1:] for r in _rows("sets.csv") if r["log"] == name]
    sets = read_intake(HERE / "logs" / name, today=TODAY).sets
    got = sets.select(
        "source_line", "client", "date", "exercise", "set_kind", pl.col("load_kg").round(3), "reps",
        "rir", "side", "flag",
    )  # fmt: skip
    assert [[_shown(v) for v in row] for row in got.iter_rows()] == expected


@pytest.mark.parametrize("name", LOGS)
def test_every_row_is_accounted_for(name: str) -> None:
    (expected,) = [r for r in _rows("rows.csv") if r["log"] == name]
    intake = read_intake(HERE / "logs" / name, today=TODAY)
    counts = {
        k: str(intake.account[k]) for k in ("rows", "accepted", "rejected", "duplicates", "blank")
    }
    assert counts == {k: expected[k] for k in counts}
    cells = [
        f"{line}:{column}"
        for line, column in intake.rejected.select("source_line", "column").iter_rows()
    ]
    assert " ".join(cells) == expected["rejected_cells"]
    assert intake.account["sets"] == intake.sets.height
    assert all(reason.endswith((".", ")")) for reason in intake.rejected["reason"])


@pytest.mark.parametrize(
    ("name", "error", "words"),
    [
        ("refused_ambiguous_dates.csv", AmbiguousDateError, ["03/04/2026", "--date-order"]),
        (
            "refused_mixed_orders.csv",
            AmbiguousDateError,
            ["25/03/2026", "03/26/2026", "--date-order"],
        ),
        ("refused_no_reps.csv", MissingColumnError, ["reps", "'Mood'", "--columns"]),
        ("refused_typos.csv", MissingColumnError, ["date", "'Dtae'"]),
        ("refused_no_header.csv", InputFileError, ["header", "date,exercise,load,reps"]),
        ("refused_shopping.txt", InputFileError, ["header", "milk"]),
        ("refused_no_date.csv", MissingColumnError, ["date", "--columns"]),
        ("refused_slashes.csv", MissingColumnError, ["load", "'Result'"]),
        ("refused_json.csv", InputFileError, ["header"]),
        ("refused_header_only.csv", InputFileError, ["no row of sets"]),
        ("refused_picture.csv", InputFileError, ["picture", "CSV"]),
        ("refused_zip.csv", InputFileError, ["zip", "Unpack"]),
        ("refused_empty.csv", InputFileError, ["empty"]),
        ("refused_dump.txt", InputFileError, ["names every value", "CSV"]),
        (
            "refused_names_and_values.log",
            InputFileError,
            ["names every value", "date,exercise,load,reps"],
        ),
        ("refused_list.yaml", InputFileError, ["names every value"]),
        ("refused_without_days.md", InputFileError, ["no date", "Squat 3x5 @ 100kg", "2026-03-25"]),
        ("refused_over_new_year.txt", AmbiguousDateError, ["'29 Dec'", "'2 Jan'", "2025", "year"]),
    ],
)
def test_what_is_no_log_is_refused_in_a_sentence(
    name: str, error: type[UsageError], words: list[str]
) -> None:
    with pytest.raises(error) as refusal:
        read_intake(HERE / "logs" / name, today=TODAY)
    assert all(word in str(refusal.value) for word in words)
    assert name in str(refusal.value)


def test_date_order_settles_what_the_file_leaves_open() -> None:
    path = HERE / "logs" / "refused_ambiguous_dates.csv"
    day_first = read_intake(path, date_order="dmy", today=TODAY).sets["date"].to_list()
    month_first = read_intake(path, date_order="mdy", today=TODAY).sets["date"].to_list()
    assert day_first == [dt.date(2026, 4, 3), dt.date(2026, 4, 5)]
    assert month_first == [dt.date(2026, 3, 4), dt.date(2026, 5, 4)]


def test_dates_that_do_not_fit_the_order_given_are_rejected() -> None:
    intake = read_intake(HERE / "logs" / "refused_mixed_orders.csv", date_order="dmy", today=TODAY)
    assert intake.sets["date"].to_list() == [dt.date(2026, 3, 25)]
    assert intake.rejected["value"].to_list() == ["03/26/2026"]


def test_assumptions_are_sentences() -> None:
    intake = read_intake(HERE / "logs" / "portuguese.csv", today=TODAY)
    assert (
        "portuguese.csv: day-first dates, because '16/03/2026' occurs."
        in intake.account["assumptions"]
    )


def test_a_column_map_settles_a_file_without_a_header() -> None:
    intake = read_intake(
        HERE / "logs" / "refused_no_header.csv",
        columns={"date": 1, "exercise": 2, "load": 3, "reps": 4},
        today=TODAY,
    )
    assert intake.sets.select("exercise", "load_kg", "reps").rows() == [("Squat", 100.0, 5)] * 2


def test_a_column_map_names_headers_that_are_not_known() -> None:
    intake = read_intake(
        HERE / "logs" / "refused_typos.csv",
        columns={"date": "Dtae", "exercise": "Exercsie", "load": "Weigth", "reps": "Rpes"},
        today=TODAY,
    )
    assert intake.sets.select("exercise", "load_kg", "reps").rows() == [("Squat", 100.0, 5)]


def test_the_columns_recognised_can_be_saved_and_read_again(tmp_path: Path) -> None:
    for name in (
        "german_sheet.csv",
        "us_month_first.csv",
        "unnumbered_pairs.csv",
        "wide_notebook.csv",
    ):
        path = HERE / "logs" / name
        first = read_intake(path, today=TODAY)
        saved = tmp_path / "columns.toml"
        saved.write_text(first.columns_toml, encoding="utf-8")
        again = read_intake(path, columns=saved, today=TODAY)
        assert again.sets.equals(first.sets), name


def test_a_folder_of_logs_is_read_whole(tmp_path: Path) -> None:
    for month in ("2026-03", "2026-04"):
        (tmp_path / f"{month}.csv").write_text(f"date,exercise,load,reps\n{month}-02,Squat,100,5\n")
    (tmp_path / "clients.csv").write_text("client,unit\nme,kg\n")
    intake = read_intake(tmp_path, today=TODAY)
    assert intake.sets["source_file"].to_list() == ["2026-03.csv", "2026-04.csv"]


def test_a_missing_file_is_named() -> None:
    with pytest.raises(InputFileError, match="no file nowhere"):
        read_intake("nowhere.csv")
