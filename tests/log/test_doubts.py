"""Doubtful loads are flagged and never altered."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import polars as pl
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from plateline.log import Intake, read_intake

TODAY = dt.date(2026, 11, 25)


def read(tmp_path: Path, loads: list[float], reps: int | list[int] = 8, per_day: int = 1) -> Intake:
    counts = reps if isinstance(reps, list) else [reps] * len(loads)
    days = [dt.date(2026, 1, 5) + dt.timedelta(days=3 * (i // per_day)) for i in range(len(loads))]
    lines = [f"{d},Bench press,{w:g},{r}" for d, w, r in zip(days, loads, counts, strict=True)]
    path = tmp_path / "log.csv"
    path.write_text("date,exercise,load,reps\n" + "\n".join(lines) + "\n")
    return read_intake(path, today=TODAY)


def flagged(intake: Intake, flag: str) -> list[float]:
    return intake.sets.filter(pl.col("flag").str.contains(flag))["load_kg"].to_list()


def test_a_lost_decimal_point_is_flagged(tmp_path: Path) -> None:
    intake = read(tmp_path, [60, 60, 62.5, 625, 62.5, 65])
    assert flagged(intake, "tenfold load") == [625]
    assert any("625 kg" in s for s in intake.account["assumptions"])  # type: ignore[union-attr]


def test_a_tenth_between_two_usual_sets_is_flagged(tmp_path: Path) -> None:
    assert flagged(read(tmp_path, [100, 100, 10, 100, 102.5]), "tenfold load") == [10]


def test_pounds_typed_as_kilograms_are_flagged(tmp_path: Path) -> None:
    intake = read(tmp_path, [60, 62.5, 62.5, 140, 140, 65, 65])
    assert flagged(intake, "maybe lb") == [140, 140]
    assert any("2.2-fold" in s for s in intake.account["assumptions"])  # type: ignore[union-attr]


def test_an_export_in_pounds_at_the_end_is_flagged(tmp_path: Path) -> None:
    assert flagged(read(tmp_path, [60, 62.5, 62.5, 65, 143, 143, 145]), "maybe lb") == [
        143,
        143,
        145,
    ]


def test_an_honest_log_has_no_doubts(tmp_path: Path) -> None:
    loads = [round((60 + i * 0.5) / 2.5) * 2.5 for i in range(60)]
    assert read(tmp_path, loads).sets["flag"].null_count() == 60


def test_heavy_fives_and_light_twenties_are_no_jump(tmp_path: Path) -> None:
    intake = read(tmp_path, [100, 46, 100, 46, 102.5, 47.5], [5, 20, 5, 20, 5, 20])
    assert flagged(intake, "maybe lb") == []


def test_warm_ups_before_heavy_sets_are_no_doubt(tmp_path: Path) -> None:
    intake = read(tmp_path, [20, 60, 100, 140, 20, 60, 100, 142.5], 5, per_day=4)
    assert intake.sets["flag"].null_count() == 8


@settings(
    deadline=None, max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    loads=st.lists(st.sampled_from([5.0, 50.0, 60.0, 110.0, 132.0, 500.0]), min_size=1, max_size=12)
)
def test_flags_never_change_a_load(tmp_path: Path, loads: list[float]) -> None:
    assert read(tmp_path, loads).sets["load_kg"].to_list() == loads


def test_assistance_written_as_a_load_is_told(tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    path.write_text(
        "date,exercise,load,reps\n2026-02-03,Assisted dip,30,8\n2026-02-03,Assisted pull-up,-20,8\n"
    )
    intake = read_intake(path, today=TODAY)
    assert sorted(intake.sets["load_kg"]) == [-20, 30]
    told = [s for s in intake.account["assumptions"] if "with a minus" in s]  # type: ignore[union-attr]
    assert len(told) == 1
    assert "'Assisted dip'" in told[0]
    assert "pull-up" not in told[0]
