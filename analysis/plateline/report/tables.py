"""Accessible tables as escaped HTML.

Every table has a caption, column headers with ``scope="col"`` and row headers with
``scope="row"``. Every cell names its column in ``data-label``, so that a narrow page can
stack a row's cells one below the other instead of scrolling sideways. A column may be
marked `minor`: a narrow page may leave it out.

Class names the page's style sheet knows: ``pl-table``, ``pl-number`` (right aligned),
``pl-minor``, ``pl-wide`` (takes the whole width of a phone), ``pl-compact`` (a table that stays one on a phone), ``pl-lines`` and ``pl-line``
(the lines of a cell), ``pl-state pl-state-<state>``, ``pl-quiet`` (secondary text), ``pl-empty``.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from markupsafe import Markup, escape

from plateline.report.blocks import Block, paragraphs

__all__ = ["Column", "lines", "mark", "quiet", "table"]

_BREAK = Markup('<br class="pl-break">')

Cell = str | Markup | int | float | None


@dataclass(frozen=True)
class Column:
    """A column: the key of its cells, its header, and how it is set."""

    key: str
    header: str
    numeric: bool = False
    minor: bool = False
    wide: bool = False

    @property
    def css(self) -> str:
        """The class names of the column's cells."""
        return " ".join(
            name
            for name, on in (
                ("pl-number", self.numeric),
                ("pl-minor", self.minor),
                ("pl-wide", self.wide),
            )
            if on
        )


def table(
    caption: str,
    columns: Sequence[Column],
    rows: Iterable[Mapping[str, Cell]],
    *,
    empty: str = "",
    css: str = "",
) -> Block:
    """Return a table; without rows, the sentence `empty`.

    Parameters
    ----------
    caption
        What the table is about, read out before it.
    columns
        The first is the row header.
    rows
        Cells by column key: `Markup` is kept, everything else is escaped; None is an empty cell.
    empty
        What to say when there is no row.
    css
        Further class names of the table.
    """
    body = list(rows)
    if not body:
        return paragraphs([empty], "pl-empty")
    head = Markup("").join(
        Markup('<th scope="col" class="{}">{}</th>').format(column.css, column.header)
        for column in columns
    )
    html = Markup(
        '<table class="pl-table {}"><caption>{}</caption><thead><tr>{}</tr></thead>'
        "<tbody>{}</tbody></table>"
    ).format(css, caption, head, Markup("").join(_row(columns, row) for row in body))
    return Block(html, _as_text(caption, columns, body))


def _row(columns: Sequence[Column], row: Mapping[str, Cell]) -> Markup:
    first, *others = columns
    cells = [
        Markup('<th scope="row" class="{}" data-label="{}">{}</th>').format(
            first.css, first.header, _shown(row.get(first.key))
        )
    ]
    cells += [
        Markup('<td class="{}" data-label="{}">{}</td>').format(
            column.css, column.header, _shown(row.get(column.key))
        )
        for column in others
    ]
    return Markup("<tr>{}</tr>").format(Markup("").join(cells))


def _shown(cell: Cell) -> Markup:
    return Markup("") if cell is None else escape(cell)


def _as_text(caption: str, columns: Sequence[Column], rows: Sequence[Mapping[str, Cell]]) -> str:
    plain = [" | ".join(_plain(row.get(column.key)) for column in columns) for row in rows]
    return "\n".join([caption, " | ".join(column.header for column in columns), *plain])


def _plain(cell: Cell) -> str:
    """Return a cell as text, its lines parted by commas."""
    if cell is None:
        return ""
    return Markup(str(escape(cell)).replace(_BREAK, ", ")).striptags()


def mark(state: str | None) -> Markup:
    """Return a state as a labelled mark; the word is always there, colour only repeats it."""
    if state is None:
        return Markup("")
    return Markup('<span class="pl-state pl-state-{0}">{0}</span>').format(state)


def quiet(text: str | Markup | None) -> Markup:
    """Return secondary text."""
    return Markup('<small class="pl-quiet">{}</small>').format(text) if text else Markup("")


def lines(*parts: str | Markup | None) -> Markup:
    """Return several pieces of one cell, each on a line of its own; on a phone, in one.

    The breaks are for where the page's style sheet is not, in a notebook; the page hides them.
    """
    kept = _BREAK.join(
        Markup('<span class="pl-line">{}</span>').format(part) for part in parts if part
    )
    return Markup('<span class="pl-lines">{}</span>').format(kept)
