"""The athlete's page: from one CSV, small or long, with what it says checked against the log."""

from __future__ import annotations

import csv
import datetime as dt
import json
import re
from pathlib import Path

import polars as pl
import pytest
from tests.sample_figures import PAYLOAD

from plateline.charts.trend import LONGEST_LINE_DAYS
from plateline.errors import (
    InputFileError,
    NoResultError,
    OutputError,
    UnknownNameError,
    UsageError,
)
from plateline.exercises import Logbook, read_logbook
from plateline.places import data_demo
from plateline.report.numbers import Units
from plateline.report.trends import TrendsPage, trends_page
from plateline.report.trends_facts import prescriptions, usual_unit
from plateline.report.trends_loads import estimate_interval
from plateline.words import State

LB_KG = 0.45359237
"""The international pound (yard and pound agreement, 1959), exact."""


def write_log(path: Path, rows: list[list[object]], header: str) -> Path:
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file)
        writer.writerow(header.split(","))
        writer.writerows(rows)
    return path


def climbing(lift: str, sessions: int, *, start: float = 60.0, step: float = 2.5) -> list[list]:
    """Return rows of a lift that goes up by a step every week, three sets a session."""
    first = dt.date(2026, 1, 5)
    return [
        [first + dt.timedelta(weeks=week), lift, start + step * week, 8, 1]
        for week in range(sessions)
        for _ in range(3)
    ]


HEADER = "date,exercise,load,reps,rir"


@pytest.fixture(scope="module")
def small_log(tmp_path_factory) -> Path:
    path = tmp_path_factory.mktemp("small") / "my_log.csv"
    rows = climbing("Bench press", 16) + climbing("Leg curl", 4)
    rows.append([dt.date(2026, 4, 20), "Bench press", "heavy", 8, 1])
    return write_log(path, rows, HEADER)


@pytest.fixture(scope="module")
def small(small_log: Path) -> TrendsPage:
    return trends_page(small_log)


def island(html: str) -> dict:
    found = re.search(r'<script type="application/json" id="pl-lifts">(.*?)</script>', html)
    assert found is not None
    return json.loads(found.group(1))


def summed(steps: list[int]) -> list[int]:
    total, out = 0, []
    for step in steps:
        total += step
        out.append(total)
    return out


def test_log_without_a_client_column_is_enough(small: TrendsPage) -> None:
    assert set(small.lift_names) == {"Bench press", "Leg curl"}
    assert "<h1>Training trends</h1>" in small.html


def test_climbing_lift_is_told_as_progressing(small: TrendsPage) -> None:
    row = small.frames["status"].filter(exercise="Bench press").row(0, named=True)
    assert row["state"] == State.PROGRESSING
    assert "Bench press is progressing" in repr(small.opening())


def test_data_of_the_page_lead_back_to_the_log(small: TrendsPage) -> None:
    data = island(small.html)
    lift = next(lift for lift in data["lifts"] if lift["name"] == "Bench press")
    past = lift["past"]
    epoch = dt.date(1970, 1, 1)
    days = [epoch + dt.timedelta(days=day) for day in summed(past["d"])]
    assert days == [dt.date(2026, 1, 5) + dt.timedelta(weeks=week) for week in range(16)]
    assert past["kg"] == [60 + 2.5 * week for week in range(16)]
    assert set(past["r"]) == {8}
    lines = summed(past["n"])
    assert all(3 * week + 2 <= line <= 3 * week + 4 for week, line in enumerate(lines))
    assert data["files"] == ["my_log.csv"]


def test_volume_of_a_week_is_reps_times_load(small: TrendsPage) -> None:
    """Volume-load is the sum of repetitions times load (3 x 8 x 60 kg = 1,440 kg)."""
    lift = next(x for x in island(small.html)["lifts"] if x["name"] == "Bench press")
    assert lift["weeks"]["v"][0] == 3 * 8 * 60
    assert lift["weeks"]["r"][0] == 24


