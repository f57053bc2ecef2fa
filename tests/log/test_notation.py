"""The short forms: what NOTATION.md promises, and that no text escapes being read or refused."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

import plateline.log
from plateline.log.notation import parse_sets, shows_load_first
from plateline.log.noted_lines import lifts_of
from plateline.log.values import SetsRefused, Unreadable
from plateline.words import SetKind

DOC = Path(plateline.log.__file__).with_name("NOTATION.md").read_text(encoding="utf-8")


def sets(text: str, *, load_first: bool = False) -> list[tuple[float | None, int]]:
    return [(s.load, s.reps) for s in parse_sets(text, load_first=load_first)]


def _documented() -> list[tuple[str, str]]:
    """Return the rows of the two tables of NOTATION.md: a form and what it means."""
    return re.findall(r"^\| `([^`]+)` \| ([^|]+?) \|$", DOC, re.MULTILINE)


@pytest.mark.parametrize(("form", "meaning"), _documented())
def test_every_documented_form_means_what_the_document_says(form: str, meaning: str) -> None:
    if meaning.startswith("refused"):
        with pytest.raises(SetsRefused):
            parse_sets(form)
        return
    said = re.findall(r"([+-]?[\d.]+|no load)(?: (kg|lb))? x (\d+)", meaning)
    expected = [
        (None if load == "no load" else float(load), unit or None, int(reps))
        for load, unit, reps in said
    ]
    assert [(s.load, s.unit, s.reps) for s in parse_sets(form)] == expected


def test_the_document_covers_enough() -> None:
    assert len(_documented()) >= 40


def test_effort_kind_and_remark_are_kept() -> None:
    warm_up, top, back_off = parse_sets("w 60x5, top 140x5 RIR 1, bo 110x8 (easy)")
    assert (warm_up.kind, top.kind, back_off.kind) == (
        SetKind.WARM_UP,
        SetKind.TOP,
        SetKind.BACK_OFF,
    )
    assert (top.rir, back_off.remark) == (1, "easy")
    assert parse_sets("100x5@8.5")[0].rir == 1.5
    assert parse_sets("100x12F")[0].rir == 0


def test_a_plan_is_refused_as_a_plan() -> None:
    with pytest.raises(SetsRefused, match="plan"):
        parse_sets("3x8-10@60 RIR2")


def test_a_small_first_number_needs_the_file_to_say_it_is_a_load() -> None:
    with pytest.raises(SetsRefused, match="10 sets or a load of 10"):
        parse_sets("10x12")
    assert sets("10x12", load_first=True) == [(10, 12)]
    assert sets("12.5x10, 10x12") == [(12.5, 10), (10, 12)]
    with pytest.raises(SetsRefused):
        parse_sets("3x10", load_first=True)
    assert shows_load_first("100x5")
    assert not shows_load_first("3x10@60")
    assert not shows_load_first("10x12")


@pytest.mark.parametrize(
    "text", ["hello", "", "x", "3x", "@60", "100kg", "3x30s", "5 7", "2x30kgx10", "100 200 300"]
)
def test_what_notes_no_sets_is_refused(text: str) -> None:
    with pytest.raises(Unreadable):
        parse_sets(text)


LOADS = st.integers(62, 4000).map(lambda quarter: quarter / 2)
REPS = st.integers(1, 40)


@given(
    st.lists(st.tuples(LOADS, REPS), min_size=1, max_size=8),
    st.sampled_from([", ", "; ", " / ", " + ", " "]),
)
def test_load_times_reps_come_back_with_any_separator(
    done: list[tuple[float, int]], separator: str
) -> None:
    assert sets(separator.join(f"{load:g}x{reps}" for load, reps in done)) == done


@given(st.lists(st.tuples(LOADS, REPS), min_size=1, max_size=8))
def test_decimal_commas_are_told_from_list_commas(done: list[tuple[float, int]]) -> None:
    text = ", ".join(f"{load:g}kg x {reps}".replace(".", ",") for load, reps in done)
    assert sets(text) == done


@given(
    st.integers(1, 10),
    REPS,
    LOADS,
    st.sampled_from(
        ["{n}x{r}@{w:g}", "{n} x {r} @ {w:g} kg", "{n} sets of {r} at {w:g}kg", "{n}x{r}x{w:g}kg"]
    ),
)
def test_sets_times_reps_at_a_load(count: int, reps: int, load: float, form: str) -> None:
    assert sets(form.format(n=count, r=reps, w=load)) == [(load, reps)] * count


@given(LOADS, st.lists(REPS, min_size=3, max_size=6), st.sampled_from([",", ", ", "/", "-"]))
def test_a_load_before_a_list_of_reps(load: float, reps: list[int], separator: str) -> None:
    assert sets(f"{load:g}kg {separator.join(map(str, reps))}") == [(load, r) for r in reps]


@given(st.text(alphabet="0123456789xX×*@+-/.,;:()kglbBWrRIPEfw #\n", max_size=40))
def test_any_cell_is_read_or_refused_with_a_sentence(text: str) -> None:
    try:
        found = parse_sets(text)
    except Unreadable as fault:
        assert fault.reason.endswith(".")  # noqa: PT017
    else:
        assert found
        assert all(1 <= s.reps <= 1000 for s in found)


@pytest.mark.parametrize("form", ["BWx8", "BW x 8", "bw×8", "KGx8", "Körpergewicht x 8"])
def test_body_mass_times_reps_follows_a_name_in_a_note(form: str) -> None:
    assert lifts_of(f"Pull-ups {form}") == [("Pull-ups", form, "")]
    assert sets(form) == [(0.0, 8)]


def test_reps_alone_leave_the_load_to_the_row() -> None:
    assert sets("x8 x8 x7") == [(None, 8), (None, 8), (None, 7)]
    assert lifts_of("Pull-ups x8 x8 x7") == [("Pull-ups", "x8 x8 x7", "")]


def test_a_side_and_an_open_count_are_kept() -> None:
    (one,) = parse_sets("20kg x 10/side")
    assert (one.load, one.reps, one.side) == (20, 10, "each")
    (most,) = parse_sets("BW x AMRAP 12")
    assert (most.reps, most.rir) == (12, None)


@pytest.mark.parametrize(
    ("form", "words"),
    [
        ("225x5 lb", "225lb x 5"),
        ("225x5, 275x3 lbs", "behind the load"),
        ("100x5kg", "100kg x 5"),
        ("60kg 70kg 80kg x 8", "a load without reps"),
        ("105x5+", "at least how many"),
        ("85x5, 95x3, 105x1+", "at least how many"),
        ("60kg 12x3", "12 sets of 3 or 3 sets of 12"),
        ("3x5@75%", "3 sets or a load of 3"),
        ("100x5 (3)", "in brackets"),
        ("100x5 (3 sets)", "in brackets"),
        ("80x8>60>40x10", "alone behind >"),
        ("100x5@8@9", "two RPE"),
    ],
)
def test_no_set_is_lost_or_made_up_in_silence(form: str, words: str) -> None:
    with pytest.raises(SetsRefused, match=re.escape(words)):
        parse_sets(form, load_first=True)


def test_light_sets_of_many_reps_may_have_their_load_last() -> None:
    assert sets("25x10kg, 20 x 12kg") == [(10, 25), (12, 20)]


@pytest.mark.parametrize(
    ("form", "kinds"),
    [
        ("wu: 60x5, 80x3, work: 100x5, 100x5", ["warm-up", "warm-up", "working", "working"]),
        ("warm-up: 60x5 80x3; top 140x3, 120x5", ["warm-up", "warm-up", "top", None]),
        ("wu 60x5, 80x3", ["warm-up", None]),
    ],
)
def test_a_kind_with_a_colon_holds_up_to_the_next(form: str, kinds: list[str | None]) -> None:
    assert [s.kind.value if s.kind else None for s in parse_sets(form)] == kinds


@pytest.mark.parametrize(
    ("line", "names"),
    [
        ("Drop squat 60x5", ["Drop squat"]),
        ("Heavy bench 100x5", ["Heavy bench"]),
        ("Clean & press 60x5, Row 50x8", ["Clean & press", "Row"]),
        ("Curl 15kg 3x12 + Pushdown 25kg 3x12", ["Curl", "Pushdown"]),
    ],
)
def test_words_of_the_notation_may_be_part_of_a_name(line: str, names: list[str]) -> None:
    found = lifts_of(line)
    assert found is not None
    assert [name for name, _, _ in found] == names


def test_no_name_swallows_sets() -> None:
    assert lifts_of("Squat (60x5, 80x3) 100x5, 100x5") is None


def test_dumbbells_of_the_rack_may_be_seconds() -> None:
    with pytest.raises(SetsRefused, match="a pair of 55s"):
        parse_sets("55s: 10, 10, 9")


@pytest.mark.parametrize(
    ("form", "sets"),
    [
        ("100x5 (x3)", [(100, 5)] * 3), ("(100x5)x3", [(100, 5)] * 3), ("60x10 x 3 sets", [(60, 10)] * 3),
        ("3 sets: 40x8", [(40, 8)] * 3), ("60/80/100 x 10", [(60, 10), (80, 10), (100, 10)]),
        ("3x5 @ 75% (105kg)", [(105, 5)] * 3), ("100x5 @75%", [(100, 5)]), ("35kg x 12, tempo 4-1-1", [(35, 12)]),
        ("105x5+ (9)", [(105, 9)]), ("80x1+: 6", [(80, 6)]), ("2x40x35kg", [(35, 40)] * 2), ("10x3@60", [(60, 3)] * 10), ("80 х 8", [(80, 8)]),
        ("10/8/60x5", [(None, 10), (None, 8), (60, 5)]),
    ],
)  # fmt: skip
def test_multiples_shares_and_open_counts(form: str, sets: list[tuple[float | None, int]]) -> None:
    assert [(s.load, s.reps) for s in parse_sets(form)] == sets
