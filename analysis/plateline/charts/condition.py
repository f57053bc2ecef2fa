"""Load against the usual, how a client feels, and body mass."""

from __future__ import annotations

from typing import Any

import polars as pl

from plateline.charts.figure import Figure
from plateline.charts.lean import lean_rows, unit_factor
from plateline.charts.marks import NEAREST, amount, day_axis, layer, quantity, told
from plateline.charts.theme import AIM, INK, MAIN, PAPER, QUIET, SHADE
from plateline.charts.words import counted, number, span
from plateline.words import Phase

__all__ = ["body_mass_chart", "load_ratio_chart", "readiness_chart"]

HEIGHT = 180

AIM_DAYS = 56
"""The aim is drawn from where the line was eight weeks ago, or from the phase's beginning.

A weekly change that is allowed for many months would span a corridor that says nothing.
"""


def load_ratio_chart(
    ratios: pl.DataFrame,
    *,
    ratio: str = "ratio_ewma",
    measure: str = "volume-load",
    title: str = "Recent load against the usual",
) -> Figure:
    """Draw recent load as a multiple of usual load; 1 is as usual.

    Parameters
    ----------
    ratios
        Rows of `fatigue.load_ratios` of one client: `date, measure` and the ratio.
    ratio
        Which of the ratios: `ratio_ewma`, `ratio_coupled` or `ratio_uncoupled`.
    measure
        `volume-load` or `session RPE`.
    title
        The heading.
    """
    known = ratios.filter(pl.col("measure") == measure, pl.col(ratio).is_not_null()).sort("date")
    rows = lean_rows(
        known,
        {
            "d": "date",
            "v": ratio,
            "w": _day(),
            "t": pl.format("{} times the usual", pl.col(ratio).round(2)),
        },
    )
    spec = {
        "height": HEIGHT,
        "layer": [
            layer({"type": "rule", "color": QUIET, "strokeDash": [4, 3]}, [{"one": 1}],
                  y=amount("one")),
            layer({"type": "line", "color": MAIN}, rows, x=day_axis(),
                  y=quantity("v", "Times the usual load")),
            _points(rows, told(("w", "Up to"), ("t", "Load"))),
        ],
    }  # fmt: skip
    said = _from_to(known[ratio], "times the usual")
    return Figure(
        spec,
        title=title,
        alt=f"Recent {measure} as a multiple of the usual{_when(known)}.{said}",
        caption="Dashed: as usual. A description of load, not a risk of injury.",
    )


def readiness_chart(
    wellness: pl.DataFrame, *, title: str = "Sleep, stress, fatigue and soreness together"
) -> Figure:
    """Draw the sum of the four wellness ratings against the client's own usual.

    Parameters
    ----------
    wellness
        Rows of `fatigue.hooper` of one client: `date, hooper_index, usual_index, usual_sd`.
    title
        The heading.
    """
    known = wellness.filter(pl.col("hooper_index").is_not_null()).sort("date")
    rows = lean_rows(
        known,
        {
            "d": "date",
            "v": "hooper_index",
            "l": pl.col("usual_index") - pl.col("usual_sd"),
            "h": pl.col("usual_index") + pl.col("usual_sd"),
            "w": _day(),
            "t": pl.format("{} of 28", pl.col("hooper_index").round(0).cast(pl.Int64)),
        },
    )
    usual = [row for row in rows if "l" in row]
    spec = {
        "height": HEIGHT,
        "layer": [
            layer({"type": "area", "color": SHADE}, usual, x=day_axis(),
                  y=amount("l"), y2={"field": "h"}),
            layer({"type": "line", "color": MAIN, "strokeWidth": 1.4}, rows, x=day_axis(),
                  y=quantity("v", "Sum of four ratings (4 to 28); high is worse")),
            _points(rows, told(("w", "Day"), ("t", "Sum"))),
        ],
    }  # fmt: skip
    said = _from_to(known["hooper_index"], "of 28")
    return Figure(
        spec,
        title=title,
        alt=f"Sum of the wellness ratings{_when(known)}, {counted(len(known), 'check-in')}; "
        f"high is worse.{said}",
        caption="Shaded: the usual of the weeks before, one standard deviation either way.",
    )


