"""Every figure: a valid specification, a text alternative, lean data, the client's unit."""

from __future__ import annotations

import datetime as dt
import json
import re

import altair as alt
import jsonschema
import polars as pl
import pytest
import vl_convert
from tests import vega_lite
from tests.sample_figures import PAYLOAD, curves, every_figure, status

from plateline import charts
from plateline.charts.figure import MIME_TYPE
from plateline.errors import UsageError
from plateline.words import State

FIGURES = every_figure()
BYTES_A_FIGURE = 30_000
"""A report of twenty figures then stays under 0.6 MB of specifications."""


@pytest.fixture(scope="module")
def again() -> dict[str, charts.Figure]:
    return every_figure()


@pytest.fixture(scope="module")
def hostile() -> dict[str, charts.Figure]:
    return every_figure(PAYLOAD)


@pytest.mark.parametrize("name", FIGURES)
def test_specification_is_valid_vega_lite(name: str) -> None:
    vega_lite.check(FIGURES[name].titled_spec())


def test_a_slip_in_a_specification_would_be_found() -> None:
    spec = json.loads(json.dumps(FIGURES["effort"].titled_spec()))
    spec["encoding"]["x"]["tittle"] = "Week"
    with pytest.raises(jsonschema.ValidationError):
        vega_lite.check(spec)


@pytest.mark.parametrize("name", FIGURES)
def test_width_in_a_notebook_is_fixed(name: str) -> None:
    """A figure as wide as its container makes JupyterLab 4.6 resize it without end."""
    data, metadata = FIGURES[name]._repr_mimebundle_()
    assert isinstance(data[MIME_TYPE]["width"], int)
    assert metadata["plateline"]["fluid"]


@pytest.mark.parametrize("name", FIGURES)
def test_older_vega_lite_draws_the_same(name: str) -> None:
    """JupyterLab 4.6 draws figures with the Vega-Lite 5 that it brings."""
    spec = FIGURES[name].titled_spec(width=400)
    old, new = (vl_convert.vegalite_to_svg(spec, vl_version=version) for version in ("5.20", "6.4"))
    counted = [svg.count("<path") + svg.count("<text") for svg in (old, new)]
    assert counted[0] == counted[1] > 10


@pytest.mark.parametrize("name", FIGURES)
def test_figure_carries_title_and_text_alternative(name: str) -> None:
    figure = FIGURES[name]
    data, metadata = figure._repr_mimebundle_()
    assert figure.title
    assert len(figure.alt) > 40
    assert data[MIME_TYPE]["description"] == figure.alt
    assert data["text/plain"].endswith(figure.alt)
    assert metadata["plateline"]["title"] == figure.title
    assert "title" not in figure.spec


@pytest.mark.parametrize("name", FIGURES)
def test_specification_is_lean(name: str) -> None:
    text = json.dumps(FIGURES[name].spec)
    assert len(text) < BYTES_A_FIGURE
    assert not re.search(r"\d\.\d{6}", text), "more digits than a picture shows"


@pytest.mark.parametrize("name", FIGURES)
def test_same_input_same_specification(again, name: str) -> None:
    assert json.dumps(again[name].spec) == json.dumps(FIGURES[name].spec)


@pytest.mark.parametrize("name", FIGURES)
def test_no_links_are_made_of_peoples_text(hostile, name: str) -> None:
    spec = json.dumps(hostile[name].spec)
    assert '"href"' not in spec
    assert '"url"' not in spec


@pytest.mark.parametrize("name", FIGURES)
def test_days_are_the_readers_own(name: str) -> None:
    """A bare date would be read as midnight in Greenwich, the day before in the Americas."""
    days = re.findall(r'"(\d{4}-\d{2}-\d{2}[^"]*)"', json.dumps(FIGURES[name].spec))
    assert all(day.endswith("T00:00") for day in days)


def test_altair_chart_can_be_changed_further() -> None:
    chart = FIGURES["trend"].chart.properties(height=99)
    assert chart.to_dict(validate=False)["height"] == 99


def test_figure_wraps_an_altair_chart() -> None:
    chart = alt.Chart(alt.Data(values=[{"a": 1}])).mark_point().encode(x="a:Q")
    figure = charts.Figure(chart, title="One", alt="A point at one.")
    assert figure.spec["mark"]["type"] == "point"
    assert figure.spec["config"]["font"].startswith("Arial")


def test_loads_are_in_the_clients_unit() -> None:
    """One international pound is 0.45359237 kg (yard and pound agreement, 1959)."""
    in_lb = json.dumps(charts.trend_chart(curves(), status(), unit="lb").spec)
    first = curves().row(0, named=True)
    assert f'"v": {round(first["observed_kg"] / 0.45359237, 1)}' in in_lb
    assert f"{round(first['load_kg'] / 0.45359237, 1):g} lb" in in_lb
    assert " kg" not in in_lb


