from __future__ import annotations

import datetime as dt
import stat
import sys

import pypdf
import pytest

from plateline.errors import NoResultError, UsageError
from plateline.report import pdf

PAGE = """<!doctype html><html lang="en"><title>One page</title>
<h1>Squat &amp; press</h1><p>102.5 kg</p><img src="http://127.0.0.1:9/never.png">"""


def stand_in(tmp_path, body: str) -> str:
    """Return the path of a program that is called like a browser."""
    program = tmp_path / "browser"
    program.write_text(f"#!{sys.executable}\nimport sys, time\n{body}\n")
    program.chmod(program.stat().st_mode | stat.S_IXUSR)
    return str(program)


@pytest.mark.browser
def test_a_page_is_printed_with_its_text_and_its_month(tmp_path, browser_path, monkeypatch):
    monkeypatch.setenv(pdf.BROWSER, browser_path)
    page = tmp_path / "page.html"
    page.write_text(PAGE)
    printed = []
    for name in ("one.pdf", "two.pdf"):
        pdf.print_pdf(page, tmp_path / name, dt.date(2026, 3, 31))
        printed.append((tmp_path / name).read_bytes())
    assert printed[0] == printed[1]
    read = pypdf.PdfReader(tmp_path / "one.pdf")
    text = read.pages[0].extract_text()
    assert "Squat & press" in text
    assert "102.5 kg" in text
    assert read.metadata is not None
    assert read.metadata.creation_date is not None
    assert read.metadata.creation_date.date() == dt.date(2026, 3, 31)


def test_where_there_is_no_browser_it_says_what_to_install(monkeypatch):
    monkeypatch.delenv(pdf.BROWSER, raising=False)
    monkeypatch.setattr("shutil.which", lambda _name: None)
    with pytest.raises(UsageError, match=r"apt-get install chromium.*PLATELINE_BROWSER"):
        pdf.find_browser()


def test_a_browser_that_is_named_but_not_there_is_said(monkeypatch):
    monkeypatch.setenv(pdf.BROWSER, "/no/such/browser")
    with pytest.raises(UsageError, match=r"PLATELINE_BROWSER names '/no/such/browser'"):
        pdf.find_browser()


@pytest.mark.skipif(sys.platform == "win32", reason="programs are made otherwise there")
@pytest.mark.parametrize(
    ("body", "said"),
    [
        ("sys.exit('no room to print')", "did not print: no room to print"),
        ("sys.exit(3)", "did not print and did not say why"),
        ("pass", "did not print and did not say why"),
        ("time.sleep(30)", "did not print within 0.5 s"),
    ],
)
def test_a_browser_that_does_not_print_is_a_sentence(tmp_path, monkeypatch, body, said):
    monkeypatch.setenv(pdf.BROWSER, stand_in(tmp_path, body))
    monkeypatch.setattr(pdf, "PRINT_TIMEOUT_S", 0.5 if "sleep" in body else 60)
    page = tmp_path / "page.html"
    page.write_text(PAGE)
    with pytest.raises(NoResultError, match=said):
        pdf.print_pdf(page, tmp_path / "out.pdf", dt.date(2026, 3, 31))
