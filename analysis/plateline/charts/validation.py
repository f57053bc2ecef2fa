"""Pictures of the validation: ROC curves, and probabilities against what was true."""

from __future__ import annotations

import polars as pl

from plateline.charts.figure import Figure
from plateline.charts.lean import lean_rows
from plateline.charts.marks import amount, layer, quantity, told
from plateline.charts.theme import DASHES, MAIN, QUIET, SERIES

__all__ = ["calibration_chart", "roc_chart"]

SIDE = 300
POINTS = 60
"""Points kept of a curve: more than a picture shows."""


def roc_chart(curves: pl.DataFrame) -> Figure:
    """Draw ROC curves.

    Parameters
    ----------
    curves
        `method, false_share, true_share, auc`, in order along each curve.
    """
    thin = curves.with_columns(
        place=pl.int_range(pl.len()).over("method"), last=pl.len().over("method") - 1
    ).filter(
        (pl.col("place") % (pl.col("last") // POINTS + 1) == 0)
        | (pl.col("place") == pl.col("last"))
    )
    names = curves.group_by("method", maintain_order=True).agg(pl.col("auc").first())
    label = pl.format("{} ({})", "method", pl.col("auc").round(3))
    values = lean_rows(
        thin.with_columns(name=label), {"x": "false_share", "y": "true_share", "m": "name"}
    )
    order = names.select(label)["method"].to_list() if names.height else []
    spec = {
        "height": SIDE,
        "layer": [
            layer({"type": "line", "color": QUIET, "strokeDash": [2, 3]},
                  [{"x": 0, "y": 0}, {"x": 1, "y": 1}], x=amount("x"), y=amount("y")),
            layer({"type": "line", "strokeWidth": 2}, values,
                  x=quantity("x", "stuck or falling lifts called progressing", format="%"),
                  y=quantity("y", "progressing lifts called so", format="%", grid=True),
                  order={"field": "x", "type": "quantitative"},
                  color={"field": "m", "type": "nominal", "sort": order,
                         "scale": {"domain": order, "range": list(SERIES[: len(order)])},
                         "legend": {"title": None, "orient": "top", "columns": 2, "labelLimit": 260}},
                  strokeDash={"field": "m", "type": "nominal", "sort": order,
                              "scale": {"domain": order,
                                        "range": [list(d) for d in DASHES[: len(order)]]},
                              "legend": None}),
        ],
    }  # fmt: skip
    said = ", ".join(f"{m} {a:.3f}" for m, a in names.iter_rows())
    return Figure(
        spec,
        title="Progressing or not: hits against false calls",
        alt=f"ROC curves on simulated lifts. Area under the curve: {said}.",
        caption="In brackets: area under the curve (1 is perfect, 0.5 is a coin).",
    )


def calibration_chart(bins: pl.DataFrame) -> Figure:
    """Draw how often what was said with a probability was true.

    Parameters
    ----------
    bins
        `said, was, lifts`: mean probability, share that was true, and how many lifts.
    """
    values = lean_rows(bins, {"s": "said", "w": "was", "n": "lifts"})
    share = {"scale": {"domain": [0, 1]}}
    spec = {
        "height": SIDE,
        "layer": [
            layer({"type": "line", "color": QUIET, "strokeDash": [2, 3]},
                  [{"s": 0, "w": 0}, {"s": 1, "w": 1}], x=amount("s") | share, y=amount("w") | share),
            layer({"type": "line", "color": MAIN, "point": {"filled": True, "size": 50}}, values,
                  x=quantity("s", "probability of progress that was given", format="%") | share,
                  y=quantity("w", "share that did progress", format="%", grid=True) | share,
                  tooltip=told(("s", "Said"), ("w", "Was"), ("n", "Lifts"))),
        ],
    }  # fmt: skip
    gap = float((bins["said"] - bins["was"]).abs().mean() or 0.0)  # type: ignore[arg-type]
    return Figure(
        spec,
        title="Said and true",
        alt=f"Calibration in {bins.height} bins of equal count; mean distance {gap:.3f}.",
        caption=f"Dotted: perfect. Mean distance over {bins.height} bins of equal count: {gap:.3f}.",
    )
