"""What a page needs to draw figures by itself: the chart runtime, and still pictures."""

from __future__ import annotations

import contextlib
import functools
import importlib.metadata
import json
import os
import re
import sys
import tempfile
import zlib
from pathlib import Path
from typing import Any

from plateline.charts.figure import STILL_WIDTH, VEGA_LITE
from plateline.charts.fonts import fonts_for
from plateline.charts.theme import CSS_ROLES

__all__ = ["runtime_script", "still_svg", "with_css_colours"]

AXIS_ROOM = 40
"""What the labels beside a plot take, about; the page scales pictures to its column anyway."""

SNIPPET = "window.plateline = {embed: vegaEmbed};"
"""What the runtime leaves behind for a page's own script; all else stays out of sight."""


@functools.cache
def runtime_script() -> str:
    """Return the chart runtime (Vega, Vega-Lite and their embedder) as one classic script.

    Bundling takes about a second, so the text is kept in the user's cache folder, under a
    name that tells the versions it was made by; where that folder cannot be written, it is
    made anew. The script may stand inside a page: it holds no closing script tag.
    """
    version = importlib.metadata.version("vl-convert-python")
    kind = f"{zlib.crc32(SNIPPET.encode()):08x}"
    kept = _cache_folder() / f"chart-runtime-{version}-{VEGA_LITE}-{kind}.js"
    with contextlib.suppress(OSError, UnicodeDecodeError):
        script = kept.read_text(encoding="utf-8")
        if script.endswith(_END):
            return script
    import vl_convert

    bundle = vl_convert.javascript_bundle(SNIPPET, vl_version=VEGA_LITE)
    safe = bundle.replace("</script", "<\\/script").replace("<!--", "<\\!--")
    script = f"(()=>{{{safe}{_END}"
    with contextlib.suppress(OSError):
        _write_aside(kept, script)
    return script


_END = "})();\n"


def _cache_folder() -> Path:
    if sys.platform == "win32":
        base = os.environ.get("LOCALAPPDATA") or Path.home() / "AppData" / "Local"
    else:
        base = os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache"
    return Path(base) / "plateline"


def _write_aside(path: Path, text: str) -> None:
    """Write a file whole or not at all: two processes may be making it at once."""
    path.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.NamedTemporaryFile(
        "w", encoding="utf-8", dir=path.parent, prefix=path.name, delete=False
    ) as aside:
        aside.write(text)
    Path(aside.name).replace(path)


def still_svg(spec: dict[str, Any], *, prefix: str, width: int = STILL_WIDTH) -> str:
    """Draw a specification as SVG to be put into a page.

    Parameters
    ----------
    spec
        A Vega-Lite specification with its theme.
    prefix
        What the picture's own ids begin with, so that many pictures fit into one page.
    width
        Width in pixels, about, where the specification asks for its container's.

    Returns
    -------
    str
        An `<svg>` element whose colours are the page's CSS variables; hidden from screen
        readers, since the page puts the text alternative on the element around it.
    """
    import vl_convert

    drawn = _without_params(spec)
    if drawn.get("width") == "container":
        # Not fitted into the width: a second layout would cost a quarter of the drawing.
        drawn["width"] = width - AXIS_ROOM
    text = json.dumps(drawn, ensure_ascii=False)
    fonts_for(text)
    return _slim(vl_convert.vegalite_to_svg(text, vl_version=VEGA_LITE), prefix)


def _without_params(spec: Any) -> Any:
    """Return a specification without what only a pointer can use."""
    if isinstance(spec, list):
        return [_without_params(part) for part in spec]
    if not isinstance(spec, dict):
        return spec
    if "values" in spec:
        return spec
    return {
        key: _without_params(value)
        for key, value in spec.items()
        if key not in ("params", "tooltip") and not (key == "condition" and _of_param(value))
    }


def _of_param(condition: Any) -> bool:
    return isinstance(condition, dict) and "param" in condition


_TAG = re.compile(r"<[a-zA-Z][^>]*>")
_NOISE = re.compile(
    r' (?:role|aria-[a-z]+|pointer-events|class|xmlns:xlink|version)="[^"]*"'
    r'| transform="translate\(0,0\)"'
)
_COLOUR = re.compile(r'(fill|stroke)="(#[0-9a-fA-F]{6})"')
_ID = re.compile(r'\bid="([^"]+)"')
_LONG = re.compile(r"(\d+\.\d)\d+")
_COORDINATES = re.compile(r' (?:d|transform|x|y|x1|x2|y1|y2)="[^"]*"')


def _slim(svg: str, prefix: str) -> str:
    """Return SVG with less in it: no roles, short numbers, our colours, ids of its own."""
    names = {old: f"{prefix}-{place}" for place, old in enumerate(_ID.findall(svg))}

    def tidy(tag: re.Match[str]) -> str:
        text = _NOISE.sub("", tag.group())
        text = _COORDINATES.sub(lambda m: _LONG.sub(r"\1", m.group()), text)
        text = _COLOUR.sub(_as_variable, text)
        for old, new in names.items():
            text = text.replace(f'id="{old}"', f'id="{new}"').replace(
                f"url(#{old})", f"url(#{new})"
            )
        return text

    head = '<svg aria-hidden="true" focusable="false" '
    return _TAG.sub(tidy, svg).replace("<svg ", head, 1)


def _as_variable(found: re.Match[str]) -> str:
    role = CSS_ROLES.get(found.group(2).lower())
    return f'{found.group(1)}="var(--pl-{role})"' if role else found.group()


def with_css_colours(spec: Any) -> Any:
    """Return a specification whose theme colours are the page's CSS variables; data are left."""
    if isinstance(spec, list):
        return [with_css_colours(part) for part in spec]
    if isinstance(spec, dict):
        return {k: v if k == "values" else with_css_colours(v) for k, v in spec.items()}
    if isinstance(spec, str) and spec in CSS_ROLES:
        return f"var(--pl-{CSS_ROLES[spec]})"
    return spec
