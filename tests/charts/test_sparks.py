"""Word-sized pictures: well-formed, escaped, and honest about what is missing."""

from __future__ import annotations

import xml.etree.ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plateline.charts import spark
from plateline.words import State

SVG = "{http://www.w3.org/2000/svg}"


def test_too_few_values_draw_nothing() -> None:
    assert spark([]) == ""
    assert spark([3.0, None, float("nan")]) == ""


def test_line_rises_where_values_rise() -> None:
    line = ET.fromstring(spark([1, 2, 3])).find("polyline")
    assert line is not None
    heights = [float(pair.split(",")[1]) for pair in line.get("points", "").split()]
    assert heights == sorted(heights, reverse=True), "SVG counts downwards"


def test_uneven_days_are_unevenly_spaced() -> None:
    line = ET.fromstring(spark([1, 1, 1], x=[0, 10, 100])).find("polyline")
    assert line is not None
    places = [float(pair.split(",")[0]) for pair in line.get("points", "").split()]
    assert places[1] - places[0] == pytest.approx(0.1 * (places[2] - places[0]), abs=0.1)


def test_label_is_escaped_and_read_out() -> None:
    label = '"><script>x</script>'
    drawn = ET.fromstring(spark([1, 2], label=label))
    assert drawn.get("aria-label") == label
    assert drawn.get("role") == "img"


def test_without_a_label_it_is_hidden_from_screen_readers() -> None:
    assert ET.fromstring(spark([1, 2])).get("aria-hidden") == "true"


@pytest.mark.parametrize("state", State)
def test_end_point_has_the_colour_of_the_state(state: State) -> None:
    assert f"--pl-{state}," in spark([1, 2], state=state)


numbers = st.one_of(st.none(), st.floats(allow_nan=True, allow_infinity=True, width=32))


@given(st.lists(numbers, max_size=30), st.text(max_size=20))
def test_any_values_give_sound_svg(values: list[float | None], label: str) -> None:
    printable = "".join(c for c in label if c.isprintable())
    drawn = spark(values, low=values, high=values, label=printable)
    if drawn:
        assert "nan" not in drawn
        assert "inf" not in drawn
        ET.fromstring(drawn)
