"""The account balances whatever the file looks like, and the two ways in agree."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import polars as pl
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from plateline.errors import PlatelineError
from plateline.log import Account, AccountError, Intake, read_intake
from plateline.log import intake as intake_module
from plateline.words import SETS

TODAY = dt.date(2026, 11, 25)
HEADER = "client,date,session,exercise,set_order,set_kind,superset,load,unit,reps,rir,rpe,side,rest_s,feel,note"

GOOD = {
    "client": ["anna", "007", ""], "date": ["2026-03-02", "2026-03-05"], "session": ["A", ""],
    "exercise": ["Squat", "Bench press"], "set_order": ["1", "2", ""], "set_kind": ["top", "working", ""],
    "superset": ["", "S1"], "load": ["100", "102.5", "0", "-20"], "unit": ["kg", "lb", ""],
    "reps": ["5", "12"], "rir": ["", "2", "0.5"], "rpe": ["", "8"], "side": ["", "left"],
    "rest_s": ["", "90"], "feel": ["", "4"], "note": ["", "fine"],
}  # fmt: skip
ODD = {
    "date": ["", "02.03.2026", "2026-13-01", "2030-01-01", "2 March 2026", "x"],
    "exercise": ["", "123", " Squat ", "Squ\u200bat", "A1. Squat", "B2 Row"],
    "set_order": ["W", "1.0", "?"],
    "set_kind": ["W", "Topsatz", "odd"],
    "load": ["", "BW", "BW+10", "225 lb", "102,5", "inf", "9999", "100x5", "abc", "1e2"],
    "unit": ["KG", "stone"],
    "reps": ["", "8-10", "10/8", "8+2", "12F", "-1", "2.5", "5,5,5", "3x10"],
    "rir": ["2 RIR", "hard", "99", "nan"],
    "rpe": ["9.5", "12", "@8"],
    "rest_s": ["1:30", "soon"],
    "feel": ["9"],
    "note": ["=1+1", " spaced "],
}


def row_of(odd_share: float) -> st.SearchStrategy[str]:
    cells = []
    for column, good in GOOD.items():
        choice = st.sampled_from(good)
        if odd_share and column in ODD:
            choice = st.one_of(choice, choice, st.sampled_from(ODD[column]))
        cells.append(choice.map(lambda t: f'"{t}"' if "," in t else t))
    return st.tuples(*cells).map(",".join)


MESS = st.sampled_from(["", ",,,", HEADER, "Total,,,,,,,500", "a,b", "# remark", '"open', "\t"])


def read(path: Path, text: str) -> Intake | None:
    path.write_text(text, encoding="utf-8", newline="")
    try:
        return read_intake(path, today=TODAY)
    except PlatelineError as refusal:
        assert str(refusal).endswith((".", ")")), str(refusal)  # noqa: PT017
        assert len(str(refusal)) < 1000  # noqa: PT017
        return None


def check(intake: Intake) -> None:
    account = intake.account
    parts = [account[k] for k in ("accepted", "rejected", "duplicates", "blank")]
    assert account["rows"] == sum(parts)  # type: ignore[arg-type]
    assert account["sets"] == intake.sets.height
    assert account["rejected"] == intake.rejected.height
    assert dict(intake.sets.schema) == {
        n: t() if isinstance(t, type) else t for n, t in SETS.items()
    }
    assert intake.sets["load_kg"].is_finite().all()
    assert intake.sets["reps"].is_between(1, 1000).all()
    assert intake.sets.select(pl.col("client", "date", "exercise").null_count()).row(0) == (0, 0, 0)
    assert intake.rejected["reason"].str.ends_with(".").all() or intake.rejected.height == 0


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "log.csv"


BOUNDED = settings(
    settings(),
    max_examples=max(60, settings().max_examples),
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)


@BOUNDED
@given(rows=st.lists(st.one_of(row_of(0.3), row_of(0.0), MESS), max_size=12))
def test_the_account_balances(path: Path, rows: list[str]) -> None:
    intake = read(path, "\n".join([HEADER, *rows]) + "\n")
    if intake is not None:
        check(intake)


@BOUNDED
@given(
    rows=st.lists(row_of(0.3), min_size=1, max_size=20),
    where=st.integers(0, 4000),
    what=st.binary(max_size=6),
)
def test_the_account_balances_on_mutilated_files(
    path: Path, rows: list[str], where: int, what: bytes
) -> None:
    data = "\n".join([HEADER, *rows]).encode()
    cut = where % len(data)
    path.write_bytes(data[:cut] + what + data[cut + len(what) :])
    try:
        check(read_intake(path, today=TODAY))
    except PlatelineError as refusal:
        assert str(refusal).endswith((".", ")"))  # noqa: PT017


@BOUNDED
@given(rows=st.lists(st.one_of(row_of(0.0), row_of(0.3)), min_size=1, max_size=8))
def test_both_ways_in_agree(path: Path, rows: list[str]) -> None:
    text = "\n".join([HEADER, *rows]) + "\n"
    fast = read(path, text)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(intake_module, "read_clean", lambda *_: None)
        careful = read(path, text)
    assert (fast is None) == (careful is None)
    # The careful way may carry a date down where many are missing; the fast way hands such
    # files over, so the two agree on every set and every refusal.
    if fast is not None and careful is not None and not _carried(careful):
        assert fast.sets.with_columns(pl.col("load_kg").round(9)).equals(
            careful.sets.with_columns(pl.col("load_kg").round(9))
        )
        assert fast.rejected.select("source_line", "column").equals(
            careful.rejected.select("source_line", "column")
        )
        assert {k: v for k, v in fast.account.items() if k != "assumptions"} == {
            k: v for k, v in careful.account.items() if k != "assumptions"
        }


def _carried(intake: Intake) -> bool:
    return any("written once for several rows" in s for s in intake.account["assumptions"])  # type: ignore[union-attr]


@BOUNDED
@given(data=st.binary(max_size=400))
def test_any_bytes_are_read_or_refused(path: Path, data: bytes) -> None:
    path.write_bytes(data)
    try:
        check(read_intake(path, today=TODAY))
    except PlatelineError as refusal:
        assert str(refusal)  # noqa: PT017


@BOUNDED
@given(
    text=st.text(
        alphabet=st.sampled_from("date,exercise load;reps\t|\n\"'0123456789x@kg./-=BWÄé\x00\u202e"),
        max_size=300,
    )
)
def test_any_text_below_a_header_is_read_or_refused(path: Path, text: str) -> None:
    intake = read(path, "date,exercise,load,reps\n" + text)
    if intake is not None:
        check(intake)


def test_an_account_that_does_not_balance_is_a_fault() -> None:
    with pytest.raises(AccountError, match="miscounted"):
        Account(rows=3, accepted=1, rejected=1)


def test_accounts_add_up_and_say_things_once() -> None:
    one = Account(rows=2, accepted=1, rejected=1, sets=1, assumptions=("a.",))
    both = Account.total([one, one], assumptions=["b."])
    assert both.as_dict() == {
        "rows": 4, "accepted": 2, "rejected": 2, "duplicates": 0, "blank": 0, "sets": 2, "assumptions": ["a.", "b."],
    }  # fmt: skip


def test_unit_precedence_is_cell_header_column_client_command(tmp_path: Path) -> None:
    def loads(header: str, rows: str, **kwargs: object) -> list[float]:
        path = tmp_path / "log.csv"
        path.write_text(f"{header}\n{rows}\n")
        return [round(x, 2) for x in read_intake(path, today=TODAY, **kwargs).sets["load_kg"]]  # type: ignore[arg-type]

    plain = "client,date,exercise,load,reps"
    row = "anna,2026-03-02,Squat,100,5"
    assert loads(plain, row) == [100]
    assert loads(plain, row, unit="lb") == [45.36]
    assert loads(plain, row, unit="kg", client_units={"anna": "lb"}) == [45.36]
    with_unit = "client,date,exercise,load,unit,reps"
    assert loads(with_unit, "anna,2026-03-02,Squat,100,kg,5", client_units={"anna": "lb"}) == [100]
    header = "client,date,exercise,load (lb),unit,reps"
    assert loads(header, "anna,2026-03-02,Squat,100,kg,5") == [45.36]
    assert loads(header, "anna,2026-03-02,Squat,100 kg,kg,5") == [100]


def test_a_large_file_is_read_in_pieces_as_whole(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from plateline.log import clean_chunks

    path = tmp_path / "log.csv"
    rows = [
        f"anna,2026-03-{1 + i % 28:02d},Squat,{i},{100 + i % 7 * 2.5},{5 if i % 50 else 'x'}"
        for i in range(400)
    ]
    path.write_text(
        "client,date,exercise,set_order,load,reps\n" + "\n".join(rows), encoding="utf-8"
    )
    whole = read_intake(path, today=TODAY)
    monkeypatch.setattr(clean_chunks, "CHUNK_BYTES", 1000)
    pieces = read_intake(path, today=TODAY)
    assert pieces.sets.equals(whole.sets)
    assert pieces.rejected.equals(whole.rejected)
    assert pieces.account == whole.account
    assert whole.account["rejected"] == 8


@pytest.mark.parametrize("blank", ["", " "])
def test_a_row_without_a_client_is_not_given_to_whoever_is_asked_for(
    path: Path, blank: str
) -> None:
    rows = ["anna,2026-03-02,Squat,100,5"] * 3 + [f"{blank},2026-03-02,Bench,60,8"]
    path.write_text("client,date,exercise,load,reps\n" + "\n".join([*rows, *rows[:3]]) + "\n")
    intake = read_intake(path, client="bob", today=TODAY)
    assert intake.sets["client"].unique().to_list() == ["anna"]
    assert intake.rejected.select("source_line", "column").rows() == [(5, "client")]


def test_a_reason_quotes_the_cell_as_it_was_written(path: Path) -> None:
    path.write_text(
        "date;exercise;weight;reps;sets\n2026-03-02;Squat;100;to failure;\n"
        "2026-03-02;Squat;100;5;3 sets\n"
    )
    intake = read_intake(path, today=TODAY)
    assert intake.rejected["reason"].str.starts_with("'to failure' is not a short form").all()
    assert intake.sets["reps"].to_list() == [5, 5, 5]


def test_an_odd_note_among_many_rows_without_one_costs_no_row(path: Path) -> None:
    rows = [
        f"2026-03-{1 + i % 28:02d},Squat,{100 + i},5,{' spaced ' if i == 7 else ''}"
        for i in range(200)
    ]
    path.write_text("date,exercise,load,reps,note\n" + "\n".join(rows) + "\n")
    intake = read_intake(path, today=TODAY)
    assert intake.account["accepted"] == 200
    assert intake.sets["note"].drop_nulls().to_list() == ["spaced"]
