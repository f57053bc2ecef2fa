"""A picture with its title and its text alternative, ready for a notebook or a page."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

from plateline.charts.fonts import fonts_for
from plateline.charts.theme import CONFIG

if TYPE_CHECKING:
    import altair as alt

__all__ = ["MIME_TYPE", "MIME_TYPES", "STILL_WIDTH", "VEGA_LITE", "Figure"]

MIME_TYPE = "application/vnd.vegalite.v5+json"
"""What a figure is shown as. JupyterLab 4.6 draws this type by itself and knows no later one;
our specifications are valid in Vega-Lite 5 and 6 alike."""

MIME_TYPES = (MIME_TYPE, "application/vnd.vegalite.v6+json")
"""All types that a page draws: others' charts stand beside ours in a notebook."""

SCHEMA = "https://vega.github.io/schema/vega-lite/v5.json"
VEGA_LITE = "6.4"
"""The version that pages and pictures are drawn with."""

STILL_WIDTH = 440
"""Width in pixels of a still picture: readable on a phone, and in a column of print."""

NOTEBOOK_WIDTH = 680
"""Width in pixels of a figure in a notebook."""


class Figure:
    """A Vega-Lite specification with a title, a text alternative and a caption.

    The specification is plain Vega-Lite, an open format, written without the theme; it is
    checked against Altair's schema in the tests and not at run time, where building the
    same chart through Altair's checks costs a hundred times as much (13 ms against 0.1 ms a
    chart). `chart` gives it as an Altair chart to whoever wants to go on from there.

    Parameters
    ----------
    spec
        A Vega-Lite specification, or an Altair chart. Its width may be `"container"`.
    title
        A short plain heading; shown above the picture, not in it.
    alt
        What a reader who cannot see the picture needs to know, in a sentence or two.
    caption
        How to read the picture; shown below it. May be empty.
    """

    def __init__(
        self, spec: dict[str, Any] | alt.TopLevelMixin, *, title: str, alt: str, caption: str = ""
    ) -> None:
        self._spec = spec if isinstance(spec, dict) else spec.to_dict(validate=False)
        self.title = title
        self.alt = alt
        self.caption = caption

    @property
    def spec(self) -> dict[str, Any]:
        """The specification with theme and text alternative, without the title."""
        width = {} if _is_composed(self._spec) else {"width": "container"}
        return {
            "$schema": SCHEMA,
            **width,
            **self._spec,
            "description": self.alt,
            "config": {**CONFIG, **self._spec.get("config", {})},
        }

    @property
    def chart(self) -> alt.TopLevelMixin:
        """The figure as an Altair chart, to change or to combine."""
        import altair as alt

        return alt.Chart.from_dict(self.titled_spec(), validate=False)

    def titled_spec(self, width: int | None = None) -> dict[str, Any]:
        """Return the specification with its title in the picture, at a width in pixels."""
        spec = self.spec
        if width is not None and not _is_composed(spec):
            spec |= {"width": width, "autosize": {"type": "fit-x", "contains": "padding"}}
        return spec | {"title": {"text": self.title}}

    def to_svg(self, *, titled: bool = True, width: int = STILL_WIDTH) -> str:
        """Draw the figure as SVG text, `width` pixels wide."""
        import vl_convert

        spec = self._at(width, titled)
        fonts_for(json.dumps(spec, ensure_ascii=False))
        return vl_convert.vegalite_to_svg(spec, vl_version=VEGA_LITE)

    def to_png(self, *, titled: bool = True, width: int = 760, scale: float = 2.0) -> bytes:
        """Draw the figure as a PNG picture, `width` times `scale` pixels wide."""
        import vl_convert

        spec = self._at(width, titled)
        fonts_for(json.dumps(spec, ensure_ascii=False))
        return vl_convert.vegalite_to_png(spec, vl_version=VEGA_LITE, scale=scale)

    def save(self, path: Path) -> None:
        """Write the figure to a file; `.svg` or `.png` says which kind."""
        if path.suffix == ".svg":
            path.write_text(self.to_svg(width=760), encoding="utf-8")
        else:
            path.write_bytes(self.to_png())

    def _at(self, width: int, titled: bool) -> dict[str, Any]:
        spec = self.titled_spec(width)
        if not titled:
            del spec["title"]
        return spec

    def _repr_mimebundle_(
        self, include: Any = None, exclude: Any = None
    ) -> tuple[dict[str, Any], dict[str, Any]]:
        # A fixed width: JupyterLab 4.6 resizes a figure as wide as its container for ever, and
        # the browser hangs. A sealed page makes it fluid again.
        spec = self.titled_spec(NOTEBOOK_WIDTH)
        data = {MIME_TYPE: spec, "text/plain": f"{self.title}. {self.alt}"}
        words = {"title": self.title, "alt": self.alt, "caption": self.caption}
        return data, {"plateline": {**words, "fluid": not _is_composed(self._spec)}}

    def __repr__(self) -> str:
        return f"Figure({self.title!r})"


def _is_composed(spec: dict[str, Any]) -> bool:
    """Say whether the specification sets the size of its parts itself."""
    return bool({"facet", "hconcat", "vconcat", "concat", "repeat"} & spec.keys())
