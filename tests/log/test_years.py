"""Dates without a year, in logs that go over a new year."""

from __future__ import annotations

import datetime as dt

import pytest

from plateline.errors import AmbiguousDateError
from plateline.log.dates import with_year, year_alone
from plateline.log.years import Turn, Yearless, named_years, settled_years

TODAY = dt.date(2026, 11, 25)


def settle(
    texts: list[str],
    named: tuple[int, ...],
    lifts: list[str] | None = None,
    weekday: int | None = None,
) -> dict[str, int]:
    days = {
        t: Yearless(int(t.split(".")[1]), int(t.split(".")[0]), weekday if i == 0 else None)
        for i, t in enumerate(texts)
    }
    turns = [
        Turn("me", t, lift) for t, lift in zip(texts, lifts or ["Squat"] * len(texts), strict=True)
    ]
    return settled_years(turns, days, named, TODAY, "log.csv")


@pytest.mark.parametrize(
    ("text", "years"),
    [
        ("Saison 2025/26", (2025, 2026)), ("2025-2026", (2025, 2026)), ("Log 2025", (2025,)),
        ("2025-02-03", (2025,)), ("2024 and 2026", ()), ("Squat", ()), ("2025/30", (2025,)),
    ],
)  # fmt: skip
def test_titles_name_a_year_or_a_season(text: str, years: tuple[int, ...]) -> None:
    assert named_years(text) == years


def test_days_within_a_year_are_of_it() -> None:
    assert settle(["3.1.", "20.10."], (2025,)) == {"3.1.": 2025, "20.10.": 2025}


def test_a_season_goes_over_its_new_year() -> None:
    assert settle(["16.12.", "6.1."], (2025, 2026)) == {"16.12.": 2025, "6.1.": 2026}
    newest_first = ["9.1.", "2.1.", "29.12.", "22.12."]
    assert set(settle(newest_first, (2025, 2026)).items()) == {
        ("9.1.", 2026), ("2.1.", 2026), ("29.12.", 2025), ("22.12.", 2025),
    }  # fmt: skip


def test_one_half_of_a_season_is_of_one_year() -> None:
    assert settle(["6.1.", "13.1."], (2025, 2026)) == {"6.1.": 2026, "13.1.": 2026}


def test_the_year_that_is_not_over_settles_which_it_is() -> None:
    assert settle(["20.12.", "3.1."], (2026,)) == {"20.12.": 2025, "3.1.": 2026}


def test_a_weekday_settles_which_it_is() -> None:
    assert settle(["30.12.", "6.1."], (2025,), weekday=1) == {"30.12.": 2025, "6.1.": 2026}


def test_a_year_that_may_be_either_is_asked_for() -> None:
    with pytest.raises(AmbiguousDateError, match=r"'29.12.', then '2.1.'.*on a line of its own"):
        settle(["22.12.", "29.12.", "2.1."], (2025,))


def test_a_log_sorted_by_exercise_starts_the_year_again() -> None:
    texts = ["3.1.", "20.11.", "4.1.", "21.11."]
    found = settle(texts, (2025,), ["Squat", "Squat", "Bench", "Bench"])
    assert set(found.values()) == {2025}


@pytest.mark.parametrize(
    ("text", "dated"),
    [("3.2.", "3.2.2026"), ("3/2", "3/2/2026"), ("Mo 3.2.", "Mo 3.2.2026"), ("2 Jan", "2 Jan 2026"),
     ("2025-02-03", "2025-02-03")],
)  # fmt: skip
def test_a_year_is_written_as_the_date_is(text: str, dated: str) -> None:
    assert with_year(text, "2026") == dated


def test_a_line_may_name_a_year_and_nothing_else() -> None:
    assert year_alone("— 2026 —") == year_alone("Januar 2026") == year_alone("Año 2026") == "2026"
    assert year_alone("Ziele 2026") is None
    assert year_alone("2026-02-03") is None
