"""Pictures of the cohort study: effects by model, dose and response, exchange, power."""

from __future__ import annotations

from typing import Any

import polars as pl

from plateline.charts.figure import Figure
from plateline.charts.lean import lean_rows
from plateline.charts.marks import amount, layer, quantity, told
from plateline.charts.theme import DASHES, MAIN, QUIET, RULE, SERIES

__all__ = ["dose_chart", "effects_chart", "power_chart", "sensitivity_chart"]

ROW_HEIGHT = 24
TICKS = {"expr": "max(3, width / 80)"}
"""As many ticks as have room beside each other."""
DOTTED_REPS = (3, 5, 8, 10, 12, 15, 20, 30)
LABEL_LIMIT = {"expr": "containerSize()[0] < 480 ? 230 : 320"}
"""Pixels for the names of models: on a phone the intervals need the room more."""

PER_WEEK = "% a week"
"""Short, since beside the names of models a phone leaves an axis the width of a word or two."""


def effects_chart(effects: pl.DataFrame, primary: str) -> Figure:
    """Draw every model's zone contrasts with their 95 % intervals.

    Parameters
    ----------
    effects
        Rows of `effects.csv` (see `plateline.study`), sensitivity rows left out or not.
    primary
        The model to be drawn dark.
    """
    rows = effects.filter(
        pl.col("term") == "rep zone",
        ~pl.col("model").str.starts_with("sensitivity"),
        pl.col("low").is_finite(),
    )
    return Figure(
        _forest(rows, primary, grouped=True),
        title="Rep zones compared, model by model",
        alt="Differences in rate of progress with 95 % intervals. " + _said(rows, primary),
        caption="Point: difference in rate of progress. Line: 95 % interval. The upright line is no "
        "difference. "
        f"Dark: {primary}, the model to read first.",
    )


def sensitivity_chart(effects: pl.DataFrame, primary: str, contrast: str) -> Figure:
    """Draw one contrast under every other choice of scale and selection."""
    rows = effects.filter(
        pl.col("term") == "rep zone",
        pl.col("contrast") == contrast,
        (pl.col("model") == primary) | pl.col("model").str.starts_with("sensitivity"),
        pl.col("low").is_finite(),
    ).with_columns(pl.col("model").str.strip_prefix("sensitivity: "))
    return Figure(
        _forest(rows, primary, grouped=False),
        title=f"{contrast}, under other choices",
        alt=f"The difference {contrast} under {max(rows.height - 1, 0)} other choices: "
        + _range(rows),
        caption="Dark: the study's own choice. Point: difference in rate of progress; line: 95 % interval.",
    )


def _forest(rows: pl.DataFrame, primary: str, *, grouped: bool) -> dict[str, Any]:
    """Lay intervals out one below the other, under a heading for each contrast where grouped.

    Headings are rows of the one axis: pictures side by side or stacked have a fixed width, which
    a phone does not.
    """
    values = lean_rows(
        rows.with_columns(
            row=pl.format("{}|{}", "contrast", "model"),
            text=pl.format(
                "{} ({} to {})", *(pl.col(c).round(3) for c in ("effect_pct_week", "low", "high"))
            ),
            first=pl.col("model") == primary,
        ),
        {
            "r": "row", "m": "model", "e": _short("effect_pct_week"), "l": _short("low"),
            "h": _short("high"), "t": "text", "f": "first", "n": "n_lifters",
        },
    )  # fmt: skip
    order = []
    for contrast in rows["contrast"].unique(maintain_order=True):
        models = rows.filter(pl.col("contrast") == contrast)["model"]
        order += [f"{contrast}|"] * grouped + [f"{contrast}|{model}" for model in models]
    heading = "split(datum.value, '|')[1] == ''"
    y = {
        "field": "r", "type": "nominal", "sort": order, "scale": {"domain": order},
        "axis": {
            "title": None, "labelLimit": LABEL_LIMIT, "domain": False, "ticks": False,
            "labelExpr": f"split(datum.value, '|')[{heading} ? 0 : 1]",
            "labelFontWeight": {"condition": {"test": heading, "value": "bold"}, "value": "normal"},
        },
    }  # fmt: skip
    colour = {"condition": {"test": "datum.f", "value": MAIN}, "value": QUIET}
    tips = told(("m", "Model"), ("t", "Difference, % a week"), ("n", "Lifters"))
    return {
        "data": {"values": values},
        "height": ROW_HEIGHT * max(len(order), 1),
        "layer": [
            layer({"type": "rule", "color": RULE, "strokeWidth": 1.5}, x={"datum": 0}),
            layer({"type": "rule", "strokeWidth": 2}, y=y, color=colour,
                  x=quantity("l", PER_WEEK, grid=True, tickCount=TICKS), x2={"field": "h"},
                  tooltip=tips),
            layer({"type": "point", "filled": True, "size": 52, "opacity": 1}, y=y, color=colour,
                  x=amount("e"), tooltip=tips),
        ],
    }  # fmt: skip


def _short(column: str) -> pl.Expr:
    """Round to what a picture shows of a rate."""
    return pl.col(column).round(4)


def _said(rows: pl.DataFrame, primary: str) -> str:
    own = rows.filter(pl.col("model") == primary)
    return "; ".join(
        f"{r['contrast']} {r['effect_pct_week']:.2f} ({r['low']:.2f} to {r['high']:.2f}) % a week"
        for r in own.iter_rows(named=True)
    )