def test_rejected_row_is_shown_with_its_cure(small: TrendsPage) -> None:
    notes = repr(small.data_notes())
    assert "heavy" in notes
    assert "my_log.csv line 62" in notes
    assert "as a number" in notes


def test_every_lift_has_records_loads_and_a_picture(small: TrendsPage) -> None:
    for lift in small.lift_names:
        assert "Most for 8" in repr(small.records(lift))
        assert lift in small.chart(lift).alt
    assert small.html.count('<article class="pl-card') == 2


def test_unknown_lift_is_refused_with_the_nearest(small: TrendsPage) -> None:
    with pytest.raises(UnknownNameError, match="Did you mean 'Bench press'"):
        small.chart("Bench pres")


def test_same_log_gives_the_same_bytes(small: TrendsPage, small_log: Path) -> None:
    assert trends_page(small_log).html == small.html


def test_page_is_written_whole_or_not_at_all(small: TrendsPage, tmp_path) -> None:
    out = tmp_path / "trends.html"
    assert small.write(out) == out
    assert out.read_text(encoding="utf-8") == small.html
    assert list(tmp_path.iterdir()) == [out]
    with pytest.raises(OutputError, match="cannot be written"):
        small.write(tmp_path / "nowhere" / "trends.html")


@pytest.fixture(scope="module")
def shared(tmp_path_factory) -> Logbook:
    """One file of two people, a name and a row that cannot be read on either side."""
    rows = [[who, *row, ""] for who in ("anna", "hanno") for row in climbing("Row", 6)]
    rows.append(["anna", "2026-03-02", "Row", 60, "nine-ish", 1, ""])
    rows.append(["hanno", "2026-03-02", "Row", 60, "ten or so", 1, ""])
    rows.append(["hanno", "2026-03-03", "Hanno's own pull", 60, 8, 1, "left knee, as in May"])
    folder = tmp_path_factory.mktemp("shared")
    write_log(folder / "log.csv", rows, f"client,{HEADER},note")
    (folder / "clients.csv").write_text("client,name\nanna,Anna Quill\nhanno,Hanno Reed\n")
    return read_logbook(folder)


def test_several_clients_need_a_name(shared: Logbook) -> None:
    with pytest.raises(UsageError, match=r"2 clients.*--client: 'anna', 'hanno'"):
        trends_page(shared)


def test_unknown_client_is_refused_with_the_nearest(shared: Logbook) -> None:
    with pytest.raises(UnknownNameError, match="Did you mean 'anna'"):
        trends_page(shared, "ana")


def test_without_a_log_one_demo_client_is_shown() -> None:
    demo = (data_demo() / "clients.csv").read_text(encoding="utf-8")
    assert f"\n{trends_page().client}," in demo


def test_of_a_shared_log_only_own_rows_are_told(shared: Logbook) -> None:
    page = trends_page(shared, "anna")
    assert "nine-ish" in repr(page.data_notes())
    for word in ("anno", "Reed", "ten or so", "left knee", f"{shared.account['rows']} rows"):
        assert word not in _without_scripts(page.html)
        assert word not in json.dumps(island(page.html))


def test_notebook_shows_the_sentence_and_no_traceback() -> None:
    """IPython shows what `_render_traceback_` of an exception returns, where it has one."""
    with pytest.raises(InputFileError) as refused:
        trends_page("no_such_log.csv")
    assert refused.value._render_traceback_() == [
        "There is no file or folder no_such_log.csv; name a log that exists."
    ]


def test_reps_and_loads_that_cannot_be_read_at_all(tmp_path) -> None:
    path = write_log(tmp_path / "log.csv", [["2026-01-05", "Row", "x", "y", ""]], HEADER)
    with pytest.raises(NoResultError, match=r"log\.csv line 2: .*'[xy]'"):
        trends_page(path)


