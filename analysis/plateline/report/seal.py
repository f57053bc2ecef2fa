"""One executed notebook in, one HTML page out that opens anywhere, with no network at all.

Only what a reader should see is kept: text, tables and pictures; no code, no prompts, no
warnings. Every figure is there twice, as a still picture (for print, and where scripts do
not run) and as a specification that the page's own script draws over it.

Three walls stand between a person's text and a running script: text is escaped where it is
made; what is not the kit's own markup is cleaned or escaped here; and the page's policy
allows no script but the ones whose digests it names, and no address at all.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

from markupsafe import Markup, escape

from plateline.charts.figure import MIME_TYPES
from plateline.report.page import Picture, figure_markup, page_markup

if TYPE_CHECKING:
    from nbformat import NotebookNode

__all__ = ["seal"]

HIDDEN_TAG = "remove-cell"

CHAPTERS_FOR_A_LIST = 4
"""From so many chapters on, the page lists them after its opening."""


def seal(notebook: NotebookNode | Path, *, title: str, lang: str = "en") -> str:
    """Return an executed notebook as one HTML page.

    Parameters
    ----------
    notebook
        The executed notebook, or the path of one.
    title
        The page's title, and its heading where the notebook shows none.
    lang
        The language of the text, for screen readers and hyphenation.

    Returns
    -------
    str
        The page. The same notebook gives the same text, byte for byte.

    Raises
    ------
    InputFileError
        When a path is given that holds no readable notebook.
    """
    node = _read(notebook) if isinstance(notebook, Path) else notebook
    pictures: list[Picture] = []
    sections = list(_sections(node, pictures))
    return page_markup(title=title, lang=lang, sections=_listed(sections), pictures=pictures)


_HEADING = re.compile(r'<h2 id="([^"]*)">(.*?)</h2>', re.DOTALL)


def _listed(sections: list[Markup]) -> list[Markup]:
    """Put a list of the chapters after the opening, where there are several."""
    found = [match.groups() for section in sections if (match := _HEADING.search(section))]
    if len(found) < CHAPTERS_FOR_A_LIST:
        return sections
    links = Markup("").join(
        Markup('<li><a href="#{}">{}</a></li>').format(ident, Markup(name)) for ident, name in found
    )
    contents = Markup('<nav class="pl-nav" aria-label="On this page"><ul>{}</ul></nav>')
    opening = 0 if _HEADING.search(sections[0]) else 1
    return [*sections[:opening], contents.format(links), *sections[opening:]]


def _read(path: Path) -> NotebookNode:
    import nbformat

    from plateline.errors import InputFileError

    try:
        text = path.read_text(encoding="utf-8")
        if not text.lstrip().startswith("{"):
            raise ValueError("it is not a JSON object")
        return nbformat.reads(text, as_version=4)
    except (OSError, ValueError, nbformat.reader.NotJSONError) as fault:
        raise InputFileError(f"{path} cannot be read as a notebook ({fault}).") from None


def _sections(notebook: NotebookNode, pictures: list[Picture]) -> Iterator[Markup]:
    """Yield the page section by section: a heading of level two begins a new one.

    A heading with nothing under it is left out, so an analysis that had nothing to show
    leaves no empty chapter.
    """
    heading, parts = Markup(""), list[Markup]()
    for cell in notebook.cells:
        if HIDDEN_TAG in cell.metadata.get("tags", ()):
            continue
        if cell.cell_type == "markdown":
            text = _markdown(cell.source)
            text = Markup(str(text).replace("<h2>", f'<h2 id="{_anchor(text)}">', 1))
            if text.lstrip().startswith("<h2"):
                yield from _section(heading, parts)
                heading, parts = text, []
            else:
                parts.append(text)
        elif cell.cell_type == "code":
            parts += _gathered(_output(output, pictures) for output in cell.outputs)
    yield from _section(heading, parts)


def _anchor(text: str) -> str:
    """Return the plain letters of a heading as the name that links lead to."""
    heading = re.sub(r"<[^>]*>|&[a-z]+;", "", text.partition("</h2>")[0])
    return re.sub(r"[^a-z0-9]+", "-", heading.lower()).strip("-") or "part"


def _section(heading: Markup, parts: list[Markup]) -> Iterator[Markup]:
    kept = [part for part in parts if part.strip()]
    if kept:
        yield Markup("<section>{}{}</section>").format(heading, Markup("\n").join(kept))


def _gathered(pieces: Iterator[Markup]) -> Iterator[Markup]:
    """Put neighbouring figures side by side where the page is wide enough."""
    row: list[Markup] = []
    for piece in pieces:
        if piece.startswith('<figure class="pl-figure"'):
            row.append(piece)
            continue
        if row:
            yield _gallery(row)
            row = []
        yield piece
    if row:
        yield _gallery(row)


def _gallery(row: list[Markup]) -> Markup:
    return Markup('<div class="pl-gallery">{}</div>').format(Markup("\n").join(row))


def _output(output: Any, pictures: list[Picture]) -> Markup:
    if output.output_type == "stream":
        shown = output.name == "stdout" and output.text.strip()
        return Markup("<pre>{}</pre>").format(output.text) if shown else Markup("")
    if output.output_type == "error":
        return Markup('<p class="pl-caution">This part could not be made: {} ({}).</p>').format(
            output.evalue, output.ename
        )
    for kind, show in _SHOWN.items():
        if kind in output.data:
            return show(output, pictures)
    return Markup("")


def _figure(output: Any, pictures: list[Picture]) -> Markup:
    spec = dict(next(output.data[kind] for kind in MIME_TYPES if kind in output.data))
    words = output.metadata.get("plateline", {})
    heading = spec.pop("title", None)
    if words.get("fluid"):
        spec["width"] = "container"
        spec.pop("autosize", None)
    if isinstance(heading, dict):
        heading = heading.get("text")
    picture = Picture(
        number=len(pictures) + 1,
        spec=spec,
        title=words.get("title") or _plain(heading),
        alt=words.get("alt") or spec.get("description") or _plain(heading) or "A chart.",
        caption=words.get("caption", ""),
    )
    pictures.append(picture)
    return figure_markup(picture)


def _plain(text: Any) -> str:
    """Return a title of a foreign chart as text; Vega-Lite allows lists of lines."""
    return " ".join(map(str, text)) if isinstance(text, list) else str(text or "")


_OWN_MARKUP = re.compile(r"""\s*<[a-z0-9]+(?:\s[^<>]*)?\sclass=["']pl-[^<>]*>""")
_FOREIGN_TAGS = frozenset(
    [
        "table",
        "thead",
        "tbody",
        "tfoot",
        "tr",
        "th",
        "td",
        "caption",
        "p",
        "div",
        "span",
        "b",
        "i",
        "em",
        "strong",
        "small",
        "sub",
        "sup",
        "br",
        "hr",
        "ul",
        "ol",
        "li",
        "dl",
        "dt",
        "dd",
        "h3",
        "h4",
        "h5",
        "h6",
        "code",
        "pre",
        "blockquote",
    ]
)
_FOREIGN_ATTRIBUTES = {"th": ["scope", "colspan", "rowspan"], "td": ["colspan", "rowspan"]}


