"""The sealed page: what is kept, what is hidden, what cannot run."""

from __future__ import annotations

import base64
import functools
import hashlib
import itertools
import json
import re
import zlib
from html.parser import HTMLParser

import nbformat
import pytest
from nbformat.v4 import new_code_cell, new_markdown_cell, new_notebook, new_output
from tests.sample_figures import PAYLOAD, every_figure

from plateline.errors import InputFileError
from plateline.report.page import asset, json_island
from plateline.report.seal import seal

MAX_BYTES = 3_000_000
MAX_GZIPPED = 700_000


def shown(**data: str) -> nbformat.NotebookNode:
    return new_output("display_data", data={k.replace("_", "/"): v for k, v in data.items()})


def drawn(figure) -> nbformat.NotebookNode:
    data, metadata = figure._repr_mimebundle_()
    return new_output("display_data", data=data, metadata=metadata)


def cell(*outputs: nbformat.NotebookNode, source: str = "secret_code()") -> nbformat.NotebookNode:
    return new_code_cell(source, outputs=list(outputs))


def page(*cells: nbformat.NotebookNode, title: str = "A page") -> str:
    return seal(new_notebook(cells=list(cells)), title=title)


class Elements(HTMLParser):
    """Collects what a browser would make of a page: elements and the text outside scripts."""

    def __init__(self, html: str) -> None:
        super().__init__(convert_charrefs=True)
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.text: list[str] = []
        self.scripts: list[str] = []
        self._inside = ""
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag in ("script", "style"):
            self._inside = tag
            self.scripts.append("")

    def handle_endtag(self, tag: str) -> None:
        if tag == self._inside:
            self._inside = ""

    def handle_data(self, data: str) -> None:
        if self._inside == "script":
            self.scripts[-1] += data
        elif not self._inside:
            self.text.append(data)

    @property
    def words(self) -> str:
        return " ".join("".join(self.text).split())


FIGURES = list(every_figure().values())


@functools.cache
def full_page() -> str:
    """Return a page with every figure, drawn by the first test that asks for it."""
    return page(
        cell(shown(text_html='<p class="pl-lead">Two lifts moved.</p>')),
        new_markdown_cell("## The lifts"),
        cell(*[drawn(figure) for figure in FIGURES[:2]]),
        new_markdown_cell("## The work"),
        cell(*[drawn(figure) for figure in FIGURES[2:]]),
        new_markdown_cell("## Nothing to show"),
        cell(),
        new_markdown_cell("## The end"),
        cell(shown(text_html='<p class="pl-text">Done.</p>')),
        new_markdown_cell("## Afterword"),
        cell(shown(text_html='<p class="pl-text">Really.</p>')),
    )


def test_code_prompts_and_warnings_are_hidden() -> None:
    html = page(
        cell(
            new_output("stream", name="stderr", text="FutureWarning: old"),
            new_output("stream", name="stdout", text="printed words"),
        )
    )
    assert "secret_code" not in html
    assert "FutureWarning" not in html
    assert "printed words" in html


def test_cells_that_are_tagged_away_are_left_out() -> None:
    hidden = new_markdown_cell("# For those who run this", metadata={"tags": ["remove-cell"]})
    assert "For those who run this" not in page(hidden, cell())


def test_chapter_without_content_is_left_out() -> None:
    words = Elements(full_page()).words
    assert "Nothing to show" not in words
    assert "The end" in words


def test_same_notebook_gives_the_same_bytes() -> None:
    cells = (new_markdown_cell("## Lifts"), cell(*[drawn(f) for f in FIGURES]))
    assert page(*cells) == page(*cells)


def test_runtime_is_embedded_once_and_only_where_needed() -> None:
    assert (
        full_page().count("window.plateline = {embed")
        + full_page().count("window.plateline={embed")
        == 1
    )
    assert len(page(cell(shown(text_html='<p class="pl-text">No chart.</p>')))) < 60_000


def test_every_figure_is_there_twice_with_its_text_alternative() -> None:
    elements = Elements(full_page())
    stills = [a for t, a in elements.tags if a.get("class") == "pl-still"]
    specs = [a for t, a in elements.tags if a.get("class") == "pl-spec"]
    assert len(stills) == len(specs) == len(FIGURES)
    assert [a["aria-label"] for a in stills] == [figure.alt for figure in FIGURES]
    assert all(a["role"] == "img" for a in stills)


def test_figures_are_as_wide_as_their_place() -> None:
    specs = re.findall(r'class="pl-spec">(.*?)</script>', full_page())
    assert {json.loads(spec)["width"] for spec in specs} == {"container"}
    assert not any("autosize" in json.loads(spec) for spec in specs)


def test_page_is_small_enough_to_send() -> None:
    data = full_page().encode()
    assert len(data) < MAX_BYTES
    assert len(zlib.compress(data, 6)) < MAX_GZIPPED


def test_policy_names_every_script_and_no_address() -> None:
    elements = Elements(full_page())
    (policy,) = [a["content"] for t, a in elements.tags if a.get("http-equiv")]
    assert policy is not None
    assert "default-src 'none'" in policy
    assert "http" not in policy
    assert "unsafe-eval" not in policy
    script_rule = re.search(r"script-src ([^;]*)", policy)
    assert script_rule is not None
    assert "unsafe-inline" not in script_rule.group(1)
    ran = re.findall(r"<script>(.*?)</script>", full_page(), re.DOTALL)
    digests = [base64.b64encode(hashlib.sha256(text.encode()).digest()).decode() for text in ran]
    assert script_rule.group(1).split() == [f"'sha256-{digest}'" for digest in digests]


