"""Tables: accessible, stackable, and never a way in for markup."""

from __future__ import annotations

from html.parser import HTMLParser

from hypothesis import given
from hypothesis import strategies as st
from markupsafe import Markup

from plateline.report.blocks import paragraphs
from plateline.report.opening import note_block
from plateline.report.sentences_tables import against, scale_words
from plateline.report.tables import Column, lines, mark, quiet, table

from .rows import a_lift

COLUMNS = (
    Column("lift", "Lift"),
    Column("load", "Load", numeric=True),
    Column("note", "Note", minor=True),
)


class Tags(HTMLParser):
    """Collects the tags that a browser would see."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.seen: list[tuple[str, dict[str, str | None]]] = []
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.seen.append((tag, dict(attrs)))

    def of(self, tag: str) -> list[dict[str, str | None]]:
        return [attributes for name, attributes in self.seen if name == tag]


def test_a_table_has_a_caption_and_scoped_headers() -> None:
    html = str(table("Loads", COLUMNS, [{"lift": "Squat", "load": "80 kg"}]).html)
    tags = Tags(html)
    assert len(tags.of("caption")) == 1
    assert [head["scope"] for head in tags.of("th")] == ["col", "col", "col", "row"]
    assert [cell["data-label"] for cell in tags.of("td")] == ["Load", "Note"]


def test_a_table_without_rows_is_a_sentence() -> None:
    assert "Nothing was logged." in str(
        table("Loads", COLUMNS, [], empty="Nothing was logged.").html
    )


PAYLOADS = [
    "<img src=x onerror=alert(1)>",
    "</script><script>alert(1)</script>",
    "&lt;b&gt;",
    "\"'`",
]


@given(st.one_of(st.sampled_from(PAYLOADS), st.text(max_size=40)))
def test_a_persons_text_never_becomes_markup(text: str) -> None:
    expected = Tags(str(table("c", COLUMNS, [{"lift": "a", "load": "b", "note": "c"}]).html)).seen
    html = str(table("c", COLUMNS, [{"lift": text, "load": text, "note": text}]).html)
    assert [tag for tag, _ in Tags(html).seen] == [tag for tag, _ in expected]
    for made in (quiet(text), lines(text), paragraphs([text]).html, mark(text)):
        assert not {tag for tag, _ in Tags(str(made)).seen} - {"span", "p", "small"}


def test_a_note_is_paragraphs_and_lists_and_never_html() -> None:
    note = "Well done <b>Ann</b>!\n\n- one\n- two <script>x</script>\n\nSee you."
    tags = [tag for tag, _ in Tags(str(note_block(note).html)).seen]
    assert tags == ["aside", "p", "ul", "li", "li", "p"]


@given(st.text(max_size=200))
def test_any_note_can_be_shown(note: str) -> None:
    tags = {tag for tag, _ in Tags(str(note_block(note).html)).seen}
    assert tags <= {"aside", "p", "ul", "li"}


def test_the_text_twin_has_no_tags() -> None:
    block = table(
        "Loads", COLUMNS, [{"lift": lines("Squat", quiet("a < b")), "load": Markup("80")}]
    )
    assert "Squat, a < b | 80" in repr(block)


def test_a_maximum_told_from_long_sets_says_so() -> None:
    assert scale_words(a_lift(best_reps=9)) == "estimated 1RM"
    assert scale_words(a_lift(best_reps=17)) == "estimated 1RM, from sets of 17"
    assert scale_words(a_lift(best_reps=None)) == "estimated 1RM"


def test_what_hardly_changed_is_as_last_month() -> None:
    assert against(1004.0, 1000.0) == "as last month"
    assert against(1100.0, 1000.0).startswith("+10")
    assert against(1000.0, None) == ""
