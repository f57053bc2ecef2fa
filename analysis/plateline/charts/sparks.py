"""A trend at the size of a word: inline SVG, drawn directly, for tables and the index."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from html import escape

from plateline.charts.theme import BAND, MAIN, STATE_COLOURS

__all__ = ["spark"]

WIDTH, HEIGHT, EDGE = 120.0, 28.0, 4.0


def spark(
    values: Sequence[float | None],
    *,
    x: Sequence[float] | None = None,
    low: Sequence[float | None] | None = None,
    high: Sequence[float | None] | None = None,
    state: str | None = None,
    label: str = "",
) -> str:
    """Draw a small line as SVG text; `""` where fewer than two values are known.

    Parameters
    ----------
    values
        The line, in order. Unknown values (None or NaN) are left out.
    x
        Where each value stands (days, say); evenly spaced where left out.
    low, high
        The band around the line, same length.
    state
        A state of a lift: colours the end point.
    label
        What the line says, for readers who cannot see it; escaped here. Without one the
        picture is hidden from screen readers, since the cell beside it says the same.
    """
    known = list(_known(values, x, low, high))
    if len(known) < 2:
        return ""
    left, right = known[0][0], known[-1][0]
    bottom, top = min(k[2] for k in known), max(k[3] for k in known)
    run, rise = (right - left) or 1.0, (top - bottom) or 1.0

    def px(place: float) -> str:
        return _short(EDGE + (place - left) / run * (WIDTH - 2 * EDGE))

    def py(value: float) -> str:
        return _short(HEIGHT - EDGE - (value - bottom) / rise * (HEIGHT - 2 * EDGE))

    line = " ".join(f"{px(p)},{py(v)}" for p, v, _, _ in known)
    parts = []
    if low is not None and high is not None:
        there = [f"{px(p)},{py(b)}" for p, _, _, b in known]
        back = [f"{px(p)},{py(a)}" for p, _, a, _ in reversed(known)]
        parts.append(
            f'<polygon points="{" ".join(there + back)}" style="fill:var(--pl-band,{BAND})" '
            'opacity=".45"/>'
        )
    parts.append(
        f'<polyline points="{line}" fill="none" style="stroke:var(--pl-main,{MAIN})" '
        'stroke-width="1.6" stroke-linejoin="round" stroke-linecap="round"/>'
    )
    end_colour = STATE_COLOURS.get(state or "", MAIN)
    role = state if state in STATE_COLOURS else "main"
    parts.append(
        f'<circle cx="{px(known[-1][0])}" cy="{py(known[-1][1])}" r="2.6" '
        f'style="fill:var(--pl-{role},{end_colour})"/>'
    )
    says = f'role="img" aria-label="{escape(label)}"' if label else 'aria-hidden="true"'
    return (
        f'<svg class="pl-spark" viewBox="0 0 {WIDTH:.0f} {HEIGHT:.0f}" width="{WIDTH:.0f}" '
        f'height="{HEIGHT:.0f}" {says}>{"".join(parts)}</svg>'
    )


def _known(
    values: Sequence[float | None],
    x: Sequence[float] | None,
    low: Sequence[float | None] | None,
    high: Sequence[float | None] | None,
) -> Iterator[tuple[float, float, float, float]]:
    """Yield place, value and band of every value that is known; no band where it is not."""
    nothing = [None] * len(values)
    places = x if x is not None else range(len(values))
    for place, value, bottom, top in zip(
        places, values, low or nothing, high or nothing, strict=True
    ):
        if value is None or not math.isfinite(value):
            continue
        ends = [value if end is None or not math.isfinite(end) else end for end in (bottom, top)]
        yield float(place), value, ends[0], ends[1]


def _short(number: float) -> str:
    return f"{number:.1f}".removesuffix(".0")
