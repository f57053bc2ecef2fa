"""Pages in a real browser, with the network blocked: drawn, quiet, narrow, printed, safe."""

from __future__ import annotations

import re
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from nbformat.v4 import new_code_cell, new_markdown_cell, new_notebook, new_output
from tests.report.odd_logs import logbook, steady
from tests.report.test_trends import HEADER, climbing, write_log
from tests.sample_figures import PAYLOAD, every_figure

from plateline.report import ClientRun, build_index, compute_results
from plateline.report.seal import seal
from plateline.report.trends import trends_page

pytestmark = pytest.mark.browser

PHONE, DESK = {"width": 390, "height": 844}, {"width": 1280, "height": 900}
DRAWN = "document.documentElement.dataset.drawn === 'all'"
PATIENCE_S = 20
"""Not a speed limit: a busy machine only must not hang the tests for ever."""

OWN_TABLE = (
    '<table class="pl-table"><caption>Lifts</caption><thead><tr><th scope="col">Lift</th>'
    '<th scope="col">State</th></tr></thead><tbody><tr><th scope="row">Bench press</th>'
    '<td data-label="State"><span class="pl-state pl-state-plateau">plateau</span></td></tr>'
    "</tbody></table>"
)


@dataclass
class Visit:
    """An open page and what happened while it was opened."""

    page: Any
    requests: list[str] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)


@pytest.fixture(scope="module")
def browser(browser_path: str) -> Iterator[Any]:
    playwright = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    with playwright.sync_playwright() as driver:
        opened = driver.chromium.launch(executable_path=browser_path, args=["--no-sandbox"])
        yield opened
        opened.close()


def until(page, condition: str) -> None:
    """Ask again and again; the page's own policy forbids the browser to do so by itself."""
    last = time.monotonic() + PATIENCE_S
    while not page.evaluate(condition):
        assert time.monotonic() < last, f"never came true: {condition}"
        page.wait_for_timeout(20)


@contextmanager
def visiting(
    browser, path: Path, *, viewport=DESK, drawn: bool = True, **context
) -> Iterator[Visit]:
    """Open a page in a context of its own; every request but the page's own is refused."""
    own = path.as_uri()
    frame = browser.new_context(viewport=viewport, **context)
    page = frame.new_page()
    visit = Visit(page)

    def judge(route, request) -> None:
        if request.url == own:
            route.continue_()
        else:
            visit.requests.append(request.url)
            route.abort()

    page.route("**/*", judge)
    page.on("console", lambda said: visit.complaints.append(f"{said.type}: {said.text}"))
    page.on("pageerror", lambda fault: visit.complaints.append(str(fault)))
    page.goto(own)
    if drawn and context.get("java_script_enabled", True):
        until(page, DRAWN)
    yield visit
    frame.close()


def report_page(name: str = "Bench press", *, figures: int | None = None) -> str:
    def drawn(figure):
        data, metadata = figure._repr_mimebundle_()
        return new_output("display_data", data=data, metadata=metadata)

    shown = list(every_figure(name).values())[:figures]
    return seal(
        new_notebook(
            cells=[
                new_markdown_cell("## The lifts"),
                new_code_cell(outputs=[new_output("display_data", data={"text/html": OWN_TABLE})]),
                new_markdown_cell("## The pictures"),
                new_code_cell(outputs=[drawn(figure) for figure in shown]),
                new_markdown_cell("## The words"),
                new_code_cell(outputs=[new_output("stream", name="stdout", text=name)]),
            ]
        ),
        title=f"Of {name}",
    )


