"""The theme against published rules of contrast and of colour vision."""

from __future__ import annotations

import itertools
import re

import numpy as np
import pytest

from plateline.charts import theme
from plateline.report.page import asset
from plateline.words import State

AA_TEXT = 4.5
"""WCAG 2.2, success criterion 1.4.3: contrast of text with its ground."""

AA_GRAPHIC = 3.0
"""WCAG 2.2, success criterion 1.4.11: contrast of graphics that carry meaning."""

VISION = {
    "protanopia": [
        [0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216],
        [-0.003882, -0.048116, 1.051998],
    ],
    "deuteranopia": [
        [0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413],
        [-0.011820, 0.042940, 0.968881],
    ],
    "tritanopia": [
        [1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602],
        [0.004733, 0.691367, 0.303900],
    ],
}  # fmt: skip
"""Machado, Oliveira & Fernandes 2009, IEEE TVCG 15(6):1291-1298, severity 1.0, on linear RGB.
Values from memory; each row has to sum to one, which is checked."""

JUST_APART = 12.0
"""CIE 1976 colour difference: about five times what is just noticeable (2.3)."""


def linear(colour: str) -> np.ndarray:
    """Return linear RGB of a hex colour (IEC 61966-2-1)."""
    channels = np.array([int(colour[i : i + 2], 16) for i in (1, 3, 5)]) / 255
    return np.where(channels <= 0.04045, channels / 12.92, ((channels + 0.055) / 1.055) ** 2.4)


def luminance(colour: str) -> float:
    return float(linear(colour) @ [0.2126, 0.7152, 0.0722])


def contrast(one: str, other: str) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def lab(rgb: np.ndarray) -> np.ndarray:
    """Return CIE L*a*b* (D65) of linear RGB."""
    to_xyz = np.array(
        [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
    )
    scaled = to_xyz @ np.clip(rgb, 0, 1) / np.array([0.9505, 1.0, 1.089])
    f = np.where(scaled > 216 / 24389, np.cbrt(scaled), (24389 / 27 * scaled + 16) / 116)
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


def css_colours(media: str) -> dict[str, str]:
    """Return role -> hex of the page's light or dark colours."""
    light, dark = asset("page.css").split("prefers-color-scheme: dark", 1)
    block = light if media == "light" else dark.split("*, ::before", 1)[0]
    return dict(re.findall(r"--pl-([a-z0-9-]+): (#[0-9a-f]{6})", block))


def test_contrast_of_black_and_white_is_the_published_maximum() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)


@pytest.mark.parametrize("media", ["light", "dark"])
@pytest.mark.parametrize(
    "role",
    ["ink", "quiet", "main", "mark", "aim", "progressing", "plateau", "declining", "unclear"],
)
def test_text_colours_have_contrast_on_paper_and_shade(media: str, role: str) -> None:
    colours = css_colours(media)
    assert contrast(colours[role], colours["paper"]) >= AA_TEXT
    assert contrast(colours[role], colours["shade"]) >= AA_TEXT


@pytest.mark.parametrize("media", ["light", "dark"])
def test_dark_end_of_the_ramp_stands_out_and_it_only_gets_lighter(media: str) -> None:
    colours = css_colours(media)
    ramp = [luminance(colours[f"ramp-{place}"]) for place in range(1, 6)]
    assert ramp == sorted(ramp)
    assert min(contrast(colours[f"ramp-{p}"], colours[f"ramp-{p + 1}"]) for p in range(1, 5)) > 1.2


def test_page_and_theme_name_the_same_light_colours() -> None:
    colours = css_colours("light")
    assert {role: value for value, role in theme.CSS_ROLES.items()} == {
        role: value for role, value in colours.items() if role in theme.CSS_ROLES.values()
    }


def test_every_light_role_has_a_dark_value() -> None:
    assert css_colours("light").keys() == css_colours("dark").keys()


def test_vision_matrices_keep_grey_grey() -> None:
    for matrix in VISION.values():
        assert np.sum(matrix, axis=1) == pytest.approx(np.ones(3), abs=1e-4)


@pytest.mark.parametrize("media", ["light", "dark"])
@pytest.mark.parametrize("kind", [*VISION, "usual"])
def test_states_stay_apart_under_colour_blindness(kind: str, media: str) -> None:
    seen = np.array(VISION[kind]) if kind in VISION else np.eye(3)
    colours = css_colours(media)
    for one, other in itertools.combinations(State, 2):
        pair = [lab(seen @ linear(colours[state])) for state in (one, other)]
        assert np.linalg.norm(pair[0] - pair[1]) > JUST_APART, (one, other)


def test_every_state_has_a_colour_and_a_shape() -> None:
    assert set(theme.STATE_COLOURS) == set(theme.STATE_SHAPES) == set(State)
    assert len(set(theme.STATE_SHAPES.values())) == len(State)