def _html(output: Any, pictures: list[Picture]) -> Markup:
    """Return HTML: the kit's own as it is, anybody else's (a frame, say) cleaned."""
    text = output.data["text/html"]
    if not text.strip() or _OWN_MARKUP.match(text):
        return Markup(text)
    import bleach

    without_style = re.sub(r"(?is)<(style|script)\b.*?</\1\s*>", "", text)
    cleaned = bleach.clean(without_style, tags=_FOREIGN_TAGS, attributes=_FOREIGN_ATTRIBUTES)
    return Markup('<div class="pl-scroll" tabindex="0">{}</div>').format(Markup(cleaned))


def _png(output: Any, pictures: list[Picture]) -> Markup:
    data = re.sub(r"[^A-Za-z0-9+/=]", "", output.data["image/png"])
    alt = output.data.get("text/plain", "")
    return Markup('<p><img alt="{}" src="data:image/png;base64,{}"></p>').format(alt, data)


def _markdown_output(output: Any, pictures: list[Picture]) -> Markup:
    return _markdown(output.data["text/markdown"])


def _text(output: Any, pictures: list[Picture]) -> Markup:
    text = output.data["text/plain"]
    return Markup("<pre>{}</pre>").format(text) if text.strip() else Markup("")


_SHOWN: dict[str, Callable[[Any, list[Picture]], Markup]] = {
    **dict.fromkeys(MIME_TYPES, _figure),
    "text/html": _html,
    "image/png": _png,
    "text/markdown": _markdown_output,
    "text/plain": _text,
}
"""The kinds of output that are shown, richest first; of each output one is."""


def _markdown(text: str) -> Markup:
    """Return Markdown as HTML; markup inside it is shown as text, links lead nowhere."""
    import mistune

    render = mistune.create_markdown(escape=True, plugins=["table"])
    html = str(render(text))
    return Markup(re.sub(r"<img\b[^>]*>", lambda tag: str(escape(tag.group())), html))
