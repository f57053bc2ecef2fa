"""The files beside the log: clients, check-ins and plan."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import polars as pl
import pytest

from plateline.errors import AmbiguousDateError, InputFileError, MissingColumnError
from plateline.log import read_checkins, read_clients, read_plan
from plateline.words import CHECKINS, CLIENTS, PLAN, REJECTED

TODAY = dt.date(2026, 11, 25)


def write(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "file.csv"
    path.write_text(text, encoding="utf-8")
    return path


def test_clients(tmp_path: Path) -> None:
    path = write(
        tmp_path,
        "client;name;Geschlecht;Jahrgang;Einheit;phase;Ziel;training_age_years;load_step_kg;equipment\n"
        "007;Mara;weiblich;1990;lbs;cut;stark;2,5;1,25;barbell; cable\n".replace(
            "barbell; cable", "barbell, cable"
        )
        + "ben;;m;12.03.1985;;Erhaltung;;;;\n\n",
    )
    frame = read_clients(path)
    assert frame.columns == list(CLIENTS)
    assert frame.row(0) == (
        "007",
        "Mara",
        "f",
        1990,
        "lb",
        "lose",
        "stark",
        2.5,
        1.25,
        ["barbell", "cable"],
    )
    assert frame.row(1) == ("ben", None, "m", 1985, None, "hold", None, None, None, [])


def test_equipment_is_parted_by_semicolons(tmp_path: Path) -> None:
    path = write(tmp_path, 'client,equipment\nanna,"barbell; cable;  "\n')
    assert read_clients(path)["equipment"].to_list() == [["barbell", "cable"]]


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ("anna,x?", "f, m or x"),
        ("anna,f\nanna,f", "stands in the file twice"),
        (",f", "names no client"),
    ],
)
def test_faults_in_clients_are_named(tmp_path: Path, row: str, words: str) -> None:
    with pytest.raises(InputFileError, match=words):
        read_clients(write(tmp_path, f"client,sex\n{row}\n"))


def test_checkins_convert_body_mass(tmp_path: Path) -> None:
    path = write(
        tmp_path,
        "client,date,body_mass,unit,sleep_h,sleep,stress\nanna,2026-03-09,150,lb,7:30,4,\n"
        "anna,2026-03-02,68,,7.5,,3\nben,2026-03-02,180,,,,\n",
    )
    frame = read_checkins(path, client_units={"ben": "lb"})
    assert frame.columns == list(CHECKINS)
    # 1 lb = 0.45359237 kg exactly (international agreement of 1959).
    assert frame["body_mass_kg"].round(4).to_list() == [68.0, 68.0389, 81.6466]
    assert frame["sleep_h"].to_list() == [7.5, 7.5, None]
    assert frame["date"].to_list() == [
        dt.date(2026, 3, 2),
        dt.date(2026, 3, 9),
        dt.date(2026, 3, 2),
    ]


def test_checkins_of_one_person_need_no_client(tmp_path: Path) -> None:
    path = write(tmp_path, "Datum;Gewicht (kg);Schlaf h\n25.03.2026;80,5;7\n")
    assert read_checkins(path, client="anna").select("client", "body_mass_kg").row(0) == (
        "anna",
        80.5,
    )


def test_faults_may_be_handed_over_instead(tmp_path: Path) -> None:
    path = write(
        tmp_path,
        "client,date,body_mass,sleep\nanna,2026-03-02,70,9\nanna,2026-03-03,70,3\nanna,x,70,3\n",
    )
    with pytest.raises(InputFileError, match=r"Line 2, sleep: '9' is no number from 1 to 7;"):
        read_checkins(path)
    faults: list[pl.DataFrame] = []
    assert read_checkins(path, rejected=faults).height == 1
    assert faults[0].columns == list(REJECTED)
    assert faults[0]["source_line"].to_list() == [2, 4]


def test_open_dates_in_checkins_are_refused(tmp_path: Path) -> None:
    path = write(tmp_path, "client,date,body_mass\nanna,03/04/2026,70\n")
    with pytest.raises(AmbiguousDateError):
        read_checkins(path)
    assert read_checkins(path, date_order="dmy")["date"].to_list() == [dt.date(2026, 4, 3)]


def test_a_body_mass_that_cannot_be_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputFileError, match="body mass"):
        read_checkins(write(tmp_path, "client,date,body_mass\nanna,2026-03-02,7\n"))


def test_plan(tmp_path: Path) -> None:
    path = write(
        tmp_path,
        "client,block,start,weeks,session,exercise,role,set_kind,sets,reps,rir,superset\n"
        "anna,spring,2026-03-02,4,A,Squat,main,top,1,8-10,1,\nanna,spring,2026-03-02,4,A,Curl,accessory,,3,15-20,1-2,A1\n",
    )
    frame = read_plan(path)
    assert frame.columns == list(PLAN)
    assert frame.select("role", "set_kind", "reps_low", "reps_high", "rir").rows() == [
        ("progression", "top", 8, 10, 1.0), ("accessory", "working", 15, 20, 1.5),
    ]  # fmt: skip


def test_a_missing_column_names_what_is_there(tmp_path: Path) -> None:
    with pytest.raises(
        MissingColumnError, match=r"no column exercise; its headers are 'client', 'lif'"
    ):
        read_plan(write(tmp_path, "client,lif\nanna,Squat\n"))
