"""The frame of every page: policy, style, landmarks, figures, and the script that draws."""

from __future__ import annotations

import base64
import functools
import hashlib
import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from importlib import resources
from typing import Any

from markupsafe import Markup

from plateline.charts.runtime import runtime_script, still_svg, with_css_colours
from plateline.charts.theme import CONFIG

__all__ = ["Picture", "asset", "figure_markup", "json_island", "page_markup", "still_figure"]


@dataclass(frozen=True)
class Picture:
    """A figure as it stands in a page."""

    number: int
    spec: dict[str, Any] = field(repr=False)
    title: str
    alt: str
    caption: str = ""


@functools.cache
def asset(name: str) -> str:
    """Return the text of one of the page's own files (style, script, template)."""
    return (resources.files("plateline.report") / "assets" / name).read_text(encoding="utf-8")


def json_island(value: Any, *, css_class: str = "", ident: str = "") -> Markup:
    """Return data for the page's script; no character of it can end the element it is in."""
    text = json.dumps(value, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    for character in "<>&\u2028\u2029":
        text = text.replace(character, f"\\u{ord(character):04x}")
    return Markup('<script type="application/json"{}{}>{}</script>').format(
        Markup(' class="{}"').format(css_class) if css_class else "",
        Markup(' id="{}"').format(ident) if ident else "",
        Markup(text),
    )


def figure_markup(picture: Picture) -> Markup:
    """Return a figure: heading, still picture, caption, and what the script draws from."""
    name = f"pl-f{picture.number}"
    spec = {key: value for key, value in picture.spec.items() if key != "$schema"}
    still = Markup(still_svg(spec, prefix=name))
    if spec.get("config") == CONFIG:
        del spec["config"]
    heading = (
        Markup('<h3 id="{}">{}</h3>').format(name, picture.title) if picture.title else Markup("")
    )
    caption = (
        Markup("<figcaption>{}</figcaption>").format(picture.caption)
        if picture.caption
        else Markup("")
    )
    return Markup(
        '<figure class="pl-figure"{labelled}>{heading}'
        '<div class="pl-picture"><div class="pl-live"></div>'
        '<div class="pl-still" role="img" aria-label="{alt}">{still}</div></div>'
        "{caption}{spec}</figure>"
    ).format(
        labelled=Markup(' aria-labelledby="{}"').format(name) if picture.title else Markup(""),
        heading=heading,
        alt=picture.alt,
        still=still,
        caption=caption,
        spec=json_island(with_css_colours(spec), css_class="pl-spec"),
    )


def still_figure(picture: Picture) -> Markup:
    """Return a figure that is never drawn anew: a still picture and its text alternative."""
    still = Markup(still_svg(picture.spec, prefix=f"pl-f{picture.number}"))
    return Markup(
        '<figure class="pl-still-figure"><div class="pl-still" role="img" aria-label="{}">{}</div>'
        "</figure>"
    ).format(picture.alt, still)


def page_markup(
    *,
    title: str,
    sections: Iterable[Markup],
    pictures: Sequence[Picture] = (),
    lang: str = "en",
    styles: Sequence[str] = (),
    scripts: Sequence[str] = (),
    data: Markup | str = "",
    runtime: bool | None = None,
) -> str:
    """Return a whole page.

    Parameters
    ----------
    title
        The page's title; also its first heading, where no section brings one.
    sections
        The body, as escaped markup.
    pictures
        The figures in it; the chart runtime is embedded where there is any.
    lang
        The language of the text.
    styles, scripts
        Further style sheets and scripts of the page's own, by asset name.
    data
        What those scripts work on: data islands.
    runtime
        Embed the chart runtime though there are no figures (a script draws them).
    """
    import jinja2

    body = Markup("\n").join(sections)
    draws = bool(pictures) if runtime is None else runtime
    texts = [runtime_script()] if draws else []
    texts += [asset("charts.js")] if draws else []
    texts += [asset(name) for name in scripts]
    environment = jinja2.Environment(
        autoescape=True, undefined=jinja2.StrictUndefined, trim_blocks=True, lstrip_blocks=True
    )
    return environment.from_string(asset("page.html.j2")).render(
        lang=lang,
        title=title,
        policy=_policy(texts),
        style=Markup("\n".join(asset(name) for name in ("page.css", *styles))),
        data=data,
        heading="" if "<h1" in body else title,
        body=body,
        config=json_island(with_css_colours(CONFIG), ident="pl-config") if draws else "",
        scripts=[Markup(text) for text in texts],
    )


def _policy(scripts: Sequence[str]) -> str:
    """Return a content security policy: these scripts, inline style, and no address at all."""
    digests = [
        f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"
        for text in scripts
    ]
    return "; ".join(
        [
            "default-src 'none'",
            f"script-src {' '.join(digests) or chr(39) + 'none' + chr(39)}",
            "style-src 'unsafe-inline'",
            "img-src data:",
            "base-uri 'none'",
            "form-action 'none'",
        ]
    )
