"""The trend of one lift: what was lifted, the line through it, and what is expected."""

from __future__ import annotations

import datetime as dt
from typing import Any

import polars as pl

from plateline.charts.figure import Figure
from plateline.charts.lean import DAY_FORMAT, lean_rows, set_words, unit_factor
from plateline.charts.marks import NEAREST, amount, day_axis, layer, quantity, told
from plateline.charts.theme import BAND, INK, MAIN, MARK, PAPER, QUIET, SHADE
from plateline.charts.words import counted, day, number, span
from plateline.errors import UsageError
from plateline.words import State

__all__ = [
    "DATED_STATES",
    "LONGEST_LINE_DAYS",
    "context_spans",
    "scale_title",
    "share_of_start",
    "trend_chart",
]

CONTEXT_WORDS = {"light day or typing error": "light", "back from a layoff": None}
"""What shaded sessions are called, short enough to stand side by side; the first sessions
after a break are not shaded, since the break itself is."""

LABEL_ROOM = 0.12
"""Labels of shaded stretches keep this share of the picture's width from one another."""

LABEL_HEIGHT = 16
"""Pixels left free above and below, where labels stand, so that none lies on a point."""

DATED_STATES = (State.PLATEAU, State.DECLINING)
"""A lift that moves up has no day on which that began to matter."""

CONTEXT_GAP_DAYS = 4
"""A shaded stretch reaches this far beyond its first and last session, so that one session
alone is still seen."""


def trend_chart(
    curves: pl.DataFrame,
    status: pl.DataFrame | None = None,
    *,
    unit: str = "kg",
    phases: pl.DataFrame | None = None,
    title: str | None = None,
    height: int = 230,
    relative: bool = False,
) -> Figure:
    """Draw the trend of one lift.

    Parameters
    ----------
    curves
        LIFT_CURVES rows of one client and lift: sessions and forecast weeks.
    status
        That lift's row of LIFT_STATUS_DETAIL; gives the scale, the state, and since when.
    unit
        `kg` or `lb`: the unit of axis and tooltip.
    phases
        Stretches to shade, with columns `start, end, label` (dates and text); stretches that
        the curve's own `context` names (`deload`, `layoff`) are shaded without it.
    title
        The heading; the lift's name where left out.
    height
        Height of the plot in pixels.
    relative
        Show strength in % of the line's beginning: for lifts whose kilograms rest on a body
        mass that is not known.

    Raises
    ------
    UsageError
        When the rows are not those of exactly one lift.
    """
    if curves.select("client", "exercise").n_unique() != 1:
        raise UsageError("A trend chart shows one lift of one client; filter the curves first.")
    curves = curves.sort("date")
    factor, scale_unit = unit_factor(unit), unit
    if relative:
        factor, scale_unit = share_of_start(curves), "% of its start"
    sessions = curves.filter(kind="session")
    forecast = curves.filter(kind="forecast")
    row = status.row(0, named=True) if status is not None and len(status) else {}
    name = title or str(curves["exercise"][0])
    measure = scale_title(row.get("scale"), row.get("usual_reps"))
    named = [*_shading(sessions, phases), *_since(row, sessions)]
    points = _points(sessions, factor, (unit, scale_unit), f"{measure}, {scale_unit}")
    if named:
        points["encoding"]["y"]["scale"]["padding"] = LABEL_HEIGHT
    layers = [*named, *_bands(sessions, forecast, factor), points]
    spec: dict[str, Any] = {
        "height": height,
        "layer": layers,
        "resolve": {"scale": {"y": "shared"}},
    }
    return Figure(
        spec,
        title=name,
        alt=_alt(name, measure, sessions, forecast, row, (factor, scale_unit)),
        caption=_caption(forecast, row),
    )


def scale_title(scale: str | None, usual_reps: float | None) -> str:
    """Return what a lift's scale measures, in words."""
    if scale and scale != "e1RM" and scale != "e1rm":
        reps = f" for {usual_reps:.0f} reps" if usual_reps else ""
        return f"Working strength{reps}"
    return "Estimated one-rep maximum"


def share_of_start(curves: pl.DataFrame) -> float:
    """Return what strength is multiplied by to be in % of where the line begins."""
    known = curves.sort("date")["fitted_kg"].drop_nulls()
    return 100 / float(known[0]) if len(known) else 1.0