def test_tooltip_leads_to_the_line_of_the_log() -> None:
    text = json.dumps(FIGURES["trend"].spec)
    assert "log.csv, line 2" in text


def test_since_is_drawn_with_its_span_and_told() -> None:
    figure = charts.trend_chart(curves(), status())
    assert "plateau since 25 May" in json.dumps(figure.spec)
    assert "2026-06-12T00:00" in json.dumps(figure.spec)
    assert "State: plateau since 25 May 2026" in figure.alt


@pytest.mark.parametrize("state", [State.UNCLEAR, State.PROGRESSING])
def test_only_a_stop_or_a_fall_has_a_since(state: State) -> None:
    other = status().with_columns(state=pl.lit(state.value))
    assert "since" not in json.dumps(charts.trend_chart(curves(), other).spec)


def test_labels_of_stretches_keep_their_distance() -> None:
    start = curves()["date"].min()
    stretches = pl.DataFrame(
        {"start": [start + dt.timedelta(days=day) for day in (2, 9, 120)]}
    ).with_columns(end=pl.col("start") + pl.duration(days=5), label=pl.lit("break"))
    bare = curves().with_columns(context=pl.lit(None, dtype=pl.String))
    layers = charts.trend_chart(bare, phases=stretches).spec["layer"]
    assert len(layers[0]["data"]["values"]) == 3
    assert len(layers[1]["data"]["values"]) == 2


def test_since_the_first_session_is_not_drawn() -> None:
    whole = status().with_columns(since=pl.lit(curves()["date"].min()))
    assert "plateau since" not in json.dumps(charts.trend_chart(curves(), whole).spec["layer"])


def test_sets_of_unknown_muscles_are_named_as_such() -> None:
    muscles = pl.DataFrame(
        {"week": [dt.date(2026, 1, 5)] * 2, "muscle": ["chest", None], "hard_sets": [8.0, 3.0]}
    )
    for draw in (charts.weekly_sets_chart, charts.muscle_weeks_chart):
        assert "muscle not known 3" in draw(muscles).alt


def test_deload_and_phases_are_shaded() -> None:
    phases = pl.DataFrame(
        {"start": [dt.date(2026, 2, 1)], "end": [dt.date(2026, 3, 1)], "label": ["losing"]}
    )
    text = json.dumps(charts.trend_chart(curves(), status(), phases=phases).spec)
    assert '"t": "deload"' in text
    assert '"t": "losing"' in text


def test_two_lifts_are_refused_in_a_sentence() -> None:
    both = pl.concat([curves("Squat"), curves("Bench press")])
    with pytest.raises(UsageError, match="one lift of one client"):
        charts.trend_chart(both)


@pytest.mark.parametrize("sessions", [1, 2, 3])
def test_short_logs_are_drawn(sessions: int) -> None:
    figure = charts.trend_chart(curves(sessions=sessions), status())
    vega_lite.check(figure.titled_spec())


def test_lift_without_a_fitted_line_says_so() -> None:
    bare = curves(sessions=2).with_columns(fitted_kg=None, low_kg=None, high_kg=None)
    figure = charts.trend_chart(bare.filter(kind="session"))
    assert "too few for a trend line" in figure.alt


def test_shares_of_a_week_add_up() -> None:
    values = FIGURES["rep_zone"].spec["data"]["values"]
    tops: dict[str, float] = {}
    for row in values:
        tops[row["d"]] = max(tops.get(row["d"], 0.0), row["b"])
    assert all(top == pytest.approx(1.0, abs=1e-3) for top in tops.values())
    assert len(tops) == 12


def test_weekly_sets_tell_mean_and_plan() -> None:
    muscles = pl.DataFrame(
        {
            "week": [dt.date(2026, 1, 5), dt.date(2026, 1, 12)],
            "muscle": ["chest", "chest"],
            "hard_sets": [8.0, 13.0],
        }
    )
    planned = pl.DataFrame({"muscle": ["chest", "lats"], "planned_sets": [12.0, 6.0]})
    figure = charts.weekly_sets_chart(muscles, planned)
    assert "chest 10.5 (plan 12)" in figure.alt
    assert "lats 0 (plan 6)" in figure.alt


def test_pictures_are_written(tmp_path) -> None:
    FIGURES["trend"].save(tmp_path / "trend.png")
    FIGURES["trend"].save(tmp_path / "trend.svg")
    assert (tmp_path / "trend.png").read_bytes()[:8] == b"\x89PNG\r\n\x1a\n"
    assert "Bench press" in (tmp_path / "trend.svg").read_text(encoding="utf-8")
