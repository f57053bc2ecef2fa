"""The delimiter and the header of a table."""

from __future__ import annotations

import pytest

from plateline.log.table import read_table

TEXT = "Datum;Übung;Gewicht\n02.03.2026;Bankdrücken;82,5\n"


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
def test_the_delimiter_is_the_one_that_gives_a_header(delimiter: str) -> None:
    text = (
        "note on top, with; many | signs\n"
        + delimiter.join(["date", "exercise", "load", "reps"])
        + "\n"
    )
    text += delimiter.join(["2026-03-02", "Squat", "100", "5"]) + "\n"
    table = read_table(text, "log.csv")
    assert [h.column for h in table.headers] == ["date", "exercise", "load", "reps"]
    assert (table.header_line, table.rows[0].line) == (2, 3)