def _points(
    sessions: pl.DataFrame, factor: float, units: tuple[str, str], title: str
) -> dict[str, Any]:
    load_unit, unit = units
    rows = lean_rows(
        sessions.filter(pl.col("observed_kg").is_not_null()),
        {
            "d": "date",
            "v": pl.col("observed_kg") * factor,
            "day": pl.col("date").dt.to_string("%-d %b %Y"),
            "set": set_words(load_unit),
            "value": pl.format("{} " + unit, (pl.col("observed_kg") * factor).round(1)),
            "row": pl.format("{}, line {}", "source_file", "source_line"),
        },
    )
    drawn = layer(
        {
            "type": "point",
            "size": 36,
            "filled": True,
            "fill": PAPER,
            "stroke": INK,
            "strokeWidth": 1.3,
        },
        rows,
        x=day_axis(),
        y=quantity("v", title),
        size={"condition": {"param": "near", "empty": False, "value": 120}, "value": 36},
        tooltip=told(("day", "Day"), ("set", "Best set"), ("value", "Says"), ("row", "From")),
    )
    return drawn | {"params": [NEAREST]}  # fmt: skip


LONGEST_LINE_DAYS = 56
"""No line is drawn between sessions further apart: nobody knows what lies between."""


def _bands(sessions: pl.DataFrame, forecast: pl.DataFrame, factor: float) -> list[dict[str, Any]]:
    columns = {
        "d": "date",
        "f": pl.col("fitted_kg") * factor,
        "l": pl.col("low_kg") * factor,
        "h": pl.col("high_kg") * factor,
    }
    known = sessions.filter(pl.col("fitted_kg").is_not_null())
    stretch = (pl.col("date").diff().dt.total_days() > LONGEST_LINE_DAYS).fill_null(value=False)
    parts = known.with_columns(part=stretch.cum_sum().cast(pl.Int32))
    is_broken = parts["part"].max() not in (None, 0)
    past = lean_rows(parts, columns | ({"g": "part"} if is_broken else {}))
    apart: dict[str, Any] = {"detail": {"field": "g", "type": "nominal"}} if is_broken else {}
    made = [
        layer({"type": "area", "color": BAND, "opacity": 0.4}, past,
              x=day_axis(), y=amount("l"), y2={"field": "h"}, **apart),
        layer({"type": "line", "color": MAIN, "strokeWidth": 2.2}, past,
              x=day_axis(), y=amount("f"), **apart),
    ]  # fmt: skip
    if len(forecast) and past:
        now = {key: value for key, value in past[-1].items() if key != "g"}
        ahead = [now, *lean_rows(forecast, columns)]
        made += [
            layer({"type": "area", "color": BAND, "opacity": 0.18}, ahead,
                  x=day_axis(), y=amount("l"), y2={"field": "h"}),
            layer({"type": "line", "color": MAIN, "strokeWidth": 1.8, "strokeDash": [5, 4]}, ahead,
                  x=day_axis(), y=amount("f")),
        ]  # fmt: skip
    return made


def _since(row: dict[str, Any], sessions: pl.DataFrame) -> list[dict[str, Any]]:
    since = row.get("since")
    if since is None or sessions.is_empty() or row.get("state") not in DATED_STATES:
        return []
    first = sessions["date"][0]
    if since <= first:
        return []
    low, high = row.get("since_low") or since, row.get("since_high") or since
    made = []
    if low < high:
        made.append(
            layer(
                {"type": "rect", "color": MARK, "opacity": 0.12},
                [{"d": f"{max(low, first):{DAY_FORMAT}}", "e": f"{high:{DAY_FORMAT}}"}],
                x=day_axis(),
                x2={"field": "e"},
            )
        )
    label = [{"d": f"{since:{DAY_FORMAT}}", "t": f"{row.get('state', '')} since {since:%-d %b}"}]
    late = _is_late(since, sessions["date"])
    return [
        *made,
        layer({"type": "rule", "color": MARK, "strokeWidth": 1.6, "strokeDash": [3, 3]}, label,
              x=day_axis()),
        layer({"type": "text", "color": MARK, "align": "right" if late else "left",
               "baseline": "bottom", "dx": -5 if late else 5, "y": "height", "dy": -4,
               "fontWeight": 600}, label,
              x=day_axis(), text={"field": "t"}),
    ]  # fmt: skip


