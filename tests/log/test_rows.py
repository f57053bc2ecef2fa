"""Rows, and the line on which each starts."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from plateline.log.files import decode
from plateline.log.rows import split_rows

TEXT = "Datum;Übung;Gewicht\n02.03.2026;Bankdrücken;82,5\n"


def test_lines_are_counted_through_quoted_line_ends() -> None:
    rows = split_rows('a,b,c\n1,"x\ny\nz",2\n3,4,5\n', ",")
    assert [(r.line, r.cells) for r in rows] == [
        (1, ["a", "b", "c"]), (2, ["1", "x\ny\nz", "2"]), (5, ["3", "4", "5"]),
    ]  # fmt: skip


def test_a_quote_that_never_closes_keeps_to_its_line() -> None:
    rows = split_rows('a,b,c\n1,"x,2\n3,4,5\n6,7,8\n', ",")
    assert [r.cells for r in rows] == [
        ["a", "b", "c"],
        ["1", "x", "2"],
        ["3", "4", "5"],
        ["6", "7", "8"],
    ]


@given(st.text(max_size=200))
def test_every_line_of_any_text_is_in_some_row(text: str) -> None:
    clean = decode(text.encode("utf-8", "ignore"), "log.csv").text
    rows = split_rows(clean, ",")
    lines = clean.split("\n")
    lines = lines[:-1] if lines[-1] == "" else lines
    assert "\n".join(r.text for r in rows) == "\n".join(lines)