def test_nothing_is_loaded_from_anywhere() -> None:
    loading = {"src", "srcset", "data", "poster", "action", "background"}
    for tag, attributes in Elements(full_page()).tags:
        assert loading.isdisjoint(attributes), (tag, attributes)
        assert (attributes.get("href") or "#").startswith("#")
    assert "@import" not in full_page()
    assert "url(http" not in full_page()


def test_landmarks_headings_and_language() -> None:
    elements = Elements(full_page())
    names = [tag for tag, _ in elements.tags]
    assert names.count("main") == 1
    assert names.count("h1") == 1
    assert ("html", {"lang": "en"}) in elements.tags
    levels = [int(name[1]) for name in names if re.fullmatch(r"h[1-6]", name)]
    assert levels[0] == 1
    assert all(after - before <= 1 for before, after in itertools.pairwise(levels))


def test_chapters_are_listed_and_the_links_lead_to_them() -> None:
    elements = Elements(full_page())
    links = [a["href"] for t, a in elements.tags if t == "a" and a.get("class") != "pl-skip"]
    idents = {f"#{a['id']}" for _, a in elements.tags if a.get("id")}
    assert links == ["#the-lifts", "#the-work", "#the-end", "#afterword"]
    assert set(links) <= idents


def test_ids_are_unique() -> None:
    idents = [a["id"] for _, a in Elements(full_page()).tags if a.get("id")]
    assert len(idents) == len(set(idents))


@pytest.mark.parametrize(
    "made",
    [
        cell(new_output("stream", name="stdout", text=PAYLOAD)),
        cell(shown(text_plain=PAYLOAD)),
        cell(shown(text_markdown=PAYLOAD)),
        cell(shown(text_html=f"<div>{PAYLOAD}</div>")),
        cell(shown(text_html=f"<table><tr><td onclick='x()'>{PAYLOAD}</td></tr></table>")),
        cell(shown(text_html=PAYLOAD)),
        cell(new_output("error", ename="ValueError", evalue=PAYLOAD, traceback=[])),
        new_markdown_cell(f"## {PAYLOAD}"),
        new_markdown_cell(f"![x](https://example.org/a.png) {PAYLOAD}"),
        new_markdown_cell("[x](javascript:window.hacked=3)"),
        cell(*[drawn(figure) for figure in every_figure(PAYLOAD).values()]),
    ],
)
def test_markup_in_data_never_becomes_markup(made: nbformat.NotebookNode) -> None:
    html = page(made, new_markdown_cell("After."), title=f"Of {PAYLOAD}")
    elements = Elements(html)
    tags = [tag for tag, _ in elements.tags]
    assert "img" not in tags
    assert not any("window.hacked" in script.split("\\u003c")[0] for script in elements.scripts)
    for _, attributes in elements.tags:
        assert not any(name.startswith("on") for name in attributes)
        assert not (attributes.get("href") or "").startswith("javascript")
    assert "After." in elements.words


def test_title_and_payload_are_shown_as_text() -> None:
    elements = Elements(page(cell(shown(text_plain=PAYLOAD)), title=PAYLOAD))
    assert elements.words.count('<img src=x onerror="window.hacked=1">') >= 2


def test_own_markup_is_kept_and_foreign_is_cleaned() -> None:
    own = '<p class="pl-lead">Kept <span class="pl-state pl-state-plateau">plateau</span></p>'
    foreign = '<style>td{color:red}</style><table class="x"><tr><td style="y">7</td></tr></table>'
    html = page(cell(shown(text_html=own)), cell(shown(text_html=foreign)))
    assert own in html
    assert "<td>7</td>" in html
    assert "color:red" not in html


def test_failed_cell_is_a_sentence() -> None:
    failed = new_output("error", ename="KeyError", evalue="'rir'", traceback=["Traceback ..."])
    words = Elements(page(cell(failed))).words
    assert "could not be made" in words
    assert "Traceback" not in words


@pytest.mark.parametrize("version", ["v5+json", "v6+json"])
def test_foreign_chart_without_words_still_has_a_text_alternative(version: str) -> None:
    spec = {"data": {"values": [{"a": 1}]}, "mark": "point", "title": ["Two", "lines"],
            "encoding": {"x": {"field": "a", "type": "quantitative"}}}  # fmt: skip
    output = new_output("display_data", data={f"application/vnd.vegalite.{version}": spec})
    stills = [a for _, a in Elements(page(cell(output))).tags if a.get("class") == "pl-still"]
    assert [a["aria-label"] for a in stills] == ["Two lines"]


def test_notebook_file_is_read(tmp_path) -> None:
    path = tmp_path / "run.ipynb"
    nbformat.write(new_notebook(cells=[cell(shown(text_plain="from a file"))]), path)
    assert "from a file" in seal(path, title="x")


@pytest.mark.parametrize("content", [None, "", "not json", "[]"])
def test_unreadable_notebook_is_one_sentence(tmp_path, content: str | None) -> None:
    path = tmp_path / "broken.ipynb"
    if content is not None:
        path.write_text(content)
    with pytest.raises(InputFileError, match=r"broken\.ipynb cannot be read as a notebook"):
        seal(path, title="x")


def test_data_island_cannot_be_left() -> None:
    island = str(json_island({"name": "</script><!--\u2028&"}))
    assert island.count("<") == 2
    assert "\u2028" not in island


def test_own_scripts_never_write_markup() -> None:
    for name in ("charts.js", "trends.js"):
        script = asset(name)
        for risky in ("innerHTML", "outerHTML", "insertAdjacentHTML", "document.write", "eval("):
            assert risky not in script
        assert "</script" not in script
