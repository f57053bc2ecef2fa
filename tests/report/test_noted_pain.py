"""Notes that speak of pain are quoted on the first screen; notes that deny it are not."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import polars as pl
import pytest

from plateline.exercises import read_logbook
from plateline.report import client_report, compute_results
from plateline.report.noted_pain import pain_notes
from plateline.report.sentences_pain import LONGEST, pain_line, pain_lines, quoted
from plateline.report.trends import trends_page
from plateline.words import CHECKINS, SETS

from .odd_logs import steady
from .rows import MONTH

LAST = dt.date(2026, 3, 31)

SPOKEN = [
    "sharp pain left shoulder", "Shoulder hurts a lot", "knees achy", "tweaked my back",
    "felt dizzy after set 3", "pinching in the hip", "left knee was a bit sore", "numb fingers",
    "Knieschmerzen seit Montag", "tut weh beim Absenken", "leichter Schwindel",
    "douleur au coude", "j'ai mal au dos", "dolor de rodilla", "me duele el hombro",
    "fa male la spalla", "dor no joelho", "болит плечо", "膝盖有点疼", "肩が痛い", "ألم في الركبة",
    "less pain than last week",
]  # fmt: skip
SILENT = [
    "no pain today", "pain free at last", "no shoulder pain", "didn't hurt at all",
    "legs sore from Monday", "Muskelkater", "keine Schmerzen mehr", "schmerzfrei",
    "sans douleur", "pas mal du tout", "mangé du pain", "sin dolor", "senza dolore", "sem dor",
    "не болит", "不疼了", "没有疼痛", "بدون ألم", "new numbers, numbers up", "pinch grip",
    "tweaked the plan", "grip went first", "felt easy", "strained voice", "short on time",
]  # fmt: skip


def sets_with(*notes: str, exercise: str = "Bench press", day: int = 10) -> pl.DataFrame:
    rows = {
        "client": ["ann"] * len(notes),
        "date": [dt.date(2026, 3, day)] * len(notes),
        "exercise": [exercise] * len(notes),
        "note": list(notes),
        "source_file": ["log.csv"] * len(notes),
        "source_line": list(range(2, 2 + len(notes))),
    }
    return pl.DataFrame(rows, schema_overrides={"note": pl.String}).select(
        pl.col(name).cast(dtype) if name in rows else pl.lit(None, dtype).alias(name)
        for name, dtype in SETS.items()
    )


NO_CHECKINS = pl.DataFrame(schema=CHECKINS)


@pytest.mark.parametrize("note", SPOKEN)
def test_pain_is_seen_in_the_languages_people_write(note: str) -> None:
    assert pain_notes(sets_with(note), NO_CHECKINS, MONTH, LAST)["note"].to_list() == [note]


@pytest.mark.parametrize("note", SILENT)
def test_what_denies_pain_or_only_looks_like_it_is_left_alone(note: str) -> None:
    assert pain_notes(sets_with(note), NO_CHECKINS, MONTH, LAST).is_empty()


def test_a_note_of_a_whole_session_counts_once_and_names_no_lift() -> None:
    both = pl.concat([sets_with("knee hurts"), sets_with("knee hurts", exercise="Leg press")])
    found = pain_notes(both, NO_CHECKINS, MONTH, LAST)
    assert found["exercise"].to_list() == [None]
    assert found["source_line"].to_list() == [2]


def test_check_ins_are_read_too_and_other_months_are_not() -> None:
    days = [dt.date(2026, 2, 27), dt.date(2026, 3, 20)]
    checkins = pl.DataFrame(
        {"client": ["ann"] * 2, "date": days, "note": ["back pain", "back pain"]}
    ).select(
        pl.col(name) if name in ("client", "date", "note") else pl.lit(None, dtype).alias(name)
        for name, dtype in CHECKINS.items()
    )
    found = pain_notes(sets_with("my elbow hurts", day=30), checkins, MONTH, LAST)
    assert found["date"].to_list() == [dt.date(2026, 3, 30), dt.date(2026, 3, 20)]
    assert pain_lines(found.to_dicts())[1] == "“back pain” (20\u00a0Mar, check-in)"


def test_a_long_note_is_cut_at_a_word_and_the_others_are_counted() -> None:
    long = quoted("the knee hurts " * 20)
    assert len(long) <= LONGEST + 4
    assert long.endswith("…”")
    rows = pain_notes(
        sets_with("a hurts", "b hurts", "c hurts"), NO_CHECKINS, MONTH, LAST
    ).to_dicts()
    assert pain_line(rows).startswith(
        "Three notes speak of pain, an injury or dizziness: “a hurts”"
    )
    assert pain_line(rows).endswith("log.csv line 2) and two more.")
    assert pain_line([]) == ""


def page_with(note: str, folder: Path) -> str:
    rows = [f"{row}," for row in steady("ann")]
    rows[-1] = f'{rows[-1]}"{note}"'
    header = "client,date,session,exercise,set_order,set_kind,load,unit,reps,rir,note"
    folder.mkdir()
    (folder / "log.csv").write_text("\n".join([header, *rows]) + "\n", encoding="utf-8")
    report = client_report(compute_results(read_logbook(folder), "2026-03"), "ann")
    return f"{report.opening().html} {report.next_month().html}".replace("\u00a0", " ")


def test_pain_leads_the_first_screen_and_stands_before_the_loads(tmp_path: Path) -> None:
    said = page_with("<b>shoulder hurts</b>", tmp_path / "pain")
    assert "One note speaks of pain, an injury or dizziness: “&lt;b&gt;shoulder hurts" in said
    assert "Ask about the pain, injury or dizziness in the notes before anything else" in said
    assert "pl-decision-decide" in said
    assert said.index("What the notes say of pain") < said.index("Loads to start next month with")
    assert "Nothing in the log stands in the way" not in said


def test_without_pain_nothing_is_said_of_it(tmp_path: Path) -> None:
    said = page_with("felt easy, no pain", tmp_path / "none")
    assert "speaks of pain" not in said
    assert "What the notes say" not in said
    assert "Nothing in the log stands in the way" in said


def test_an_athlete_reads_the_own_notes_before_what_to_do_next(tmp_path: Path) -> None:
    header = "client,date,session,exercise,set_order,set_kind,load,unit,reps,rir,note"
    rows = [f"{row},{'elbow hurts' if '03-30' in row else ''}" for row in steady("ann")]
    (tmp_path / "log.csv").write_text("\n".join([header, *rows]) + "\n", encoding="utf-8")
    said = repr(trends_page(tmp_path / "log.csv").next_steps())
    assert said.index("“elbow hurts”") < said.index("Loads for a next session")