def body_mass_chart(masses: pl.DataFrame, *, unit: str = "kg", title: str = "Body mass") -> Figure:
    """Draw body mass: every weighing, the smoothed line, and where the phase's aim leads.

    Parameters
    ----------
    masses
        Rows of `fatigue.body_mass_trend` of one client: `date, body_mass_kg, level_kg,
        phase, aim_low_pct_week, aim_high_pct_week`.
    unit
        `kg` or `lb`.
    title
        The heading.
    """
    factor = unit_factor(unit)
    known = masses.filter(pl.col("body_mass_kg").is_not_null()).sort("date")
    rows = lean_rows(
        known,
        {
            "d": "date",
            "v": pl.col("body_mass_kg") * factor,
            "s": pl.col("level_kg") * factor,
            "w": _day(),
            "t": pl.format("{} " + unit, (pl.col("body_mass_kg") * factor).round(1)),
        },
    )
    aimed = _aim(known, factor)
    spec: dict[str, Any] = {
        "height": HEIGHT,
        "layer": [
            *([layer({"type": "area", "color": AIM, "opacity": 0.14,
                      "line": {"color": AIM, "strokeDash": [2, 3], "strokeWidth": 1}},
                     aimed, x=day_axis(), y=amount("l"), y2={"field": "h"})] if aimed else []),
            layer({"type": "line", "color": MAIN, "strokeWidth": 2.2}, rows,
                  x=day_axis(), y=quantity("s", f"Body mass, {unit}")),
            _points(rows, told(("w", "Day"), ("t", "Body mass")), INK),
        ],
    }  # fmt: skip
    smooth = known["level_kg"].drop_nulls() * factor
    phase = known["phase"][-1] if len(known) else None
    aim = f" The phase's aim: to {phase}." if phase in set(Phase) else ""
    drawn = " Violet: where the aim would lead." if aimed else ""
    return Figure(
        spec,
        title=title,
        alt=f"Body mass{_when(known)}, {counted(len(known), 'weighing')}."
        f"{_from_to(smooth, unit)}{aim}",
        caption=f"Circles: weighings. Line: smoothed.{drawn}{aim}",
    )


def _aim(known: pl.DataFrame, factor: float) -> list[dict[str, Any]]:
    """Return the corridor that the aim of the phase allows over the last weeks."""
    aimed = known.filter(
        pl.col("aim_low_pct_week").is_not_null(),
        pl.col("level_kg").is_not_null(),
        pl.col("date") >= pl.col("date").max() - pl.duration(days=AIM_DAYS),
    ).with_columns(run=pl.col("phase").rle_id())
    weeks = (pl.col("date") - pl.col("date").first().over("run")).dt.total_days() / 7
    start = pl.col("level_kg").first().over("run") * factor
    return lean_rows(
        aimed,
        {
            "d": "date",
            "l": start * (1 + pl.col("aim_low_pct_week") / 100) ** weeks,
            "h": start * (1 + pl.col("aim_high_pct_week") / 100) ** weeks,
        },
    )


def _points(
    rows: list[dict[str, Any]], tooltip: dict[str, Any], stroke: str = MAIN
) -> dict[str, Any]:
    mark = {"type": "point", "filled": True, "fill": PAPER, "stroke": stroke, "strokeWidth": 1.1}
    drawn = layer(
        mark,
        rows,
        x=day_axis(),
        y=amount("v"),
        size={"condition": {"param": "near", "empty": False, "value": 90}, "value": 22},
        tooltip=tooltip,
    )
    return drawn | {"params": [NEAREST]}


def _day() -> pl.Expr:
    return pl.col("date").dt.to_string("%-d %b %Y")


def _from_to(values: pl.Series, unit: str) -> str:
    if values.is_empty():
        return ""
    return f" From {number(values[0])} to {number(values[-1])} {unit}."


def _when(known: pl.DataFrame) -> str:
    return f" from {span(known['date'][0], known['date'][-1])}" if len(known) else ""
