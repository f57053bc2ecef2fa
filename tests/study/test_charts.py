from __future__ import annotations

import json
import re

import polars as pl
import pytest
from tests import vega_lite

from plateline.charts.study import dose_chart, effects_chart, power_chart, sensitivity_chart
from plateline.charts.validation import calibration_chart, roc_chart

from . import groups

CONTRAST = "13-20 reps against 6-12 reps"


@pytest.fixture(scope="module")
def figures():
    study = groups.studied()
    primary = study.facts["primary"]
    curves = pl.DataFrame(
        {
            "method": ["kit"] * 3 + ["rule"] * 3, "false_share": [0.0, 0.2, 1.0] * 2,
            "true_share": [0.0, 0.9, 1.0, 0.0, 0.6, 1.0], "auc": [0.85] * 3 + [0.7] * 3,
        }
    )  # fmt: skip
    bins = pl.DataFrame({"said": [0.1, 0.9], "was": [0.15, 0.85], "lifts": [50, 50]})
    return {
        "effects": effects_chart(study.effects, primary),
        "sensitivity": sensitivity_chart(study.effects, primary, CONTRAST),
        "dose": dose_chart(study.effects, primary),
        "power": power_chart(study.power),
        "roc": roc_chart(curves),
        "calibration": calibration_chart(bins),
    }


NAMES = ("effects", "sensitivity", "dose", "power", "roc", "calibration")


@pytest.mark.parametrize("name", NAMES)
def test_specification_is_valid_vega_lite(figures, name: str) -> None:
    vega_lite.check(figures[name].titled_spec())


@pytest.mark.parametrize("name", NAMES)
def test_figure_carries_title_and_text_alternative(figures, name: str) -> None:
    assert figures[name].title
    assert len(figures[name].alt) > 40
    text = json.dumps(figures[name].spec)
    assert len(text) < 30_000
    assert not re.search(r"\d\.\d{6}", text), "more digits than a picture shows"


@pytest.mark.parametrize("name", NAMES)
def test_figure_draws(figures, name: str) -> None:
    assert figures[name].to_svg().startswith("<svg")


def test_text_alternative_has_the_figures(figures) -> None:
    assert CONTRAST in figures["effects"].alt
    assert "auc" not in figures["roc"].alt
    assert "kit 0.850" in figures["roc"].alt
    assert "0.050" in figures["calibration"].alt
