"""The fonts that pictures are measured and drawn in: the ones that the chart runtime brings.

With them a picture is the same on every machine, whatever is installed there. They also lie in
memory: the runtime opens a font file anew for every letter that it measures, which was two
thirds of the time that a page took.
"""

from __future__ import annotations

import functools
import os
import re
from importlib import resources
from pathlib import Path

__all__ = ["fonts_for"]

_VARIABLE = "FONTCONFIG_FILE"
"""Where the runtime looks up this machine's fonts; only read there, and only on Linux."""

# What Liberation Sans has: Latin, Greek, Cyrillic, Hebrew, punctuation, arrows, mathematics.
_BEYOND = re.compile("[^\u0000-\u05ff\u1e00-\u22ff\u2500-\u25ff\ufb00-\ufb4f]")

# Where Linux keeps fonts (Filesystem Hierarchy Standard 3.0; XDG Base Directory Specification).
_FOLDERS = ("/usr/share/fonts", "/usr/local/share/fonts", "~/.local/share/fonts", "~/.fonts")


def fonts_for(text: str) -> None:
    """Make fonts ready for a text, before it is measured or drawn in this process.

    Parameters
    ----------
    text
        All text of a picture. Letters that the runtime's own fonts lack (Chinese, Arabic) are
        looked for among this machine's.
    """
    _own_fonts()
    if _BEYOND.search(text):
        _machine_fonts()


@functools.cache
def _own_fonts() -> None:
    """Have the runtime load its fonts, once a process, while it sees no others."""
    import vl_convert

    before = os.environ.get(_VARIABLE)
    os.environ[_VARIABLE] = str(resources.files("plateline.charts") / "no_fonts.conf")
    try:
        letter = {"type": "text", "encode": {"enter": {"text": {"value": "a"}}}}
        vl_convert.vega_to_svg({"marks": [letter]})
    finally:
        # A browser that prints a page looks there too.
        if before is None:
            del os.environ[_VARIABLE]
        else:
            os.environ[_VARIABLE] = before


@functools.cache
def _machine_fonts() -> None:
    import vl_convert

    for name in _FOLDERS:
        folder = Path(name).expanduser()
        if folder.is_dir():
            vl_convert.register_font_directory(str(folder))
