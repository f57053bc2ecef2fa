"""Loads that the reader of a page can switch between kilograms and pounds.

Each stands in a `<data>` element whose `value` is kilograms; the page's script writes its
text anew. Without a script the text is in the unit that the page was made for.
"""

from __future__ import annotations

from markupsafe import Markup

from plateline.report.numbers import Units

__all__ = ["estimate", "estimate_interval", "load", "set_markup"]


def load(kg: float, units: Units) -> Markup:
    """Return a load that was or will be lifted."""
    return _data(kg, units.load(kg), "load")


def estimate(kg: float, units: Units) -> Markup:
    """Return an estimated load."""
    return _data(kg, units.estimate(kg), "estimate")


def estimate_interval(low_kg: float, high_kg: float, units: Units) -> Markup:
    """Return an interval of an estimated load, both ends with the same digits."""
    low, high = units.estimate_interval(low_kg, high_kg).split(" to ")
    return Markup("{} to {}").format(_end(low_kg, high_kg, low), _end(high_kg, high_kg, high))


def set_markup(load_kg: float, reps: int, rir: float | None, units: Units) -> Markup:
    """Return a set as people write it, its load switchable."""
    if load_kg == 0:
        text = Markup("body mass × {}").format(reps)
    elif load_kg < 0:
        text = Markup("{} assistance × {}").format(load(-load_kg, units), reps)
    else:
        text = Markup("{} × {}").format(load(load_kg, units), reps)
    return text if rir is None else Markup("{}, {:g} in reserve").format(text, rir)


def _end(kg: float, high_kg: float, text: str) -> Markup:
    """Return one end of an interval; which digits it has hangs on the upper end."""
    return Markup(
        '<data class="pl-load" data-kind="end" data-top="{}" value="{}">{}</data>'
    ).format(f"{high_kg:.6g}", f"{kg:.6g}", text)


def _data(kg: float, text: str, kind: str) -> Markup:
    return Markup('<data class="pl-load" data-kind="{}" value="{}">{}</data>').format(
        kind, f"{kg:.6g}", text
    )
