"""Which figures a client's page shows, in which order, and under which file names."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

import polars as pl

from plateline import load
from plateline.charts import (
    accessory_chart,
    body_mass_chart,
    effort_chart,
    load_ratio_chart,
    position_chart,
    readiness_chart,
    rep_zone_chart,
    trend_chart,
    weekly_sets_chart,
)
from plateline.report.condition import WEEK_RATIO
from plateline.report.numbers import Units
from plateline.words import State

if TYPE_CHECKING:
    from plateline.charts import Figure

__all__ = ["condition_figures", "trend_figures", "work_figures"]

TRENDS_SHOWN = 12
"""A page with more trends than this is no longer read; the rest are in the table."""


_SHADED = {"light day or typing error": "light", "back from a layoff": None}
"""What shaded sessions are called, short enough to stand side by side; the first sessions
after a break are not shaded, since the break itself is."""


def trend_figures(
    lifts: Sequence[Mapping[str, Any]], frames: Mapping[str, pl.DataFrame], units: Units
) -> dict[str, Figure]:
    """Return the trend of each lift, in the order given, then the accessory work."""
    curves = frames["curves"].with_columns(pl.col("context").replace(_SHADED))
    by_lift = curves.partition_by("exercise", as_dict=True)
    figures: dict[str, Figure] = {}
    for row in lifts[:TRENDS_SHOWN]:
        mine = by_lift.get((row["exercise"],))
        if mine is None:
            continue
        name = _file_name(f"trend {row['exercise']}", figures)
        figures[name] = trend_chart(
            mine, _told(row), unit=units.unit, phases=frames["stretches"],
            relative=row["strength_kg"] is None,
        )  # fmt: skip
        if len(figures) > 1:
            # How to read a trend is said once, under the first.
            figures[name].caption = ""
    if len(frames["weekly_accessories"]):
        figures["accessory work"] = accessory_chart(frames["weekly_accessories"], unit=units.unit)
    return figures


def _told(row: Mapping[str, Any]) -> pl.DataFrame:
    """Return what a trend is labelled with; since when is told of a stop or a fall only.

    A lift that has moved up all along has no day on which that began.
    """
    dated = row["state"] in (State.PLATEAU, State.DECLINING) and not row["is_long"]
    shown = {name: row[name] for name in ("scale", "usual_reps", "state")}
    dates = {name: row[name] if dated else None for name in ("since", "since_low", "since_high")}
    return pl.DataFrame([shown | dates], schema_overrides=dict.fromkeys(dates, pl.Date))


def work_figures(frames: Mapping[str, pl.DataFrame]) -> dict[str, Figure]:
    """Return hard sets by muscle, loaded positions, rep zones and effort, where there are any."""
    figures: dict[str, Figure] = {}
    if len(frames["weekly_muscles"]):
        planned = frames["muscles"].select("muscle", "planned_sets").drop_nulls()
        figures["hard sets by muscle"] = weekly_sets_chart(
            frames["weekly_muscles"], planned if len(planned) else None
        )
    if frames["weekly_positions"]["position"].drop_nulls().len():
        figures["loaded positions"] = position_chart(frames["weekly_positions"])
    if len(frames["rep_zones"]):
        figures["rep zones"] = rep_zone_chart(
            frames["rep_zones"], order=[zone.name for zone in load.REP_RANGES]
        )
    if frames["effort"].filter(pl.col("effort") != load.EFFORT_BANDS[-1].name).height:
        figures["effort"] = effort_chart(
            frames["effort"], order=[band.name for band in load.EFFORT_BANDS]
        )
    return figures


def condition_figures(frames: Mapping[str, pl.DataFrame], units: Units) -> dict[str, Figure]:
    """Return load ratio, readiness and body mass, each only where two values are known."""
    figures: dict[str, Figure] = {}
    ratios = frames["load_ratios"]
    if ratios.filter(pl.col("measure") == "volume-load")[WEEK_RATIO].drop_nulls().len() > 1:
        figures["load ratio"] = load_ratio_chart(ratios, ratio=WEEK_RATIO)
    if frames["wellness"]["hooper_index"].drop_nulls().len() > 1:
        figures["readiness"] = readiness_chart(frames["wellness"])
    if frames["body_mass"]["body_mass_kg"].drop_nulls().len() > 1:
        figures["body mass"] = body_mass_chart(frames["body_mass"], unit=units.unit)
    return figures


def _file_name(text: str, taken: Mapping[str, object]) -> str:
    """Return a name that every file system takes, and that is not taken yet."""
    plain = re.sub(r"[^\w -]+", "", text, flags=re.UNICODE).strip()[:60] or "trend"
    name, number = plain, 2
    while name.casefold() in {other.casefold() for other in taken}:
        name, number = f"{plain} {number}", number + 1
    return name