def _is_late(since: dt.date, dates: pl.Series) -> bool:
    """Say whether a label at `since` would leave the picture on the right."""
    first, last = dates[0], dates[-1]
    return (since - first).days > 0.6 * max((last - first).days, 1)


def _shading(sessions: pl.DataFrame, phases: pl.DataFrame | None) -> list[dict[str, Any]]:
    named = context_spans(sessions)
    if phases is not None and len(phases):
        named = pl.concat([named, phases.select(named.columns)])
    if sessions.is_empty() or named.is_empty():
        return []
    first, last = sessions["date"][0], sessions["date"][-1]
    inside = named.filter(pl.col("end") >= first, pl.col("start") <= last).sort("start")
    columns = {"d": pl.max_horizontal("start", pl.lit(first)), "e": "end", "t": "label"}
    spans = lean_rows(inside, columns)
    labels = lean_rows(_with_room(inside, (last - first).days), columns)
    return [
        layer({"type": "rect", "color": SHADE, "opacity": 0.9}, spans,
              x=day_axis(), x2={"field": "e"}, tooltip=told(("t", "Stretch"))),
        layer({"type": "text", "color": QUIET, "align": "left", "baseline": "top", "dx": 3,
               "y": 2, "fontSize": 11}, labels,
              x=day_axis(), text={"field": "t"}),
    ]  # fmt: skip


def _with_room(spans: pl.DataFrame, days: int) -> pl.DataFrame:
    """Return the stretches whose label has room beside the one before."""
    kept, last = [], None
    for place, start in enumerate(spans["start"]):
        if last is None or (start - last).days >= LABEL_ROOM * days:
            kept.append(place)
            last = start
    return spans[kept]


def context_spans(sessions: pl.DataFrame) -> pl.DataFrame:
    """Return runs of sessions that the curve names: `start, end, label`."""
    short = sessions.with_columns(label=pl.col("context").replace(CONTEXT_WORDS))
    runs = short.with_columns(run=pl.col("label").rle_id()).filter(pl.col("label").is_not_null())
    margin = pl.duration(days=CONTEXT_GAP_DAYS)
    return (
        runs.group_by("run", maintain_order=True)
        .agg(
            start=pl.col("date").min() - margin,
            end=pl.col("date").max() + margin,
            label=pl.col("label").first(),
        )
        .drop("run")
    )


def _caption(forecast: pl.DataFrame, row: dict[str, Any]) -> str:
    parts = ["Points: what each session's best set says. Line: the trend, with its 90 % band."]
    if len(forecast):
        parts.append("Dashed: where it goes if nothing changes.")
    if row.get("since") is not None:
        parts.append("Upright line: since when, with the span of days that the data allow.")
    return " ".join(parts)


def _alt(
    name: str,
    measure: str,
    sessions: pl.DataFrame,
    forecast: pl.DataFrame,
    row: dict[str, Any],
    scale: tuple[float, str],
) -> str:
    fitted = sessions.filter(pl.col("fitted_kg").is_not_null())
    if fitted.is_empty():
        return f"{name}: {counted(len(sessions), 'session')}, too few for a trend line."
    factor, unit = scale
    start, end = fitted["fitted_kg"][0] * factor, fitted["fitted_kg"][-1] * factor
    said = (
        f"{name}, {counted(len(sessions), 'session')} from "
        f"{span(sessions['date'][0], sessions['date'][-1])}: {measure[0].lower()}{measure[1:]} "
        f"went from {number(start)} to {number(end)} {unit}."
    )
    state = row.get("state")
    if state:
        since = f" since {day(row['since'])}" if row.get("since") and state in DATED_STATES else ""
        said += f" State: {state}{since}."
    if len(forecast):
        last = forecast.row(-1, named=True)
        said += (
            f" Expected on {day(last['date'])}: {number(last['fitted_kg'] * factor)} {unit}"
            f" ({number(last['low_kg'] * factor)} to {number(last['high_kg'] * factor)})."
        )
    return said
