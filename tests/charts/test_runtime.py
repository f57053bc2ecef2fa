"""What a page is given to draw by itself."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET

import pytest
from tests.sample_figures import PAYLOAD, every_figure

from plateline.charts import runtime
from plateline.charts.theme import MAIN, PAPER

FIGURES = every_figure(PAYLOAD)


BUNDLE = "window.plateline = 1; // </script><!--"


@pytest.fixture
def made(monkeypatch):
    """Count how often the runtime is bundled; the bundle itself is another test's."""
    calls = []

    def bundle(*args, **options) -> str:
        calls.append(args)
        return BUNDLE

    monkeypatch.setattr("vl_convert.javascript_bundle", bundle)
    runtime.runtime_script.cache_clear()
    yield calls
    runtime.runtime_script.cache_clear()


@pytest.fixture
def fresh_cache(tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    monkeypatch.setenv("LOCALAPPDATA", str(tmp_path))
    return tmp_path


def test_runtime_is_made_once_and_kept(fresh_cache, made) -> None:
    script = runtime.runtime_script()
    kept = list((fresh_cache / "plateline").iterdir())
    assert [path.read_text(encoding="utf-8") for path in kept] == [script]
    runtime.runtime_script.cache_clear()
    assert runtime.runtime_script() == script
    assert len(made) == 1


def test_half_written_cache_is_not_trusted(fresh_cache, made) -> None:
    script = runtime.runtime_script()
    (kept,) = (fresh_cache / "plateline").iterdir()
    kept.write_text(script[:20], encoding="utf-8")
    runtime.runtime_script.cache_clear()
    assert runtime.runtime_script() == script
    assert len(made) == 2


def test_runtime_needs_no_cache_folder(tmp_path, monkeypatch, made) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("not a folder")
    monkeypatch.setenv("XDG_CACHE_HOME", str(blocked))
    monkeypatch.setenv("LOCALAPPDATA", str(blocked))
    assert "window.plateline" in runtime.runtime_script()


def test_runtime_can_stand_inside_a_page() -> None:
    script = runtime.runtime_script()
    assert len(script) > 500_000
    assert "</script" not in script.lower()
    assert "<!--" not in script


@pytest.mark.parametrize("name", FIGURES)
def test_still_picture_is_sound_and_holds_text_as_text(name: str) -> None:
    svg = runtime.still_svg(FIGURES[name].spec, prefix="f7")
    root = ET.fromstring(svg)
    assert root.get("aria-hidden") == "true"
    tags = {element.tag.rpartition("}")[2] for element in root.iter()}
    assert tags <= {"svg", "g", "path", "rect", "text", "line", "defs", "clipPath", "circle"}
    handlers = [key for element in root.iter() for key in element.attrib if key.startswith("on")]
    assert handlers == []


def test_still_picture_draws_the_persons_own_words() -> None:
    texts = [
        element.text
        for element in ET.fromstring(
            runtime.still_svg(FIGURES["position"].spec, prefix="f1")
        ).iter()
        if element.text
    ]
    assert any(text.startswith("<img src=x") for text in texts)


def test_ids_are_the_pictures_own_and_the_same_every_time() -> None:
    one = runtime.still_svg(FIGURES["trend"].spec, prefix="f1")
    again = runtime.still_svg(FIGURES["trend"].spec, prefix="f1")
    other = runtime.still_svg(FIGURES["trend"].spec, prefix="f2")
    assert one == again
    ids = set(re.findall(r'\bid="([^"]+)"', one))
    assert all(ident.startswith("f1-") for ident in ids)
    assert ids.isdisjoint(re.findall(r'\bid="([^"]+)"', other))
    assert set(re.findall(r"url\(#([^)]+)\)", one)) <= ids


def test_theme_colours_become_css_variables() -> None:
    svg = runtime.still_svg(FIGURES["trend"].spec, prefix="f1")
    assert "var(--pl-main)" in svg
    assert MAIN not in svg
    assert PAPER not in svg


def test_colours_in_data_stay_what_they_are() -> None:
    spec = {"mark": {"color": MAIN}, "data": {"values": [{"name": MAIN}]}}
    swapped = runtime.with_css_colours(spec)
    assert swapped["mark"]["color"] == "var(--pl-main)"
    assert swapped["data"]["values"] == [{"name": MAIN}]