@pytest.fixture(scope="module")
def report(tmp_path_factory) -> Path:
    path = tmp_path_factory.mktemp("report") / "report.html"
    path.write_text(report_page(), encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def hostile(tmp_path_factory) -> Path:
    path = tmp_path_factory.mktemp("hostile") / "report.html"
    path.write_text(report_page(PAYLOAD), encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def trends(tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("trends")
    rows = (
        climbing("Bench press", 20)
        + climbing(PAYLOAD, 10)
        + climbing("Pull-up", 12, start=0, step=0)
    )
    return trends_page(write_log(folder / "log.csv", rows, HEADER)).write(folder / "trends.html")


@pytest.fixture(scope="module")
def open_report(browser, report) -> Iterator[Visit]:
    """Open the page once for all tests that leave it as it was; drawing it takes a second."""
    with visiting(browser, report) as visit:
        yield visit


@pytest.fixture(scope="module")
def open_hostile(browser, hostile) -> Iterator[Visit]:
    with visiting(browser, hostile) as visit:
        yield visit


@pytest.fixture(scope="module")
def open_trends(browser, trends) -> Iterator[Visit]:
    with visiting(browser, trends) as visit:
        yield visit


@pytest.fixture(params=["report", "trends"])
def opened(request) -> Visit:
    return request.getfixturevalue(f"open_{request.param}")


@pytest.fixture
def looked_at(opened) -> Visit:
    """Give the open page as it came: on a desk, on a screen, by daylight."""
    return by_daylight(opened)


def by_daylight(visit: Visit) -> Visit:
    visit.page.set_viewport_size(DESK)
    visit.page.emulate_media(media="screen", color_scheme="light")
    return visit


@pytest.fixture(scope="module")
def at_first(open_trends) -> str:
    """Tell which lift, measure and unit the page of trends shows when it is opened."""
    return shown(open_trends.page)


@pytest.fixture
def chosen_from(open_trends, at_first):
    """Give the open page of trends, everything that can be chosen on it as it came."""
    page = by_daylight(open_trends).page
    lift, measure, unit = at_first.split()
    forget = "delete document.documentElement.dataset.shown"
    page.evaluate(forget)
    page.select_option("#pl-pick", lift)  # with it comes all of its time
    shown(page)
    for name, value in (("measure", measure), ("unit", unit)):
        button = f"input[name=pl-{name}][value={value}]"
        if not page.is_checked(button):
            page.evaluate(forget)
            page.check(button, force=True)
            shown(page)
    assert shown(page) == at_first
    return page


def test_nothing_is_asked_of_the_network_and_nothing_complains(looked_at) -> None:
    assert looked_at.requests == []
    assert looked_at.complaints == []


def test_every_figure_is_drawn(open_report) -> None:
    visit = by_daylight(open_report)
    drawn = visit.page.evaluate(
        """() => [...document.querySelectorAll(".pl-figure")].map((figure) => {
            const live = figure.querySelector(".pl-live svg");
            return {
                width: live.getBoundingClientRect().width,
                marks: live.querySelectorAll(".mark-group path, .mark-group rect").length,
                still: figure.querySelector(".pl-still").checkVisibility(),
            };
        })"""
    )
    assert len(drawn) == len(every_figure())
    for figure in drawn:
        assert figure["width"] > 200
        assert figure["marks"] > 2
        assert not figure["still"]


def test_no_page_scrolls_sideways(looked_at) -> None:
    for viewport in (PHONE, {"width": 768, "height": 1024}, DESK):
        looked_at.page.set_viewport_size(viewport)
        until(looked_at.page, f"document.documentElement.scrollWidth <= {viewport['width']}")


@pytest.mark.parametrize("page", ["hostile", "trends"])
def test_markup_in_data_does_not_run(request, page) -> None:
    visit = by_daylight(request.getfixturevalue(f"open_{page}"))
    assert visit.page.evaluate("window.hacked") is None
    assert visit.page.locator("img").count() == 0
    assert visit.requests == []
    assert '<img src=x onerror="window.hacked=1">' in visit.page.inner_text("body")


def test_markup_in_data_does_not_run_in_tooltips(open_hostile) -> None:
    visit = open_hostile
    live = visit.page.locator(".pl-live").nth(2)
    live.scroll_into_view_if_needed()
    live.focus()
    for _ in range(40):
        visit.page.keyboard.press("ArrowRight")
        if "<img" in visit.page.inner_text(".pl-tip"):
            break
    assert '<img src=x onerror="window.hacked=1">' in visit.page.inner_text(".pl-tip")
    assert visit.page.evaluate("window.hacked") is None


def test_policy_stops_a_script_that_got_in(browser, tmp_path) -> None:
    broken = report_page(figures=1).replace("<main", "<script>window.hacked=4</script><main", 1)
    path = tmp_path / "broken.html"
    path.write_text(broken, encoding="utf-8")
    with visiting(browser, path) as visit:
        assert visit.page.evaluate("window.hacked") is None
        assert any("Content Security Policy" in text for text in visit.complaints)


def test_pointer_near_a_point_tells_its_set(open_report) -> None:
    visit = by_daylight(open_report)
    live = visit.page.locator(".pl-live svg").first
    live.scroll_into_view_if_needed()
    box = live.bounding_box()
    visit.page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    tip = visit.page.locator(".pl-tip")
    tip.wait_for(state="visible")
    assert re.search(r"\d+(\.\d)? kg × \d+, \d in reserve", tip.inner_text())
    assert re.search(r"log\.csv, line \d+", tip.inner_text())
    visit.page.mouse.move(2, 2)
    tip.wait_for(state="hidden")


def test_arrow_keys_walk_through_the_points(open_report) -> None:
    visit = by_daylight(open_report)
    visit.page.locator(".pl-live").first.focus()
    visit.page.keyboard.press("ArrowRight")
    first = visit.page.inner_text(".pl-tip")
    visit.page.keyboard.press("ArrowRight")
    assert visit.page.inner_text(".pl-tip") != first
    visit.page.keyboard.press("Escape")
    assert not visit.page.locator(".pl-tip").is_visible()


def test_print_view_has_still_pictures_and_no_controls(looked_at) -> None:
    page = looked_at.page
    page.emulate_media(media="print")
    assert page.locator(".pl-still svg:visible").count() > 0
    assert page.locator(".pl-live:visible, .pl-controls:visible").count() == 0
    assert page.locator(".pl-nav:visible").count() == 0
    assert page.pdf()[:5] == b"%PDF-"


@pytest.mark.parametrize("page", ["report", "trends"])
def test_page_reads_without_scripts(browser, request, page) -> None:
    path = request.getfixturevalue(page)
    with visiting(browser, path, java_script_enabled=False) as visit:
        assert visit.page.locator(".pl-still svg:visible").count() > 0
        assert visit.page.locator(".pl-live:visible, .pl-controls:visible").count() == 0
        assert "Bench press" in visit.page.inner_text("body")


CONTRAST = """
() => {
  const parse = (c) => { const m = c.match(/[\\d.]+/g).map(Number); return m.length < 4 ? [...m, 1] : m; };
  const lin = (v) => (v /= 255) <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
  const lum = ([r, g, b]) => 0.2126 * lin(r) + 0.7152 * lin(g) + 0.0722 * lin(b);
  const ground = (node) => {
    for (let at = node; at; at = at.parentElement) {
      const c = parse(getComputedStyle(at).backgroundColor);
      if (c[3] > 0.99) return c;
    }
    return [255, 255, 255, 1];
  };
  const weak = [];
  const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (texts.nextNode()) {
    const node = texts.currentNode.parentElement;
    if (!texts.currentNode.data.trim() || ["SCRIPT", "STYLE"].includes(node.tagName)) continue;
    if (!node.getClientRects().length || node.closest("[disabled], :has(> :disabled)")) continue;
    const style = getComputedStyle(node);
    const ink = parse(node.namespaceURI.endsWith("svg") ? style.fill : style.color);
    const [a, b] = [lum(ink), lum(ground(node))].sort((x, y) => y - x);
    const ratio = (a + 0.05) / (b + 0.05);
    if (ratio < 4.5) weak.push(`${ratio.toFixed(2)} ${texts.currentNode.data.trim().slice(0, 40)}`);
  }
  return weak;
}
"""
"""Contrast by WCAG 2.2 (1.4.3) of every text that is seen, from computed colours."""


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_text_has_contrast(looked_at, scheme) -> None:
    looked_at.page.emulate_media(color_scheme=scheme)
    assert looked_at.page.evaluate(CONTRAST) == []


def test_dark_mode_is_dark_and_paper_is_not(looked_at) -> None:
    page = looked_at.page
    page.emulate_media(media="screen", color_scheme="dark")
    ground = page.evaluate("getComputedStyle(document.body).backgroundColor")
    assert ground == "rgb(20, 24, 29)"
    page.emulate_media(media="print", color_scheme="dark")
    assert page.evaluate("getComputedStyle(document.body).color") == "rgb(31, 39, 51)"


def test_everything_can_be_reached_by_keyboard(open_trends) -> None:
    wanted = {"pl-skip", "pl-pick", "pl-measure", "pl-unit", "pl-detail"}
    visit = by_daylight(open_trends)
    reached = set()
    for _ in range(60):
        visit.page.keyboard.press("Tab")
        reached.add(
            visit.page.evaluate(
                "document.activeElement.id || document.activeElement.name"
                " || document.activeElement.className"
            )
        )
        if wanted <= reached:
            break
    assert wanted <= reached


@pytest.fixture(scope="module")
def index(tmp_path_factory) -> Path:
    """Give an index long enough to be searched: thirteen clients, one of them gone for a while."""
    folder = tmp_path_factory.mktemp("index")
    rows = [row for n in range(13) for row in steady(f"client {n:02}", sessions=8)]
    gone = [row for row in rows if not ("client 07" in row and row.split(",")[1] > "2026-03-20")]
    results = compute_results(logbook(folder / "club", gone), "2026-03")
    runs = [ClientRun(client, "page.html") for client in results.clients]
    path = folder / "index.html"
    path.write_text(build_index(results, runs), encoding="utf-8")
    return path


def test_a_client_is_found_and_the_longest_gone_put_first(browser, index) -> None:
    with visiting(browser, index, drawn=False) as visit:
        page = visit.page
        names = "[...document.querySelectorAll('.pl-index tbody tr:not([hidden]) th a')].map(a => a.textContent)"
        assert len(page.evaluate(names)) == 13
        page.fill("#pl-find", "Client 07")
        assert page.evaluate(names) == ["client 07"]
        page.fill("#pl-find", "")
        page.select_option("#pl-order", "last")
        first = "[...document.querySelectorAll('.pl-group')].map(g => g.querySelector('th a').textContent)"
        assert "client 07" in page.evaluate(first)
        page.select_option("#pl-order", "need")
        assert len(page.evaluate(names)) == 13
        assert visit.complaints == []


def shown(page) -> str:
    until(page, "!!document.documentElement.dataset.shown")
    return page.evaluate("document.documentElement.dataset.shown")


def axis_title(page) -> str:
    return page.locator("#pl-detail .role-axis-title").first.text_content()


def test_lift_measure_and_unit_are_chosen_and_drawn(chosen_from, open_trends) -> None:
    page = chosen_from
    page.select_option("#pl-pick", label="Bench press")
    until(page, "document.getElementById('pl-window-name').textContent === 'Bench press'")
    assert "e1RM" in page.inner_text(".pl-controls")
    points = page.locator("#pl-detail .mark-symbol path")
    until(page, "document.querySelectorAll('#pl-detail .mark-symbol path').length === 20")
    assert points.count() == 20
    assert axis_title(page) == "Estimated one-rep maximum, kg"

    page.check("input[name=pl-unit][value=lb]", force=True)
    until(page, "document.documentElement.dataset.shown.endsWith('lb')")
    assert axis_title(page) == "Estimated one-rep maximum, lb"
    # 60 kg x 3 sets of 8: the heaviest set, 107.5 kg, is 237 lb (0.45359237 kg a pound).
    assert "237 lb × 8" in page.inner_text(".pl-chosen").replace("\u00a0", " ")

    page.check("input[name=pl-measure][value=volume]", force=True)
    until(page, "document.documentElement.dataset.shown.includes('volume')")
    assert axis_title(page) == "Volume-load a week, lb"
    assert page.locator("#pl-detail .mark-rect path").count() >= 20
    assert open_trends.complaints == []


def test_body_mass_lift_has_reps_for_volume(chosen_from) -> None:
    page = chosen_from
    page.select_option("#pl-pick", label="Pull-up")
    page.check("input[name=pl-measure][value=volume]", force=True)
    until(page, "document.documentElement.dataset.shown.includes('volume')")
    assert axis_title(page) == "Reps a week"


def test_brush_and_buttons_choose_a_stretch_of_time(chosen_from) -> None:
    page = chosen_from
    page.select_option("#pl-pick", label="Bench press")
    count = "document.querySelectorAll('#pl-detail .mark-symbol path').length"
    until(page, f"{count} === 20")
    page.locator("#pl-overview").scroll_into_view_if_needed()
    box = page.locator("#pl-overview svg").bounding_box()
    height = box["y"] + 20
    page.mouse.move(box["x"] + box["width"] * 0.2, height)
    page.mouse.down()
    page.mouse.move(box["x"] + box["width"] * 0.4, height, steps=4)
    page.mouse.move(box["x"] + box["width"] * 0.6, height, steps=4)
    page.mouse.up()
    until(page, f"{count} > 0 && {count} < 20")
    page.check("input[name=pl-stretch][value='0']", force=True)
    until(page, f"{count} === 20")
    page.check("input[name=pl-stretch][value='91']", force=True)
    until(page, f"{count} > 5 && {count} < 15")


def test_name_in_the_table_leads_to_the_picture(chosen_from) -> None:
    chosen_from.locator("a[data-lift]", has_text="Pull-up").click()
    until(chosen_from, "document.getElementById('pl-window-name').textContent === 'Pull-up'")
