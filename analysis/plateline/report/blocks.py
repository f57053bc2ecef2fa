"""Pieces of a page: escaped HTML with a plain-text twin.

Text reaches HTML only through markupsafe, which escapes whatever is not already `Markup`;
nothing in this room puts a person's text into `Markup`, `Markdown` or `HTML` by itself.
"""

from __future__ import annotations

from collections.abc import Iterable

from markupsafe import Markup, escape

__all__ = ["Block", "Gallery", "paragraphs"]


class Block:
    """A piece of a page: HTML where it can be shown, text where not.

    Parameters
    ----------
    html
        Escaped markup.
    text
        The same as plain text.
    """

    def __init__(self, html: Markup, text: str) -> None:
        self.html = html
        self.text = text

    def _repr_html_(self) -> str:
        return str(self.html)

    def __repr__(self) -> str:
        return self.text

    def __add__(self, other: Block) -> Block:
        return Block(self.html + other.html, f"{self.text}\n\n{other.text}")


class Gallery:
    """Several figures or blocks shown one below the other by one cell."""

    def __init__(self, pieces: Iterable[object]) -> None:
        self.pieces = list(pieces)

    def _ipython_display_(self) -> None:
        from IPython.display import display

        for piece in self.pieces:
            display(piece)

    def __repr__(self) -> str:
        return "\n\n".join(repr(piece) for piece in self.pieces)


def paragraphs(sentences: Iterable[str], css: str = "pl-text") -> Block:
    """Return sentences as paragraphs of one class."""
    kept = [sentence for sentence in sentences if sentence]
    html = Markup("").join(Markup('<p class="{}">{}</p>').format(css, line) for line in kept)
    return Block(html, "\n\n".join(kept))


def escaped(value: object) -> Markup:
    """Return a value as escaped markup."""
    return escape(value)