def test_markup_in_names_is_text(tmp_path) -> None:
    path = write_log(tmp_path / "log.csv", climbing(PAYLOAD, 8), HEADER)
    html = trends_page(path).html
    assert PAYLOAD not in html
    assert "<img" not in _without_scripts(html)
    assert "&lt;img src=x" in html
    assert "\\u003c/script\\u003e" in html


@pytest.mark.parametrize("unit", ["kg", "lb"])
def test_page_opens_in_the_unit_the_loads_were_logged_in(unit: str) -> None:
    loads = [45.0, 135.0, 225.0, 185.0, 95.0] if unit == "lb" else [20.0, 62.5, 100.0, 82.5, 45.0]
    factor = LB_KG if unit == "lb" else 1.0
    sets = pl.DataFrame({"client": "a", "load_kg": [load * factor for load in loads]})
    nobody = pl.DataFrame(schema={"client": pl.String, "unit": pl.String})
    assert usual_unit(sets, nobody) == unit


def test_loads_are_given_near_the_reps_a_lift_is_trained_with() -> None:
    status = pl.DataFrame(
        {"client": "a", "exercise": ["heavy", "light", "odd"], "usual_reps": [6.0, 31.0, 80.0]}
    )
    reps = prescriptions(status).group_by("exercise").agg("reps").sort("exercise")
    assert [row.to_list() for row in reps["reps"]] == [[5, 8], [20, 30], [30]]


def test_twenty_rows_are_enough_for_a_page(tmp_path) -> None:
    rows = climbing("Back squat", 4) + climbing("Pull-up", 3, start=0, step=0)
    assert len(rows) <= 21
    html = trends_page(write_log(tmp_path / "log.csv", rows[:20], HEADER)).html
    assert len(html) < 1_200_000
    assert len(island(html)["lifts"]) == 2


def _without_scripts(html: str) -> str:
    return re.sub(r"<(script|style)\b.*?</\1>", "", html, flags=re.DOTALL)


def test_light_lifts_rise_in_a_line_and_pounds_come_back_as_typed(tmp_path: Path) -> None:
    rows = [
        f"2026-{1 + week // 4:02}-{5 + 7 * (week % 4):02},Lateral raise,{11.5 + week * 0.05},lb,15,1"
        for week in range(12)
    ]
    log = tmp_path / "log.csv"
    log.write_text("date,exercise,load,unit,reps,rir\n" + "\n".join(rows) + "\n", encoding="utf-8")
    past = island(trends_page(log).html)["lifts"][0]["past"]
    assert len(set(past["f"])) == 12
    assert [round(kg / LB_KG, 2) for kg in past["kg"]] == [
        round(11.5 + week * 0.05, 2) for week in range(12)
    ]


def test_a_break_of_months_is_known_to_the_page_s_script(small: TrendsPage) -> None:
    data = island(small.html)
    assert data["apart"] == LONGEST_LINE_DAYS
    lines = [part for part in data["strength"]["layer"] if part["data"]["name"] == "line"]
    assert [part["encoding"]["detail"]["field"] for part in lines] == ["g", "g"]
    assert data["overview"]["encoding"]["detail"]["field"] == "g"


def test_a_log_of_one_day_is_not_said_to_run_from_it_to_it(tmp_path: Path) -> None:
    log = tmp_path / "log.csv"
    log.write_text("date,exercise,load,reps\n2026-03-10,Squat,60,8\n", encoding="utf-8")
    said = repr(trends_page(log).opening()).replace("\u00a0", " ")
    assert "1 set of 1 lift on 10 Mar 2026." in said


def test_both_ends_of_an_interval_have_the_same_digits() -> None:
    shown = estimate_interval(84.0, 88.4, Units()).striptags().replace("\u00a0", " ")
    assert shown == "84.0 to 88.4 kg"
    assert estimate_interval(99.1, 121.0, Units()).striptags().startswith("99 to 121")
