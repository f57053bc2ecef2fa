"""Headers in six languages, with units and set numbers in them."""

from __future__ import annotations

import csv
from importlib import resources

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plateline.log.headers import closest, known_columns, read_header, tidy


@pytest.mark.parametrize(
    ("text", "column", "unit", "number"),
    [
        ("Weight (lb)", "load", "lb", None), ("Gewicht kg", "load", "kg", None), ("Gewicht [kg]", "load", "kg", None),
        ("Weight in kg", "load", "kg", None), ("KG", "load", "kg", None), ("Lbs", "load", "lb", None),
        ("Peso (kg)", "load", "kg", None), ("Charge", "load", None, None), ("load 1", "load", None, 1),
        ("Set 2 Reps", "reps", None, 2), ("3. Satz Wdh", "reps", None, 3), ("S1 kg", "load", "kg", 1),
        ("Set 1", "notation", None, 1), ("W2", "load", None, 2), ("Reps (set 1)", "reps", None, 1),
        ("Rest (min)", "rest_s", "min", None), ("Pause (s)", "rest_s", "s", None), ("Übung", "exercise", None, None),
        ("Uebung", "exercise", None, None), ("workoutDate", "date", None, None), ("Set #", "set_order", None, None),
        ("Wdh.", "reps", None, None), ("Répétitions", "reps", None, None), ("1RM", "ignored", None, None),
        ("Mood", None, None, None), ("Gerät", "exercise", None, None), ("Weight per hand", "load", None, None),
        ("3/2 kg", "load", "kg", None), ("10.02.2026 Wdh", "reps", None, None), ("A1", "exercise", None, None),
        ("B2 kg", "load", "kg", None), ("Which exercise did you do?", "exercise", None, None),
        ("How heavy (kg)?", "load", "kg", None), ("Wie viele Wiederholungen?", "reps", None, None),
        ("Wie anstrengend war es?", "rpe", None, None), ("¿Cuántas repeticiones?", "reps", None, None),
        ("Wie heißt du?", "client", None, None), ("Hat es weh getan?", None, None, None),
        ("Warm-up?", "warm_up", None, None), ("Name of client", "client", None, None),
        ("Nombre del cliente", "client", None, None), ("Full name", None, None, None),
        ("Date of birth", None, None, None), ("Goal of the day", None, None, None),
    ],
)  # fmt: skip
def test_headers(text: str, column: str | None, unit: str | None, number: int | None) -> None:
    header = read_header(text)
    assert (header.column, header.unit, header.number) == (column, unit, number)


def test_a_slip_of_the_pen_is_read_and_said() -> None:
    for text, column in [("Excercise", "exercise"), ("Wieght", "load"), ("Repetitons", "reps")]:
        header = read_header(text)
        assert header.column == column
        assert header.was_near


@pytest.mark.parametrize("text", ["Rate", "Lead", "Rest day", "Mood", "Sleep", "Height"])
def test_words_that_only_look_alike_are_not_taken(text: str) -> None:
    assert read_header(text).column not in ("date", "load", "exercise", "reps")


def test_the_contract_columns_are_known_by_their_own_names() -> None:
    contract = "client date session exercise set_order set_kind superset load unit reps rir rpe side rest_s feel note"
    assert {n: read_header(n).column for n in contract.split()} == {n: n for n in contract.split()}


def test_every_language_names_what_is_needed() -> None:
    text = resources.files("plateline.log").joinpath("headers.csv").read_text("utf-8")
    named: dict[str, set[str]] = {}
    for row in csv.DictReader(text.splitlines()):
        named.setdefault(row["column"], set()).add(row["language"])
    for column in ("date", "exercise", "load", "reps", "set_order", "note"):
        assert named[column] >= {"en", "de", "fr", "es", "it", "pt"}, column


def test_the_closest_headers_are_offered() -> None:
    assert closest("load", ["Mood", "Weigt", "Gewihct x"])[0] in ("Weigt", "Gewihct x")
    assert "load" in known_columns()


@given(st.text(max_size=60))
def test_any_header_is_read_or_unknown(text: str) -> None:
    assert read_header(text).text == text
    assert tidy(tidy(text)) == tidy(text)
