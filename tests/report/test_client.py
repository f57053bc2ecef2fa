"""A client's page: every story of the demo, and every log that is short of something."""

from __future__ import annotations

import datetime as dt
import warnings
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest

import plateline
from plateline.charts import Figure
from plateline.errors import UnknownNameError, UsageError
from plateline.places import data_demo
from plateline.report import ClientReport, Results, client_report, compute_results
from plateline.report.blocks import Block, Gallery
from plateline.report.numbers import NBSP

from .odd_logs import logbook, steady

SECTIONS = (
    "opening",
    "lifts",
    "trends",
    "work",
    "fatigue",
    "plan",
    "next_month",
    "data_notes",
    "methods",
)


def pieces(report: ClientReport) -> Iterator[Block | Figure]:
    for name in SECTIONS:
        shown = getattr(report, name)()
        yield from shown.pieces if isinstance(shown, Gallery) else [shown]


def page(report: ClientReport) -> str:
    """Return all HTML of a page, and every figure's words and data."""
    html = [
        p._repr_html_() if isinstance(p, Block) else f"{p.title} {p.alt} {p.spec}"
        for p in pieces(report)
    ]
    return "\n".join(html)


def words(block: Block | Gallery) -> str:
    return repr(block).replace(NBSP, " ")


class Checker(HTMLParser):
    """Fails on a tag that is not closed, and keeps the text."""

    VOID = frozenset({"br", "path", "rect", "circle", "polyline", "polygon", "line"})

    def __init__(self, html: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.text: list[str] = []
        self.feed(html)
        assert not self.open

    def handle_starttag(self, tag: str, attrs: Any) -> None:
        if tag not in self.VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if tag not in self.VOID:
            assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.text.append(data)


def check(report: ClientReport) -> str:
    """Read a whole page as a browser would; nothing unknown may show as such."""
    text = " ".join(
        " ".join(Checker(piece._repr_html_()).text)
        for piece in pieces(report)
        if isinstance(piece, Block)
    )
    for slip in ("None ", "nan", "NaN", "inf ", "?", "Traceback", "dtype", "{", "}"):
        assert slip not in text.replace("None for", "").replace("None yet", "").replace(
            "None.", ""
        ), slip
    return text.replace(NBSP, " ")


@pytest.mark.parametrize("client", ["mara", "teo", "007", "ruth", "sven", "lucia", "dale", "omar"])
def test_every_demo_page_is_whole(demo_results: Results, client: str) -> None:
    check(client_report(demo_results, client))


def test_a_number_can_be_traced_to_its_line_in_the_csv(demo_results: Results) -> None:
    lines = (data_demo() / "log.csv").read_text(encoding="utf-8").splitlines()
    for client in demo_results.clients:
        for row in demo_results.of(client).frames["lifts"].to_dicts():
            if row["best_source_line"] is not None:
                cells = lines[row["best_source_line"] - 1].split(",")
                assert cells[0] == client
                assert cells[1] == row["best_date"].isoformat()
                assert str(row["best_reps"]) in cells
        for row in demo_results.of(client).frames["targets"].to_dicts():
            cells = lines[row["last_source_line"] - 1].split(",")
            assert cells[:2] == [client, row["last_date"].isoformat()]
            assert str(row["last_reps"]) in cells


def test_loads_are_in_the_clients_own_unit_and_on_its_steps(demo_results: Results) -> None:
    pounds = words(client_report(demo_results, "ruth").next_month())
    assert " lb for 8–10" in pounds
    assert " kg" not in pounds
    targets = demo_results.of("ruth").frames["targets"]
    assert (targets["load"] % 2.5 < 1e-9).all()


def test_a_log_in_pounds_is_reported_in_pounds_though_nobody_says_so(
    short_results: Results,
) -> None:
    said = words(client_report(short_results, "pounds").lifts())
    assert " lb × " in said
    assert " kg" not in said


def test_files_are_the_tables_and_charts_of_the_page(demo_results: Results) -> None:
    report = client_report(demo_results, "mara")
    shown = [piece for piece in pieces(report) if isinstance(piece, Figure)]
    assert list(report.figures().values()) == shown
    assert all(name and "/" not in name for name in report.figures())
    assert {"lifts", "targets", "levers", "muscles", "plan", "rejected"} <= set(report.tables())


def test_a_page_names_nobody_else(demo_results: Results) -> None:
    names = dict(demo_results.frames["clients"].select("client", "name").iter_rows())
    for client in names:
        shown = page(client_report(demo_results, client))
        for other, name in names.items():
            if other != client:
                assert name not in shown
                assert f"'{other}'" not in shown
                assert f">{other}<" not in shown


# Logs that are short of something ---------------------------------------------------------


def one_set(client: str = "ann") -> list[str]:
    return [f"{client},2026-03-14,A,Back squat,1,working,80,kg,8,"]


def days(client: str, text: str, *when: int) -> list[str]:
    return [f"{client},2026-03-{day:02},A,{text}" for day in when]


EMPTY = {
    "clients": "client,name,unit\n",
    "checkins": "client,date,body_mass,unit\n",
    "plan": "client,block,start,weeks,session,exercise,role,set_kind,sets,reps_low,reps_high,rir\n",
}
ALONE: dict[str, tuple[list[str], dict[str, str]]] = {
    "one set": (one_set(), {}),
    "all warm-ups": (days("ann", "Back squat,1,warm-up,40,kg,8,", 10, 12), {}),
    "empty files beside": (steady("ann"), EMPTY),
}
"""Logs of a single client: whole frames have no row here."""

AMONG_OTHERS = {
    "one session": days("one session", "Back squat,1,working,80,kg,8,1", 14, 14, 14),
    "no load": days("no load", "Push-up,1,working,0,kg,20,", 10, 12, 17, 24),
    "unknown lift": days("unknown lift", "Zorbing,1,working,30,kg,9,1", 3, 10, 17, 24),
    "once a month": [
        f"once a month,2026-0{m}-15,A,Deadlift,1,top,{100 + m},kg,5,2" for m in (1, 2, 3)
    ],
    "no reserve": steady("no reserve", rir=""),
    "assistance": [
        f"assistance,2026-03-{d},A,Assisted pull-up,1,top,-20,kg,{r},1"
        for d, r in (("03", 6), (10, 7), (24, 8))
    ],
    "one weighing": steady("one weighing"),
    "pounds": [row.replace(",kg,", ",lb,") for row in steady("pounds")],
}
"""Clients of one log who are each short of something; the plan is somebody else's."""


def whole_page(report: ClientReport) -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        text = check(report)
    assert "March 2026" in text
    assert "Decision." in text


@pytest.mark.parametrize("kind", ALONE)
def test_a_log_that_is_short_of_something_has_a_whole_page(kind: str, tmp_path: Path) -> None:
    """Had by the public name, with any day of the month; the only client need not be named."""
    rows, beside = ALONE[kind]
    book = logbook(tmp_path, rows, **beside)
    report = plateline.client_report(book, month=dt.date(2026, 3, 15))
    assert (report.client, report.month) == ("ann", dt.date(2026, 3, 1))
    whole_page(report)


@pytest.fixture(scope="module")
def short_results(tmp_path_factory: pytest.TempPathFactory) -> Results:
    book = logbook(
        tmp_path_factory.mktemp("short"),
        [row for rows in AMONG_OTHERS.values() for row in rows],
        checkins=f"{EMPTY['checkins']}one weighing,2026-03-10,80,kg\n",
        plan=f"{EMPTY['plan']}bob,B,2026-03-02,4,A,Bench press,progression,top,1,8,10,1\n",
    )
    return compute_results(book, "2026-03")


@pytest.mark.parametrize("kind", AMONG_OTHERS)
def test_a_client_who_is_short_of_something_has_a_whole_page(
    kind: str, short_results: Results
) -> None:
    whole_page(client_report(short_results, kind))


def test_a_month_without_a_session_says_so(tmp_path: Path) -> None:
    book = logbook(tmp_path, [*steady("ann"), "bob,2026-05-20,A,Row,1,top,60,kg,8,1"])
    text = check(client_report(book, "ann", "2026-05"))
    assert "Nothing logged in May 2026" in text
    assert "Nothing was logged after 30 Mar" in text


def test_an_early_log_is_not_held_against_a_month_that_is_not_there(tmp_path: Path) -> None:
    rows = [row for row in steady("ann") if ",2026-03-" in row]
    said = words(client_report(logbook(tmp_path, rows), "ann", "2026-03").opening())
    assert "February" not in said


PAYLOAD = "<img src=x onerror=alert(1)>"
SCRIPT = "</script><script>alert(2)</script>"


def test_markup_in_every_text_a_person_writes_is_shown_as_text(tmp_path: Path) -> None:
    client, lift = f"c{PAYLOAD}", f"{SCRIPT} press"
    rows = [
        *steady(f'"{client}"', lift),
        f'"{client}",2026-03-31,A,"{PAYLOAD}",1,top,x{SCRIPT},kg,8,1',
    ]
    beside = {
        "clients": f'client,name,unit,phase,goal\n"{client}","{SCRIPT}",kg,gain,"{PAYLOAD}"\n',
        "plan": "client,block,start,weeks,session,exercise,role,set_kind,sets,reps_low,reps_high,rir\n"
        f'"{client}",B,2026-03-02,8,A,"{lift}",progression,top,1,8,10,1\n'
        f'"{client}",B,2026-03-02,8,A,"{PAYLOAD} row",progression,top,1,8,10,1\n',
    }
    report = client_report(
        logbook(tmp_path, rows, **beside), client, "2026-03", note=f"{PAYLOAD}\n\n- {SCRIPT}"
    )
    for piece in pieces(report):
        if isinstance(piece, Block):
            html = piece._repr_html_()
            assert "<img" not in html
            assert "<script" not in html
    shown = page(report)
    assert "&lt;img src=x onerror=alert(1)&gt;" in shown
    assert "&lt;/script&gt;" in shown
    for name in report.figures():
        assert not set(name) & set("<>/\\:\"'&|?*")


def test_refusals_are_sentences(demo_results: Results, tmp_path: Path) -> None:
    with pytest.raises(UsageError, match="8 clients"):
        client_report(demo_results)
    with pytest.raises(UnknownNameError, match="mara"):
        client_report(demo_results, "maria")
    with pytest.raises(UsageError, match="2026-13"):
        client_report(tmp_path, "ann", "2026-13")


def test_where_body_mass_is_not_known_no_chart_shows_kilograms_either(tmp_path: Path) -> None:
    rows = [
        ",".join([*row.split(",")[:6], "0", *row.split(",")[7:]])
        for row in steady("ann", "Pull-up")
    ]
    report = client_report(compute_results(logbook(tmp_path / "ann", rows), "2026-03"), "ann")
    lift = report.results.frames["lifts"].row(0, named=True)
    assert lift["strength_kg"] is None
    assert "% of its start" in str(report.figures()["trend Pull-up"].spec)
    assert "kg are shown" in report.lifts().text