def _range(rows: pl.DataFrame) -> str:
    if rows.is_empty():
        return "nothing to show."
    effects = rows["effect_pct_week"]
    return f"from {effects.min():.2f} to {effects.max():.2f} % a week."  # type: ignore[arg-type]


def dose_chart(effects: pl.DataFrame, model: str) -> Figure:
    """Draw the spline of rate against reps, as the difference from 8 reps."""
    rows = (
        effects.filter(pl.col("term") == "reps, spline", pl.col("model") == model)
        .with_columns(reps=pl.col("contrast").str.extract(r"^(\d+)").cast(pl.Float64))
        .select("reps", "effect_pct_week", "low", "high")
    )
    here = pl.DataFrame({"reps": [8.0], "effect_pct_week": [0.0], "low": [0.0], "high": [0.0]})
    rows = pl.concat([rows, here]).sort("reps")
    values = lean_rows(
        rows.with_columns(
            text=pl.format(
                "{} ({} to {})", *(pl.col(c).round(3) for c in ("effect_pct_week", "low", "high"))
            ),
            shown=pl.col("reps").cast(pl.Int64).is_in(DOTTED_REPS),
        ),
        {
            "r": "reps",
            "e": _short("effect_pct_week"),
            "l": _short("low"),
            "h": _short("high"),
            "t": "text",
            "p": "shown",
        },
    )
    x = {
        "field": "r", "type": "quantitative", "scale": {"type": "log", "base": 2, "nice": False},
        "axis": {"title": "reps a set", "values": list(DOTTED_REPS)},
    }  # fmt: skip
    spec = {
        "height": 220,
        "data": {"values": values},
        "layer": [
            layer({"type": "area", "color": MAIN, "opacity": 0.18}, x=x,
                  y=quantity("l", "against 8 reps, % a week", grid=True), y2={"field": "h"}),
            layer({"type": "line", "color": MAIN, "strokeWidth": 2}, x=x, y=amount("e")),
            layer({"type": "point", "filled": True, "color": MAIN, "size": 40}, x=x, y=amount("e"),
                  opacity={"condition": {"test": "datum.p", "value": 1}, "value": 0},
                  tooltip=told(("r", "Reps"), ("t", "Difference, % a week"))),
            layer({"type": "rule", "color": QUIET}, y={"datum": 0}),
        ],
    }  # fmt: skip
    ends = rows.row(0, named=True), rows.row(-1, named=True)
    return Figure(
        spec,
        title="Rate of progress by reps a set",
        alt="Spline of the rate of progress against reps a set, as a difference from 8 reps: "
        + ", ".join(f"{r['effect_pct_week']:.2f} % a week at {r['reps']:.0f}" for r in ends)
        + ".",
        caption=f"Line: restricted cubic spline ({model}), with points at usual reps. Band: 95 % interval, "
        "point by point.",
    )


def power_chart(power: pl.DataFrame) -> Figure:
    """Draw the chance to see a difference, by lifters and weeks of log."""
    difference = float(power["difference_pct_week"][0])
    values = lean_rows(
        power.with_columns(
            series=pl.format("{} weeks", "weeks"), text=pl.format("{} %", (100 * pl.col("power")).round(0).cast(pl.Int32))
        ),
        {"n": "lifters", "p": "power", "s": "series", "t": "text"},
    )  # fmt: skip
    order = [f"{weeks} weeks" for weeks in power["weeks"].unique(maintain_order=True)]
    spec = {
        "height": 220,
        "data": {"values": values},
        "layer": [
            layer({"type": "rule", "color": QUIET, "strokeDash": [4, 3]}, y={"datum": 0.8}),
            layer({"type": "line", "strokeWidth": 2, "point": {"filled": True, "size": 36}},
                  x={"field": "n", "type": "quantitative", "scale": {"type": "log", "base": 2},
                     "axis": {"title": "lifters with both zones",
                              "values": power["lifters"].unique(maintain_order=True).to_list()}},
                  y={"field": "p", "type": "quantitative", "scale": {"domain": [0, 1]},
                     "axis": {"title": "chance to see it", "format": "%", "grid": True}},
                  color={"field": "s", "type": "nominal", "sort": order,
                         "scale": {"range": list(SERIES[: len(order)])},
                         "legend": {"title": "blocks of", "orient": "bottom"}},
                  strokeDash={"field": "s", "type": "nominal", "sort": order,
                              "scale": {"range": [list(d) for d in DASHES[: len(order)]]},
                              "legend": None},
                  tooltip=told(("n", "Lifters"), ("s", "Block"), ("t", "Chance"))),
        ],
    }  # fmt: skip
    enough = power.filter(pl.col("power") >= 0.8).group_by("weeks", maintain_order=True).first()
    said = "; ".join(
        f"{r['lifters']} lifters with blocks of {r['weeks']} weeks"
        for r in enough.iter_rows(named=True)
    )
    return Figure(
        spec,
        title=f"How many lifters it takes to see {difference:g} % a week",
        alt=f"Chance to see a difference of {difference:g} % a week by number of lifters. "
        f"Four chances in five need {said or 'more lifters than were tried'}.",
        caption="By simulation, with the scatter found in this log. Dashed: four chances in five. "
        "Only lifters who trained a lift in both zones count.",
    )
